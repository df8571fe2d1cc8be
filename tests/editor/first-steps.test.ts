/** What somebody does who opens the editor for the first time, in a real VS Code. */
import { mkdir } from 'node:fs/promises';
import path from 'node:path';
import { expect, it } from 'vitest';
import { librarySite } from './support/library-site.js';

const site = librarySite('first-steps', (folder) => mkdir(path.join(folder, 'old-mill')));

it('shows the site as a tree that leads to the text', async () => {
  const { workbench } = site();
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
  await buses.click();
  const line = page.getByRole('treeitem', { name: /^line-1/u }).first();
  expect(await line.innerText()).toMatch(/ m/u);
  await workbench.screenshot('site-tree');
});

it('starts a new site in an empty folder, which has nothing wrong', async () => {
  const { workbench, folder, read } = site();
  const { page } = workbench;
  await workbench.runCommand('Ferrule: New Site from Example');
  const folders = page.locator('.quick-input-list .monaco-list-row');
  await folders.filter({ hasText: 'library' }).first().waitFor();
  const box = page.locator('.quick-input-widget input');
  await box.fill(`${path.join(folder, 'old-mill')}/`);
  // The dialog looks into the folder before its button means that folder: the list is empty then.
  await folders.filter({ hasText: 'library' }).first().waitFor({ state: 'detached' });
  await page.locator('.quick-input-widget').getByRole('button', { name: 'Start the Site' }).click();
  await page.locator('.tab.active', { hasText: 'old-mill.ferrule' }).waitFor();
  expect(await read('old-mill', 'site', 'old-mill.ferrule')).toContain('site Old-mill');
  await workbench.waitForNoProblems();
  await workbench.screenshot('new-site');
});

it('writes a table of the clipboard as devices and tells what it left out', async () => {
  const { workbench, read } = site();
  const { page } = workbench;
  const before = await read('old-mill', 'site', 'old-mill.ferrule');
  await page.context().grantPermissions(['clipboard-read', 'clipboard-write']);
  await page.evaluate((table) => navigator.clipboard.writeText(table), tableOfUnits);
  await workbench.goTo(before.split('\n').length, 1);
  await workbench.runCommand('Ferrule: Paste Table as Devices');
  await page
    .getByText(/Devices written: 1\. Lines and cells of the table left out: 1\./u)
    .first()
    .waitFor();
  await workbench.save();
  const after = await read('old-mill', 'site', 'old-mill.ferrule');
  expect(after).toContain('device IU-9 : Cassette-36 in Office');
  expect(after).not.toContain('IU-10');
  await workbench.screenshot('pasted');
});

it('opens the walkthrough with its steps', async () => {
  const { workbench } = site();
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
  const { workbench, read } = site();
  const { page } = workbench;
  await workbench.openFile('library.ferrule');
  const text = await read('library', 'library.ferrule');
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
