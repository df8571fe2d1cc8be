/** Typing and renaming in a real VS Code: what is offered is taken, and a new name goes through all files. */
import { cp, mkdtemp, readFile, rm } from 'node:fs/promises';
import os from 'node:os';
import path from 'node:path';
import { afterAll, afterEach, beforeAll, expect, it } from 'vitest';
import { inProject } from '../../scripts/lib/root.mjs';
import { startVsCode, type VsCodeServer } from './support/vscode-server.js';
import { Workbench } from './support/workbench.js';

let server: VsCodeServer;
let workbench: Workbench;
let site: string;
let before: string;

const read = (...parts: string[]) => readFile(path.join(site, ...parts), 'utf8');

beforeAll(async () => {
  site = await mkdtemp(path.join(os.tmpdir(), 'ferrule-site-'));
  for (const folder of ['library', 'equipment']) {
    await cp(inProject('examples', folder), path.join(site, folder), { recursive: true });
  }
  before = await read('library', 'library.ferrule');
  server = await startVsCode(process.env['FERRULE_VSIX'] ?? inProject('dist', 'ferrule.vsix'));
  workbench = await Workbench.open(server.port, site);
});

afterEach(async ({ task }) => {
  if (task.result?.state === 'fail') {
    await workbench.screenshot('editing-failed');
  }
});

afterAll(async () => {
  await workbench?.close();
  await server?.stop();
  await rm(site, { recursive: true, force: true });
});

it('takes an offered word, which leaves nothing wrong', async () => {
  const { page } = workbench;
  const lines = before.split('\n');
  const line = lines.findIndex((one) => one.endsWith(' terminated'));
  expect(line).toBeGreaterThan(0);
  await workbench.openFile('library.ferrule');
  await workbench.replaceRestOfLine(line + 1, lines[line]!.length - 'terminated'.length + 1, '');
  await workbench.squiggles('error').first().waitFor();
  await page.keyboard.type('term');
  const offered = page.locator('.suggest-widget.visible .monaco-list-row.focused');
  await offered.filter({ hasText: 'terminated' }).first().waitFor();
  await workbench.screenshot('completion');
  await page.keyboard.press('Enter');
  await workbench.waitForNoProblems();
  await workbench.save();
  expect(await read('library', 'library.ferrule')).toBe(before);
});

it('renames equipment in the file that declares it and in the one that uses it', async () => {
  const { page } = workbench;
  const lines = before.split('\n');
  const [, name] = /^device \S+ : (\S+)/mu.exec(before)!;
  const line = lines.findIndex((one) => one.startsWith('device') && one.includes(` : ${name} `));
  const declared = async () =>
    Promise.all(
      ['units', 'controllers', 'supplies', 'network'].map((file) =>
        read('equipment', `${file}.ferrule`),
      ),
    );
  await workbench.goTo(line + 1, lines[line]!.indexOf(` : ${name!} `) + 5);
  await page.keyboard.press('F2');
  const box = page.locator('.rename-box input');
  await box.waitFor();
  await box.fill('RoofUnit-9');
  await page.keyboard.press('Enter');
  await box.waitFor({ state: 'hidden' });
  await page.locator('.view-line', { hasText: 'RoofUnit-9' }).first().waitFor();
  await workbench.waitForNoProblems();
  await workbench.runCommand('File: Save All Files');
  const renamed = (text: string) =>
    text.replaceAll(new RegExp(`(?<=(?:equipment|:) )${name}(?![\\w-])`, 'gu'), 'RoofUnit-9');
  await expect.poll(() => read('library', 'library.ferrule')).toBe(renamed(before));
  await expect.poll(async () => (await declared()).join('')).toContain('equipment RoofUnit-9 ');
  expect((await declared()).join('')).not.toContain(`equipment ${name} `);
});
