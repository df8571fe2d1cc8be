/** What somebody does who opens the editor for the first time, in a real VS Code. */
import { cp, mkdir, mkdtemp, readFile, rm } from 'node:fs/promises';
import os from 'node:os';
import path from 'node:path';
import { afterAll, afterEach, beforeAll, expect, it } from 'vitest';
import { inProject } from '../../scripts/lib/root.mjs';
import { startVsCode, type VsCodeServer } from './support/vscode-server.js';
import { Workbench } from './support/workbench.js';

let server: VsCodeServer;
let workbench: Workbench;
let site: string;

beforeAll(async () => {
  site = await mkdtemp(path.join(os.tmpdir(), 'ferrule-site-'));
  for (const folder of ['library', 'equipment']) {
    await cp(inProject('examples', folder), path.join(site, folder), { recursive: true });
  }
  await mkdir(path.join(site, 'old-mill'));
  server = await startVsCode(process.env['FERRULE_VSIX'] ?? inProject('dist', 'ferrule.vsix'));
  workbench = await Workbench.open(server.port, site);
});

afterEach(async ({ task }) => {
  if (task.result?.state === 'fail') {
    await workbench.screenshot('first-steps-failed');
  }
});

afterAll(async () => {
  await workbench?.close();
  await server?.stop();
  await rm(site, { recursive: true, force: true });
});

it('shows the site as a tree that leads to the text', async () => {
  const { page } = workbench;
  await workbench.openFile('library.ferrule');
  const pane = page.locator('.pane-header[aria-label*="Site"]').first();
  await pane.waitFor();
  if ((await pane.getAttribute('aria-expanded')) !== 'true') {
    await pane.click();
  }
  const buses = page.getByRole('treeitem', { name: /^Buses/u }).first();
  await buses.waitFor();
  expect(await buses.innerText()).toMatch(/\d/u);
  await workbench.screenshot('site-tree');
});

it('starts a new site in an empty folder, which has nothing wrong', async () => {
  const { page } = workbench;
  await workbench.runCommand('Ferrule: New Site from Example');
  const folders = page.locator('.quick-input-list .monaco-list-row');
  await folders.filter({ hasText: 'library' }).first().waitFor();
  const box = page.locator('.quick-input-widget input');
  await box.fill(`${path.join(site, 'old-mill')}/`);
  // The dialog looks into the folder before its button means that folder: the list is empty then.
  await folders.filter({ hasText: 'library' }).first().waitFor({ state: 'detached' });
  await page.locator('.quick-input-widget').getByRole('button', { name: 'Start the Site' }).click();
  await page.locator('.tab.active', { hasText: 'old-mill.ferrule' }).waitFor();
  expect(await readFile(path.join(site, 'old-mill', 'site', 'old-mill.ferrule'), 'utf8')).toContain(
    'site Old-mill',
  );
  await workbench.waitForNoProblems();
  await workbench.screenshot('new-site');
});

it('writes a table of the clipboard as devices and tells what it left out', async () => {
  const { page } = workbench;
  const before = await readFile(path.join(site, 'old-mill', 'site', 'old-mill.ferrule'), 'utf8');
  await page.context().grantPermissions(['clipboard-read', 'clipboard-write']);
  await page.evaluate((table) => navigator.clipboard.writeText(table), tableOfUnits);
  await workbench.goTo(before.split('\n').length, 1);
  await workbench.runCommand('Ferrule: Paste Table as Devices');
  await page
    .getByText(/1 devices? written; 1 lines? or cells?/u)
    .first()
    .waitFor();
  await workbench.save();
  const after = await readFile(path.join(site, 'old-mill', 'site', 'old-mill.ferrule'), 'utf8');
  expect(after).toContain('device IU-9 : Cassette-36 in Office');
  expect(after).not.toContain('IU-10');
  await workbench.screenshot('pasted');
});

it('opens the walkthrough with its steps', async () => {
  const { page } = workbench;
  await workbench.runCommand('Welcome: Open Walkthrough');
  await workbench.choose('Get Started with Ferrule');
  const steps = page.locator('.getting-started-step');
  await steps.filter({ hasText: 'Start a site' }).first().waitFor();
  await steps.filter({ hasText: 'Write the job pack' }).first().waitFor();
  expect(await steps.count()).toBeGreaterThanOrEqual(5);
  await workbench.screenshot('walkthrough');
});

it('opens the page of a rule from the code of a finding', async () => {
  const { page } = workbench;
  await workbench.openFile('library.ferrule');
  const text = await readFile(path.join(site, 'library', 'library.ferrule'), 'utf8');
  const line = text.split('\n').findIndex((one) => one.includes(' terminated')) + 1;
  const column = text.split('\n')[line - 1]!.indexOf(' terminated') + 1;
  await workbench.replaceRestOfLine(line, column, '');
  await workbench.problems();
  await page.locator('.markers-panel a', { hasText: 'terminator-missing' }).first().click();
  await page.locator('.tab.active', { hasText: 'terminator-missing.md' }).waitFor();
  await page.locator('.view-line', { hasText: 'terminator' }).first().waitFor();
  await workbench.screenshot('rule-page');
});

/** The second line names equipment that nobody declared. */
const tableOfUnits =
  'name\tequipment\troom\taddress\nIU-9\tCassette-36\tOffice\t14\nIU-10\tNothing-1\tOffice\t15\n';
