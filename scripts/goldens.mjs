// Writes the outputs that are committed beside the examples again: `npm run goldens`, or
// `npm run goldens -- library` for the sites of one name. Look at the difference before committing it.
import { spawnSync } from 'node:child_process';
import { root } from './lib/root.mjs';

const [name] = process.argv.slice(2);
const only = name === undefined ? [] : ['-t', name];
const run = spawnSync('npx', ['vitest', 'run', 'tests/examples.test.ts', ...only], {
  cwd: root,
  stdio: 'inherit',
  env: { ...process.env, FERRULE_WRITE_GOLDENS: 'yes' },
  shell: process.platform === 'win32',
});
process.exitCode = run.status ?? 1;
