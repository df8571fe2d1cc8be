/** The real npm, without a network, as a team uses it for a library. */
import { execFile } from 'node:child_process';
import { promisify } from 'node:util';

const run = promisify(execFile);

/** Runs npm in a folder; gives what it prints. No script of a package runs and nothing is fetched. */
export async function npm(folder: string, ...args: string[]): Promise<string> {
  const quiet = ['--offline', '--ignore-scripts', '--no-audit', '--no-fund', '--loglevel=error'];
  const { stdout } = await run('npm', [...args, ...quiet], { cwd: folder });
  return stdout;
}

/** A library of two files, as package.json and texts. */
export function panelLibrary(version: string, label = 'A'): Readonly<Record<string, string>> {
  return {
    'package.json': JSON.stringify({
      name: '@team/panels',
      version,
      files: ['*.ferrule'],
      ferrule: { entry: 'index.ferrule', language: '1.0' },
    }),
    'index.ferrule':
      'use "./buses.ferrule"\n\n/// A panel.\nequipment Panel "Wall panel" {\n' +
      `  role room-controller\n  port line : Line terminals ${label}, B as controller\n}\n`,
    'buses.ferrule': 'bustype Line {\n  conductors 2\n  shape chain\n  controllers 2\n}\n',
  };
}

/** A site of two panels. */
export const panelSite = `use "@team/panels"

site Small "Small site" {
  drawing "S-1"
}

cable Pair { cores 2 x 0.75 mm2 class 5 }

device P-1 : Panel
device P-2 : Panel

bus line-1 : Line using Pair {
  land P-1.line
  land P-2.line 4 m
}
`;
