import { spawnSync } from 'node:child_process';
import path from 'node:path';
import { root } from './lib/root.mjs';

/** Runs the Langium generator on the grammar; throws with the generator's own words if it fails. */
export async function generateParser() {
  const command = path.join(root, 'node_modules', 'langium-cli', 'bin', 'langium.js');
  const run = spawnSync(process.execPath, [command, 'generate'], { cwd: root, encoding: 'utf8' });
  const output = `${run.stdout}${run.stderr}`;
  // The generator may report errors in the grammar and still exit with 0.
  if (run.status !== 0 || /\berror\b/i.test(output)) {
    throw new Error(`langium generate failed:\n${output}`);
  }
}
