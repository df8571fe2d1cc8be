/** The view of what is next on site, in a real VS Code. */
import { expect, it } from 'vitest';
import { librarySite } from './support/library-site.js';

const site = librarySite('commissioning');

it('lists what there is to look at, area by area', async () => {
  const { workbench } = site();
  await workbench.openFile('library.ferrule');
  // The view appears with the first site that is open, folded at the bottom of the explorer.
  await workbench.page.locator('.pane-header', { hasText: 'Commissioning' }).click();
  const row = workbench.page.getByRole('treeitem', { name: /Roof/u }).first();
  await row.waitFor();
  expect(await row.innerText()).toMatch(/0 of \d+ as expected/u);
  await workbench.page
    .getByRole('treeitem', { name: /ohms of central/u })
    .first()
    .waitFor();
  await workbench.screenshot('commissioning');
});
