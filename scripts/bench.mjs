// Bundles the benchmark and runs it; installs the servers that it measures beside ours in bench/.
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import esbuild from 'esbuild';
import { inProject, root } from './lib/root.mjs';

const words = process.argv.slice(2);
const measuresServers = !words.includes('--short') && !words.includes('--only=growth');
if (measuresServers && !existsSync(inProject('bench', 'node_modules', 'yaml-language-server'))) {
  run('npm', ['ci', '--prefix', 'bench']);
}
if (measuresServers) {
  run('npm', ['run', 'build']);
}
const outfile = inProject('out', 'bench', 'bench.mjs');
await esbuild.build({
  absWorkingDir: root,
  entryPoints: ['bench/main.ts'],
  outfile,
  bundle: true,
  platform: 'node',
  format: 'esm',
  packages: 'external',
  keepNames: true,
  logLevel: 'error',
});
run(process.execPath, ['--max-old-space-size=8192', outfile, ...words]);

/**
 * @param {string} program
 * @param {string[]} args
 */
function run(program, args) {
  const { status } = spawnSync(program, args, { cwd: root, stdio: 'inherit' });
  if (status !== 0) {
    process.exit(status ?? 1);
  }
}
