/** Runs Python's standard library as an independent reference. */
import { spawnSync } from 'node:child_process';

/** How to get it, for the name of a test that has to be skipped. */
export const PYTHON_INSTALL = 'apt-get install -y python3';

/** Whether `python3` can be run here. */
export function pythonIsInstalled(): boolean {
  return spawnSync('python3', ['--version'], { timeout: 20_000 }).status === 0;
}

/** Runs a script that reads JSON from its input and writes JSON; throws with Python's message where it fails. */
export function runPython(script: string, input: unknown): unknown {
  const run = spawnSync('python3', ['-c', script], {
    input: JSON.stringify(input),
    encoding: 'utf8',
    timeout: 50_000,
    maxBuffer: 64 * 1024 * 1024,
  });
  if (run.status !== 0) {
    throw new Error(`python3 failed: ${run.error?.message ?? run.stderr}`);
  }
  return JSON.parse(run.stdout);
}
