import { createHash } from 'node:crypto';
import { cp, mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import os from 'node:os';
import path from 'node:path';
import type { Frame } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { inProject } from '../../scripts/lib/root.mjs';
import { startVsCode, type VsCodeServer } from './support/vscode-server.js';
import { Workbench } from './support/workbench.js';

const vsix = process.env['FERRULE_VSIX'] ?? inProject('dist', 'ferrule.vsix');
const file = path.join('library', 'library.ferrule');

describe('the drawing beside the text', () => {
  let server: VsCodeServer;
  let workbench: Workbench;
  let site: string;
  let text: string;

  beforeAll(async () => {
    server = await startVsCode(vsix);
  });

  afterAll(() => server?.stop());

  beforeEach(async () => {
    site = await mkdtemp(path.join(os.tmpdir(), 'ferrule-site-'));
    for (const folder of ['library', 'equipment']) {
      await cp(inProject('examples', folder), path.join(site, folder), { recursive: true });
    }
    text = await readFile(path.join(site, file), 'utf8');
    workbench = await Workbench.open(server.port, site);
    await workbench.openFile('library.ferrule');
  });

  afterEach(async ({ task }) => {
    if (task.result?.state === 'fail') {
      await workbench.screenshot(`failed-${task.name.replaceAll(/\W+/g, '-')}`);
    }
    await workbench.close();
    await rm(site, { recursive: true, force: true });
  });

  /** The page of the drawing, once a device stands in it. */
  const drawingWith = async (device: string): Promise<Frame> => {
    const page = await workbench.webview();
    await page.locator('svg text', { hasText: device }).first().waitFor();
    return page;
  };

  const device = (page: Frame, name: string) =>
    page.locator(`[data-name="${name}"][aria-label^="${name},"]`).first();

  /** How far two left edges are apart, in pixels; far while one of them is being drawn anew. */
  const distance = async (page: Frame, selector: string, name: string) => {
    const one = await page.locator(selector).first().boundingBox();
    const other = await device(page, name).boundingBox();
    return one === null || other === null ? Infinity : Math.abs(one.x - other.x);
  };

  /** The number of the first line that starts with some words, from 1. */
  const lineOf = (start: string) => {
    const index = text.split('\n').findIndex((line) => line.trimStart().startsWith(start));
    expect(index, start).toBeGreaterThanOrEqual(0);
    return index + 1;
  };

  it('leads to the text, and the cursor leads to the device', async () => {
    await workbench.goTo(lineOf('device IU-G2'), 10);
    await workbench.runCommand('Ferrule: Show Drawing');
    const page = await drawingWith('IU-F3');
    await page.locator('.is-cursor .frame').waitFor();
    await expect.poll(() => distance(page, '.is-cursor .frame', 'IU-G2')).toBeLessThan(10);
    await device(page, 'IU-F3').click({ position: { x: 4, y: 4 } });
    await workbench.page
      .locator('.statusbar-item', { hasText: `Ln ${lineOf('device IU-F3')}` })
      .waitFor();
  });

  it('keeps its zoom over fifty edits', async () => {
    await workbench.goTo(lineOf('device IU-G2'), 1);
    await workbench.runCommand('Ferrule: Show Drawing');
    const page = await drawingWith('IU-G2');
    for (let times = 0; times < 3; times += 1) {
      await page.getByRole('button', { name: 'Zoom in' }).click();
    }
    const before = await device(page, 'IU-G2').boundingBox();
    // The buttons took the focus from the text.
    await workbench.page.keyboard.press('Control+1');
    await workbench.page.locator('.editor-instance .monaco-editor.focused').waitFor();
    await workbench.goTo(lineOf('device IU-G2'), 1);
    await workbench.page.keyboard.press('End');
    await workbench.page.keyboard.type(' // fifty edits, each of one letter, keep the zoom', {
      delay: 30,
    });
    await workbench.goTo(lineOf('device IU-G2'), 8);
    await workbench.page.keyboard.type('X');
    await drawingWith('XIU-G2');
    const after = await device(page, 'XIU-G2').boundingBox();
    expect(after?.width).toBeCloseTo(before?.width ?? 0, 0);
    expect(after?.height).toBeCloseTo(before?.height ?? 0, 0);
  });

  it('stays under a banner while the text has an error', async () => {
    await workbench.runCommand('Ferrule: Show Drawing');
    const page = await drawingWith('OU-1');
    const line = lineOf('land IU-G2.units');
    await workbench.replaceRestOfLine(line, 3, 'lnad IU-G2.units 14 m');
    await page.locator('.banner:not([hidden])').waitFor();
    await page.locator('svg text', { hasText: 'OU-1' }).first().waitFor();
    await workbench.replaceRestOfLine(line, 3, 'land IU-G2.units 14 m');
    await page.locator('.banner').waitFor({ state: 'hidden' });
  });

  it('of terminals follows the bus or feed at the cursor', async () => {
    await workbench.goTo(lineOf('bus line-1'), 6);
    await workbench.runCommand('Ferrule: Show Terminals');
    const page = await drawingWith('IU-G2');
    const title = page.getByRole('heading', { level: 1 });
    await title.filter({ hasText: 'line-1' }).waitFor();
    await workbench.goTo(lineOf('feed F-1'), 6);
    await title.filter({ hasText: 'F-1' }).waitFor();
    await page.locator('svg text', { hasText: 'FP-1' }).first().waitFor();
    expect(await page.locator('svg text', { hasText: 'IU-G2' }).count()).toBe(0);
  });

  it('and all other documents go into one folder, beside what people put there', async () => {
    await writePack('Job pack written');
    const name = (await readdir(site)).find((each) => each.endsWith('-pack')) ?? '';
    const folder = path.join(site, name);
    const written = await readdir(folder, { recursive: true });
    for (const ending of ['.md', '.csv', '.svg']) {
      expect(written.filter((each) => each.endsWith(ending)).length).toBeGreaterThan(0);
    }
    // The command line knows by this list what it may replace.
    const list = JSON.parse(await readFile(path.join(folder, '.ferrule-pack.json'), 'utf8'));
    for (const [file, hash] of Object.entries(list.files)) {
      const bytes = await readFile(path.join(folder, file));
      expect(createHash('sha256').update(bytes).digest('hex')).toBe(hash);
    }
    const sheet = path.join(folder, written.find((each) => each.endsWith('.csv')) ?? '');

    await writeFile(path.join(folder, 'photo.txt'), 'mine');
    await writePack('Job pack written');
    expect(await readFile(path.join(folder, 'photo.txt'), 'utf8')).toBe('mine');
    expect((await readdir(folder, { recursive: true })).length).toBe(written.length + 1);

    await writeFile(sheet, 'filled in on site');
    await writePack('No job pack was written');
    expect(await readFile(sheet, 'utf8')).toBe('filled in on site');
    expect((await readdir(site)).filter((each) => each.includes('ferrule-'))).toEqual([]);
  });

  /** Runs the command, takes the folder that it offers, and waits for what it says. */
  const writePack = async (said: string) => {
    await workbench.runCommand('Ferrule: Write Job Pack');
    // The window of a browser asks for a folder in the box of its commands, the site's folder first.
    // The palette that ran the command names it too, so the box is known by its own title.
    const dialog = workbench.page.locator('.quick-input-widget', {
      has: workbench.page.locator('.quick-input-title', { hasText: 'Folder for the job pack' }),
    });
    await dialog.waitFor();
    await expect
      .poll(() => dialog.locator('input').first().inputValue(), { timeout: 30_000 })
      .toContain(path.basename(site));
    await dialog.getByRole('button', { name: 'Write Job Pack Here' }).click();
    const note = workbench.page.locator('.notification-list-item', { hasText: said });
    await note.waitFor();
    await workbench.runCommand('Notifications: Clear All Notifications');
    await note.waitFor({ state: 'detached' });
  };
});
