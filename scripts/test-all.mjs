// Everything that must hold before a change lands, in one run; prints the sum as its last line.
import { spawnSync } from 'node:child_process';
import { mkdir, rm } from 'node:fs/promises';
import { inProject, root } from './lib/root.mjs';
import { closingLine, isGreen, sumOf } from './lib/test-results.mjs';

const results = inProject('out', 'test-results');
await rm(results, { recursive: true, force: true });
await mkdir(results, { recursive: true });

/** A step that is no test counts as one failure when it fails and not at all when it passes. */
/** @type {{ title: string, command: string[], results?: string }[]} */
const steps = [
  { title: 'Programs for the tests', command: ['bash', 'scripts/ensure-tools.sh'] },
  { title: 'Build and package', command: ['npm', 'run', 'package'] },
  { title: 'Lint', command: ['npm', 'run', 'lint'] },
  { title: 'Types', command: ['npm', 'run', 'check:types'] },
  {
    title: 'Tests',
    command: ['npx', 'vitest', 'run', ...jsonTo('tests.json')],
    results: 'tests.json',
  },
  {
    title: 'A real VS Code',
    command: ['npm', 'run', 'test:editor:packaged', '--', ...jsonTo('editor.json')],
    results: 'editor.json',
  },
  { title: 'Orders of speed', command: ['npm', 'run', 'bench', '--', '--short'] },
];

const sum = { passed: 0, failed: 0, skipped: 0 };
const broken = [];
for (const step of steps) {
  const started = Date.now();
  console.log(`\n== ${step.title}`);
  const [program = '', ...rest] = step.command;
  const run = spawnSync(program, rest, { cwd: root, stdio: ['ignore', 'inherit', 'inherit'] });
  const counted =
    step.results === undefined ? undefined : await sumOf(`${results}/${step.results}`);
  sum.passed += counted?.passed ?? 0;
  sum.failed += counted?.failed ?? 0;
  sum.skipped += counted?.skipped ?? 0;
  // A run that ended badly although no test of it failed did not run to its end.
  if (run.status !== 0 && (counted?.failed ?? 0) === 0) {
    sum.failed += 1;
  }
  if (run.status !== 0) {
    broken.push(step.title);
  }
  console.log(`== ${step.title}: ${((Date.now() - started) / 1000).toFixed(0)} s`);
}

if (broken.length > 0) {
  console.log(`\nNot right: ${broken.join(', ')}`);
}
if (sum.skipped > 0) {
  console.log('\nA skipped test proves nothing, so this run does not count as passed.');
}
console.log(`\n${closingLine(sum)}`);
process.exitCode = isGreen(sum) ? 0 : 1;

/** @param {string} file */
function jsonTo(file) {
  return ['--reporter=default', '--reporter=json', `--outputFile.json=${results}/${file}`];
}
