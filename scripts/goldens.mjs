// Writes the outputs that are committed beside the examples again. Look at the difference before committing it.
import { spawnSync } from 'node:child_process';
import { root } from './lib/root.mjs';

const run = spawnSync('npx', ['vitest', 'run', 'tests/examples.test.ts'], {
  cwd: root,
  stdio: 'inherit',
  env: { ...process.env, FERRULE_WRITE_GOLDENS: 'yes' },
  shell: process.platform === 'win32',
});
process.exitCode = run.status ?? 1;
