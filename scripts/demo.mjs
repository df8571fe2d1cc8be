// The main job on the library example: findings, the drawing and the job pack, written to out/library.
import { spawnSync } from 'node:child_process';
import { mkdir, rm, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { inProject, root } from './lib/root.mjs';

const site = path.join('examples', 'library', 'library.ferrule');
const target = path.join('out', 'library');
const findings = path.join(target, 'findings.txt');
const drawing = path.join(target, 'topology.svg');
const pack = path.join(target, 'pack');

await rm(inProject(target), { recursive: true, force: true });
await mkdir(inProject(target), { recursive: true });

const checked = ferrule('check', site);
await writeFile(inProject(findings), checked);
ferrule('draw', site, '--view', 'topology', '--out', drawing);
ferrule('pack', site, '--out', pack);

console.log(`${checked}
The site      ${site}
Its findings  ${findings}
Its drawing   ${drawing}
Its job pack  ${pack}${path.sep}`);

/**
 * Runs the built command line; ends with its words and its exit code if it could not do its work.
 * @param {...string} args
 */
function ferrule(...args) {
  const command = inProject('dist', 'cli', 'ferrule.js');
  const run = spawnSync(process.execPath, [command, ...args], { cwd: root, encoding: 'utf8' });
  if (run.status !== 0) {
    process.stderr.write(`ferrule ${args.join(' ')}\n${run.stdout}${run.stderr}`);
    process.exit(run.status ?? 2);
  }
  return run.stdout;
}
