/** Measures Ferrule beside other language servers and with itself at growing sizes; bench/README.md says how to read it. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { cpus } from 'node:os';
import { exponentOf, growthTable, measureGrowth, type GrowthOptions } from './growth.js';
import { measureServers, serversTable, type ServerFigures } from './servers.js';

/** Leaves the largest site out, for trying the benchmark itself. */
const isQuick = process.argv.includes('--quick');
const isShort = process.argv.includes('--short');
const parts = (['growth', 'servers'] as const).filter(
  (part) =>
    !process.argv.some((word) => word.startsWith('--only=')) ||
    process.argv.includes(`--only=${part}`),
);

const whole: GrowthOptions = {
  sizes: [100, 1000, 5000, 10_000, 50_000],
  edits: 25,
  rounds: 3,
  drawnUpTo: 5100,
};
const short: GrowthOptions = { sizes: [100, 4000], edits: 15, rounds: 1, drawnUpTo: 0 };

const wrong: string[] = [];
const results: { growth?: unknown; servers?: readonly ServerFigures[] } = {};

if (parts.includes('growth') || isShort) {
  const growth = measureGrowth(isShort ? short : whole);
  results.growth = growth;
  console.log('\nIn this process, milliseconds (draw: the topology as SVG)\n');
  console.log(growthTable(growth));
  const largest = growth.at(-1)!;
  const exponents = {
    open: exponentOf(growth, (one) => one.openMs),
    rules: exponentOf(growth, (one) => one.rulesMs),
    facts: exponentOf(growth, (one) => one.factsMs),
    edit: exponentOf(growth, (one) => one.editMedianMs),
  };
  console.log(
    `\nGrowth exponents (1 is linear): ${Object.entries(exponents)
      .map(([phase, exponent]) => `${phase} ${exponent.toFixed(2)}`)
      .join(', ')}`,
  );
  // Orders only, with room for a slow and shared machine: a quadratic phase has 2.
  for (const [phase, exponent] of Object.entries(exponents)) {
    if (exponent > 1.5) {
      wrong.push(`${phase} grows with the power ${exponent.toFixed(2)} of the size`);
    }
  }
  const editShare = largest.editMedianMs / (largest.openMs + largest.rulesMs);
  console.log(
    `An edit takes ${(100 * editShare).toFixed(2)} % of opening ${largest.devices} devices.`,
  );
  if (editShare > 0.2) {
    wrong.push(`an edit takes ${(100 * editShare).toFixed(0)} % of opening the site`);
  }
}

if (parts.includes('servers') && !isShort) {
  const servers = await measureServers(isQuick ? [1000] : [1000, 10_000]);
  results.servers = servers;
  console.log(`\n${serversTable(servers)}`);
}

mkdirSync('out/bench', { recursive: true });
const machine = { node: process.version, cpu: cpus()[0]?.model ?? '', cores: cpus().length };
const file = isShort ? 'out/bench/short.json' : 'out/bench/bench.json';
writeFileSync(file, `${JSON.stringify({ schemaVersion: 1, machine, ...results }, null, 2)}\n`);
console.log(`\nWritten to ${file}`);

if (wrong.length > 0) {
  console.log(`\nNot in the right order: ${wrong.join('; ')}.`);
  process.exitCode = 1;
}
