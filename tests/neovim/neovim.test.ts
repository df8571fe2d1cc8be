/** A second real editor: Neovim's own language client, attached to the bundled server. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, realpathSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { bundledServer } from '../support/lsp.js';

const hasNeovim = spawnSync('nvim', ['--version']).status === 0;
const title = hasNeovim
  ? 'Neovim'
  : 'Neovim (left out: not installed. Type: sudo apt-get install -y neovim)';

const units = `bustype FloorLink {
  conductors 2
  address 1 .. 64
}

equipment FanUnit {
  role indoor-unit
  port link : FloorLink terminals A, B as responder
}

equipment Panel {
  role zone-controller
  port link : FloorLink terminals A, B as controller
  supervises indoor-unit via link
}
`;

const mill = `use "./units.ferrule"

site Mill "Mill House"

device FP-1 : Panel { address 1 }
device FU-1 : FanUnit { address 2 }
device FU-2 : FanUnit { address 3 }

bus floor : FloorLink {
  land FP-1.link
  land FU-1.link 14 m
  land FU-8.link 11 m
}
`;

interface Result {
  readonly problem?: string;
  readonly diagnostics: readonly { line: number; code: string; message: string }[];
  readonly mended: boolean;
  readonly completion: readonly string[];
  readonly renamed: { readonly mill: string; readonly units: string };
}

describe.skipIf(!hasNeovim)(title, () => {
  let folder = '';
  let result: Result;

  beforeAll(async () => {
    folder = realpathSync(mkdtempSync(path.join(tmpdir(), 'ferrule-neovim-')));
    writeFileSync(path.join(folder, 'units.ferrule'), units);
    writeFileSync(path.join(folder, 'mill.ferrule'), mill);
    const answer = path.join(folder, 'result.json');
    const run = spawnSync(
      'nvim',
      ['--headless', '--clean', '-n', '-S', path.resolve('tests/neovim/client.lua')],
      {
        env: {
          ...process.env,
          FERRULE_NODE: process.execPath,
          FERRULE_SERVER: await bundledServer(),
          FERRULE_SITE: folder,
          FERRULE_RESULT: answer,
          // Nothing is read from, or left in, the settings of whoever runs the test.
          XDG_STATE_HOME: folder,
          XDG_CACHE_HOME: folder,
        },
        timeout: 90_000,
        encoding: 'utf8',
      },
    );
    expect(run.error, run.stderr).toBeUndefined();
    result = JSON.parse(readFileSync(answer, 'utf8')) as Result;
    expect(result.problem, run.stderr).toBeUndefined();
  }, 120_000);
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it('shows a diagnostic where the text is wrong, and none once it is mended', () => {
    expect(result.diagnostics).toContainEqual(
      expect.objectContaining({
        line: 12,
        code: 'name-unknown',
        message: expect.stringContaining('There is no device "FU-8" in this site.') as string,
      }),
    );
    expect(result.mended).toBe(true);
  });

  it('completes the next free address first', () => {
    expect(result.completion[0]).toBe('3');
  });

  it('renames a port in both files', () => {
    expect(result.renamed.units).toContain('port line : FloorLink terminals A, B as responder');
    // The panel's port is another one and keeps its name.
    expect(result.renamed.units).toContain('port link : FloorLink terminals A, B as controller');
    expect(result.renamed.mill).toContain('land FP-1.link');
    expect(result.renamed.mill).toContain('land FU-1.line 14 m');
    expect(result.renamed.mill).toContain('land FU-2.line 11 m');
  });
});
