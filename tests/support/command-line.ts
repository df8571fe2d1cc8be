/** The command line as people run it: bundled like the released one, in a process of its own. */
import { spawn } from 'node:child_process';
import { cp, mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import os from 'node:os';
import path from 'node:path';
import { build } from 'esbuild';
import { afterAll, beforeAll } from 'vitest';
import { commandLine } from '../../scripts/lib/bundles.mjs';
import { inProject } from '../../scripts/lib/root.mjs';

export interface Ran {
  readonly code: number | null;
  readonly out: string;
  readonly error: string;
}

/** A folder of a test with a copy of the examples' equipment, and the command line run in it. */
export class CommandLine {
  private constructor(
    /** The bundled file. */
    readonly program: string,
    readonly folder: string,
  ) {}

  /** Bundles once for a test file, and clears up after it. */
  static forTests(): () => CommandLine {
    let command: CommandLine;
    const made: string[] = [];
    beforeAll(async () => {
      await mkdir(inProject('out'), { recursive: true });
      const bundles = await mkdtemp(inProject('out', 'command-line-'));
      made.push(bundles);
      const program = path.join(bundles, 'ferrule.js');
      await build({ ...commandLine, outdir: bundles });
      const folder = await mkdtemp(path.join(os.tmpdir(), 'ferrule-cli-'));
      made.push(folder);
      command = new CommandLine(program, folder);
    });
    afterAll(async () => {
      await Promise.all(made.map((one) => rm(one, { recursive: true, force: true })));
    });
    return () => command;
  }

  /** Runs the command in the test's folder. */
  run(...args: string[]): Promise<Ran> {
    return this.runIn('.', ...args);
  }

  /** Runs the command in a folder below the test's. */
  runIn(inside: string, ...args: string[]): Promise<Ran> {
    return new Promise((resolve, reject) => {
      const child = spawn(process.execPath, [this.program, ...args], {
        cwd: path.join(this.folder, inside),
        stdio: ['ignore', 'pipe', 'pipe'],
      });
      let out = '';
      let error = '';
      child.stdout.setEncoding('utf8').on('data', (text: string) => (out += text));
      child.stderr.setEncoding('utf8').on('data', (text: string) => (error += text));
      child.on('error', reject);
      child.on('close', (code) => resolve({ code, out, error }));
    });
  }

  path(...parts: string[]): string {
    return path.join(this.folder, ...parts);
  }

  async write(name: string, text: string | Uint8Array): Promise<void> {
    await mkdir(path.dirname(this.path(name)), { recursive: true });
    await writeFile(this.path(name), text);
  }

  /** Copies folders of the examples, so that a test may break them. */
  async copyExamples(...names: string[]): Promise<void> {
    for (const name of names) {
      await cp(inProject('examples', name), this.path(name), { recursive: true });
    }
  }
}

/** Equipment for small sites, and a site of them that is right. */
export const smallSite = `bustype Line {
  conductors 2 polarised
  shape chain
  length total 100 m
  address 1 .. 9
  terminate both-ends 120 ohm
}

cable Pair "2-core 0.75 mm2" {
  cores 2 x 0.75 mm2 class 5
  colours BK, WH
}

equipment Master "Line controller" {
  role site-controller
  port line : Line terminals A, B as controller
}

equipment Node "Line module" {
  role other
  port line : Line terminals A, B as responder
}

site Small "Small site" {
  drawing "S-1"
}

device M-1 : Master { address 1 }
device N-1 : Node { address 2 }

bus line-1 : Line using Pair {
  land M-1.line terminated
  land N-1.line 40 m terminated
}
`;
