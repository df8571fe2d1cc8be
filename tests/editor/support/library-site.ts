/** The library example in a folder of its own, opened in a VS Code with the packaged extension. */
import { cp, mkdtemp, readFile, rm } from 'node:fs/promises';
import os from 'node:os';
import path from 'node:path';
import { afterAll, afterEach, beforeAll } from 'vitest';
import { inProject } from '../../../scripts/lib/root.mjs';
import { startVsCode, type VsCodeServer } from './vscode-server.js';
import { Workbench } from './workbench.js';

export interface LibrarySite {
  readonly folder: string;
  readonly workbench: Workbench;
  /** The text of a file below the folder, as it is on the disk. */
  read(...parts: string[]): Promise<string>;
}

/**
 * Opens one window for the tests of a file, and clears up after them.
 * @param name What the picture of a failed test is called.
 * @param prepare Adds to the folder before it is opened.
 */
export function librarySite(
  name: string,
  prepare: (folder: string) => Promise<unknown> = () => Promise.resolve(),
): () => LibrarySite {
  let server: VsCodeServer | undefined;
  let site: LibrarySite;
  beforeAll(async () => {
    const folder = await mkdtemp(path.join(os.tmpdir(), 'ferrule-site-'));
    for (const part of ['library', 'equipment']) {
      await cp(inProject('examples', part), path.join(folder, part), { recursive: true });
    }
    await prepare(folder);
    server = await startVsCode(process.env['FERRULE_VSIX'] ?? inProject('dist', 'ferrule.vsix'));
    site = {
      folder,
      workbench: await Workbench.open(server.port, folder),
      read: (...parts) => readFile(path.join(folder, ...parts), 'utf8'),
    };
  });
  afterEach(async ({ task }) => {
    if (task.result?.state === 'fail') {
      await site.workbench.screenshot(`${name}-failed`);
    }
  });
  afterAll(async () => {
    await site?.workbench.close();
    await server?.stop();
    await rm(site?.folder ?? '', { recursive: true, force: true });
  });
  return () => site;
}
