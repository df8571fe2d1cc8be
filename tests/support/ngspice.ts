/** Runs the circuit simulator ngspice as an independent reference for networks. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Load, Network } from '../../src/analysis/electrical/network.js';

/** How to get it, for the name of a test that has to be skipped. */
export const NGSPICE_INSTALL = 'apt-get install -y ngspice';

/** Whether `ngspice` can be run here. */
export function ngspiceIsInstalled(): boolean {
  return spawnSync('ngspice', ['--version'], { timeout: 20_000 }).status === 0;
}

/**
 * Node voltages of several networks, each in the order of its nodes.
 *
 * The networks share one process and the ground; they are simulated together.
 */
export function solveWithNgspice(networks: readonly Network[]): readonly (readonly number[])[] {
  const names = networks.map(nodeNames);
  const circuit = [...networks.flatMap(elementLines), ...networks.flatMap(startLines)];
  const voltageV = voltagesFromNgspice(circuit, [...new Set(names.flat())]);
  return names.map((ofNetwork) => ofNetwork.map((name) => voltageV.get(name)!));
}

/**
 * The operating point of a circuit, given as lines of a deck: the voltage of each named node.
 *
 * Throws where the simulator fails, takes about a minute or leaves a node out.
 */
export function voltagesFromNgspice(
  circuit: readonly string[],
  names: readonly string[],
): ReadonlyMap<string, number> {
  const folder = mkdtempSync(join(tmpdir(), 'ferrule-ngspice-'));
  try {
    const file = join(folder, 'circuit.cir');
    writeFileSync(file, deckOf(circuit, names));
    const run = spawnSync('ngspice', ['-b', file], { encoding: 'utf8', timeout: 55_000 });
    if (run.status !== 0 || run.error !== undefined) {
      throw new Error(`ngspice failed: ${run.error?.message ?? run.stderr}`);
    }
    return new Map(names.map((name) => [name, readVoltage(run.stdout, name)]));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function deckOf(circuit: readonly string[], names: readonly string[]): string {
  return [
    '* written by a test',
    ...circuit,
    '.options reltol=1e-9 abstol=1e-10 vntol=1e-9 itl1=500',
    '.control',
    'set numdgt=13',
    'op',
    ...names.map((name) => `print v(${name})`),
    // Without it the simulator complains that the circuit itself asks for nothing.
    'quit 0',
    '.endc',
    '.end',
    '',
  ].join('\n');
}

/** A network as circuit elements. Constant power is a current source P/V, started at the source voltage. */
function elementLines(network: Network, index: number): readonly string[] {
  const names = nodeNames(network, index);
  const nameById = new Map(network.nodes.map((node, position) => [node.id, names[position]!]));
  return [
    ...network.branches
      .filter((branch) => branch.loopResistanceOhm > 0)
      .map((branch, position) => {
        const ends = `${nameById.get(branch.from)!} ${nameById.get(branch.to)!}`;
        return `R${index}_${position} ${ends} ${branch.loopResistanceOhm}`;
      }),
    ...network.sources.flatMap((source, position) => {
      const node = nameById.get(source.node)!;
      const name = `${index}_${position}`;
      return source.resistanceOhm === 0
        ? [`VS${name} ${node} 0 ${source.voltageV}`]
        : [
            `VS${name} e${name} 0 ${source.voltageV}`,
            `RS${name} e${name} ${node} ${source.resistanceOhm}`,
          ];
    }),
    ...network.nodes.flatMap((node, position) =>
      node.loads.map((load, loadPosition) =>
        loadLine(load, `${index}_${position}_${loadPosition}`, names[position]!),
      ),
    ),
  ];
}

function loadLine(load: Load, name: string, node: string): string {
  switch (load.kind) {
    case 'constant-current':
      return `I${name} ${node} 0 ${load.currentA}`;
    case 'constant-power':
      return `B${name} ${node} 0 I=${load.powerW}/V(${node})`;
    case 'resistive':
      return `RL${name} ${node} 0 ${load.resistanceOhm}`;
  }
}

function startLines(network: Network, index: number): readonly string[] {
  const highestV = Math.max(...network.sources.map((source) => source.voltageV));
  return [...new Set(nodeNames(network, index))].map((name) => `.nodeset v(${name})=${highestV}`);
}

/**
 * A name for each node. Nodes that are joined without resistance share one: the simulator makes a
 * resistor of 0 ohm one of 1 mohm, and loses dead ends behind a source of 0 V.
 */
function nodeNames(network: Network, index: number): readonly string[] {
  const names = new Map(network.nodes.map((node, position) => [node.id, `n${index}_${position}`]));
  for (const { from, to, loopResistanceOhm } of network.branches) {
    const [kept, replaced] = [names.get(from)!, names.get(to)!];
    if (loopResistanceOhm === 0 && kept !== replaced) {
      for (const [id, name] of names) {
        names.set(id, name === replaced ? kept : name);
      }
    }
  }
  return network.nodes.map((node) => names.get(node.id)!);
}

function readVoltage(output: string, name: string): number {
  const match = new RegExp(`^v\\(${name}\\) = (\\S+)\\s*$`, 'mu').exec(output);
  if (match === null) {
    throw new Error(`ngspice gives no voltage for ${name}:\n${output.slice(0, 2000)}`);
  }
  return Number(match[1]);
}
