import { cp, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import os from 'node:os';
import path from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { inProject } from '../../scripts/lib/root.mjs';
import { startVsCode, type VsCodeServer } from './support/vscode-server.js';
import { Workbench } from './support/workbench.js';

/** What the test does on the library site; it holds for any site with these words. */
const job = {
  package: process.env['FERRULE_VSIX'] ?? inProject('dist', 'ferrule.vsix'),
  /** Folders that are copied side by side: the site, and the equipment that it uses. */
  folders: ['library', 'equipment'].map((name) => inProject('examples', name)),
  file: path.join('library', 'library.ferrule'),
  /** The line that is broken, what is put in its place, and what Ferrule says about it. */
  right: ' terminated',
  wrong: '',
  message: 'terminat',
  fix: 'terminat',
  showDrawing: 'Ferrule: Show Drawing',
  drawn: 'OU-1',
};

describe('the packaged extension in VS Code', () => {
  let server: VsCodeServer;
  let workbench: Workbench;
  let site: string;

  beforeAll(async () => {
    site = await mkdtemp(path.join(os.tmpdir(), 'ferrule-site-'));
    for (const folder of job.folders) {
      await cp(folder, path.join(site, path.basename(folder)), { recursive: true });
    }
    server = await startVsCode(job.package);
    workbench = await Workbench.open(server.port, site);
  });

  afterEach(async ({ task }) => {
    if (task.result?.state === 'fail') {
      await workbench.screenshot('failed');
      await writeFile(inProject('out', 'editor', 'server.log'), server.output());
    }
  });

  afterAll(async () => {
    await workbench?.close();
    await server?.stop();
    await rm(site, { recursive: true, force: true });
  });

  it('marks a broken line, mends it by its quick-fix and draws the site', async () => {
    const before = await readFile(path.join(site, job.file), 'utf8');
    const broken = positionOf(before, job.right);

    await workbench.openFile(path.basename(job.file));
    await workbench.waitForNoProblems();

    await workbench.replaceRestOfLine(broken.line, broken.column, job.wrong);
    await workbench.squiggles('error').first().waitFor();
    const problems = await workbench.problems();
    await problems.filter({ hasText: job.message }).first().waitFor();
    await workbench.screenshot('1-broken');

    await workbench.goTo(broken.line, 5);
    await workbench.quickFix(job.fix);
    await workbench.waitForNoProblems();
    await workbench.save();
    await workbench.screenshot('2-mended');
    expect(await readFile(path.join(site, job.file), 'utf8')).toBe(before);

    await workbench.runCommand(job.showDrawing);
    const drawing = (await workbench.webview()).locator('svg').first();
    await drawing.getByText(job.drawn, { exact: true }).first().waitFor();
    const size = await drawing.boundingBox();
    expect(size?.width).toBeGreaterThan(100);
    expect(size?.height).toBeGreaterThan(100);
    await workbench.screenshot('3-drawn');
  });
});

/** Where a word stands for the first time; line and column count from 1. */
function positionOf(text: string, word: string): { line: number; column: number } {
  const lines = text.split('\n');
  const index = lines.findIndex((line) => line.includes(word));
  expect(index, `the site says ${word}`).toBeGreaterThanOrEqual(0);
  return { line: index + 1, column: (lines[index] ?? '').indexOf(word) + 1 };
}
