/** The view of what is next on site, in a real VS Code. */
import { cp, mkdtemp, rm } from 'node:fs/promises';
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
  server = await startVsCode(process.env['FERRULE_VSIX'] ?? inProject('dist', 'ferrule.vsix'));
  workbench = await Workbench.open(server.port, site);
});

afterEach(async ({ task }) => {
  if (task.result?.state === 'fail') {
    await workbench.screenshot('commissioning-failed');
  }
});

afterAll(async () => {
  await workbench?.close();
  await server?.stop();
  await rm(site, { recursive: true, force: true });
});

it('lists what there is to look at, area by area', async () => {
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
