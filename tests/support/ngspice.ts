/** Runs the circuit simulator ngspice as an independent reference for networks. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Load, Network } from '../../src/analysis/electrical/network.js';

/** The simulator found no solution on its way to the end value: it has nothing to say. */
export class SweepStopped extends Error {}

/** How to get it, for the name of a test that has to be skipped. */
export const NGSPICE_INSTALL = 'apt-get install -y ngspice';

/** Whether `ngspice` can be run here. */
export function ngspiceIsInstalled(): boolean {
  return spawnSync('ngspice', ['--version'], { timeout: 20_000 }).status === 0;
}

const NETWORKS_PER_PROCESS = 10;

/**
 * Node voltages of networks, each in the order of its nodes.
 *
 * Small-signal analysis knows no constant power. So a network with reactive loads is simulated as
 * two circuits of direct current that act on each other, one for the real and one for the imaginary
 * parts; its voltages are effective values. On its way to them the simulator gives up now and then,
 * or stops with a load at 0 V at the end of a cable whose current nothing takes: such a network has
 * undefined.
 */
export function solveWithNgspice(
  networks: readonly Network[],
): readonly (readonly number[] | undefined)[] {
  const solved = new Map<Network, readonly number[]>();
  const real = networks.filter((network) => !isReactive(network));
  for (let start = 0; start < real.length; start += NETWORKS_PER_PROCESS) {
    // The networks of a batch share the process and the ground.
    const batch = real.slice(start, start + NETWORKS_PER_PROCESS);
    const names = batch.map(nodeNames);
    const circuit = [...batch.flatMap(elementLines), ...batch.flatMap(startLines)];
    const voltageV = voltagesFromNgspice(circuit, [...new Set(names.flat())], CONNECTED);
    batch.forEach((network, index) => {
      solved.set(
        network,
        names[index]!.map((name) => voltageV.get(name)!),
      );
    });
  }
  for (const network of networks.filter(isReactive)) {
    const effectiveV = effectiveVoltages(network);
    if (effectiveV !== undefined) {
      solved.set(network, effectiveV);
    }
  }
  return networks.map((network) => solved.get(network));
}

/** Whether a network has a reactive load. */
export function isReactive(network: Network): boolean {
  return network.nodes.some((node) => node.loads.some((load) => (load.reactivePerActive ?? 0) > 0));
}

function effectiveVoltages(network: Network): readonly number[] | undefined {
  const names = nodeNames(network, 0);
  const circuit = [
    ...complexLines(network, 0),
    ...startLines(network, 0),
    ...complexStarts(network, 0),
  ];
  const wanted = [...new Set(names.flatMap((name) => [name, imaginary(name)]))];
  try {
    const voltageV = voltagesFromNgspice(circuit, wanted, CONNECTED);
    const phasors = names.map((name): Phasor => [
      voltageV.get(name)!,
      voltageV.get(imaginary(name))!,
    ]);
    return isBalanced(network, phasors) ? phasors.map(magnitude) : undefined;
  } catch (error) {
    if (error instanceof SweepStopped) {
      return undefined;
    }
    throw error;
  }
}

type Phasor = readonly [real: number, imaginary: number];

/**
 * Whether the currents of the simulator's own voltages add up to zero at each node without a source,
 * to a millionth of the largest current. Nothing of our solver goes into this judgement.
 */
function isBalanced(network: Network, phasors: readonly Phasor[]): boolean {
  const position = new Map(network.nodes.map(({ id }, index) => [id, index]));
  // Nodes that are joined without resistance stand for one: what flows between them shows in neither.
  const groups = nodeNames(network, 0);
  const sums = new Map<string, Phasor>(groups.map((name) => [name, [0, 0]]));
  let largestA = 0;
  const add = (name: string, currentA: Phasor) => {
    const [real, imaginary] = sums.get(name)!;
    sums.set(name, [real + currentA[0], imaginary + currentA[1]]);
    largestA = Math.max(largestA, magnitude(currentA));
  };
  for (const { from, to, loopResistanceOhm, loopReactanceOhm = 0 } of network.branches) {
    if (loopResistanceOhm > 0) {
      const [one, other] = [position.get(from)!, position.get(to)!];
      const [real, imaginary] = [0, 1].map(
        (part) => phasors[one]![part]! - phasors[other]![part]!,
      ) as [number, number];
      const square = loopResistanceOhm ** 2 + loopReactanceOhm ** 2;
      const currentA: Phasor = [
        (real * loopResistanceOhm + imaginary * loopReactanceOhm) / square,
        (imaginary * loopResistanceOhm - real * loopReactanceOhm) / square,
      ];
      add(groups[one]!, [-currentA[0], -currentA[1]]);
      add(groups[other]!, currentA);
    }
  }
  network.nodes.forEach(({ loads }, index) => {
    for (const load of loads) {
      const [real, imaginary] = phasors[index]!;
      const tangent = load.reactivePerActive ?? 0;
      const voltageV = magnitude(phasors[index]!);
      const siemens =
        load.kind === 'resistive'
          ? 1 / load.resistanceOhm
          : load.kind === 'constant-current'
            ? load.currentA / voltageV
            : load.powerW / voltageV ** 2;
      add(groups[index]!, [
        -siemens * (real + tangent * imaginary),
        -siemens * (imaginary - tangent * real),
      ]);
    }
  });
  const fed = new Set(network.sources.map(({ node }) => groups[position.get(node)!]!));
  return [...sums].every(([name, sum]) => fed.has(name) || magnitude(sum) <= 1e-6 * largestA);
}

function magnitude([real, imaginary]: Phasor): number {
  return Math.hypot(real, imaginary);
}

/**
 * The loads of constant power, and with complex numbers all but constant impedances, are connected
 * little by little: started with all of them at once, the simulator may end in a lower root.
 */
const CONNECTED: readonly string[] = ['Vconnected connected 0 1', 'dc Vconnected 0 1 0.02'];

/**
 * The operating point of a circuit, given as lines of a deck: the voltage of each named node.
 *
 * `source` and `sweep` are a line of the circuit and a command that raises that source to its end
 * value. Throws where the simulator fails, takes about a minute or leaves a node out, and
 * {@link SweepStopped} where it gives up before that value.
 */
export function voltagesFromNgspice(
  circuit: readonly string[],
  names: readonly string[],
  [source, sweep]: readonly string[] = [],
): ReadonlyMap<string, number> {
  const folder = mkdtempSync(join(tmpdir(), 'ferrule-ngspice-'));
  try {
    const file = join(folder, 'circuit.cir');
    writeFileSync(
      file,
      source === undefined || sweep === undefined
        ? deckOf(circuit, names, 'op')
        : deckOf([...circuit, source], names, sweep),
    );
    const run = spawnSync('ngspice', ['-b', file], { encoding: 'utf8', timeout: 55_000 });
    if (run.status !== 0 || run.error !== undefined) {
      throw new Error(`ngspice failed: ${run.error?.message ?? run.stderr}`);
    }
    if (source !== undefined && readEnd(run.stdout) !== 1) {
      throw new SweepStopped(run.stderr.slice(0, 2000));
    }
    return new Map(names.map((name) => [name, readVoltage(run.stdout, name)]));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function deckOf(circuit: readonly string[], names: readonly string[], analysis: string): string {
  return [
    '* written by a test',
    ...circuit,
    '.options reltol=1e-9 abstol=1e-10 vntol=1e-9 itl1=500 itl2=500',
    '.control',
    'set numdgt=13',
    analysis,
    ...names.flatMap((name) =>
      analysis === 'op'
        ? [`print v(${name})`]
        : [`let last = length(v(${name})) - 1`, `print v(${name})[last]`],
    ),
    ...(analysis === 'op' ? [] : ['let end = v(connected)[last]', 'print end']),
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

/**
 * Real parts between the nodes, imaginary parts between their twins. A cable drops R Ir − X Ii in
 * the one and R Ii + X Ir in the other; sources of 0 V measure the currents. A load takes the
 * conjugate of (P + jQ)/V, or a current at a fixed angle to its voltage, or its admittance.
 */
function complexLines(network: Network, index: number): readonly string[] {
  const names = nodeNames(network, index);
  const nameById = new Map(network.nodes.map((node, position) => [node.id, names[position]!]));
  return [
    ...network.branches
      .filter((branch) => branch.loopResistanceOhm > 0)
      .flatMap((branch, position) => {
        const id = `${index}_${position}`;
        const [from, to] = [nameById.get(branch.from)!, nameById.get(branch.to)!];
        const ohm = branch.loopResistanceOhm;
        const x = branch.loopReactanceOhm ?? 0;
        return [
          `VA${id} ${from} a${id} 0`,
          `RA${id} a${id} b${id} ${ohm}`,
          `HA${id} b${id} ${to} VC${id} ${-x}`,
          `VC${id} ${imaginary(from)} c${id} 0`,
          `RC${id} c${id} d${id} ${ohm}`,
          `HC${id} d${id} ${imaginary(to)} VA${id} ${x}`,
        ];
      }),
    ...network.sources.flatMap((source, position) => {
      const node = nameById.get(source.node)!;
      const id = `${index}_${position}`;
      return source.resistanceOhm === 0
        ? [`VS${id} ${node} 0 ${source.voltageV}`, `VT${id} ${imaginary(node)} 0 0`]
        : [
            `VS${id} e${id} 0 ${source.voltageV}`,
            `RS${id} e${id} ${node} ${source.resistanceOhm}`,
            `RT${id} ${imaginary(node)} 0 ${source.resistanceOhm}`,
          ];
    }),
    ...network.nodes.flatMap((node, position) =>
      node.loads.flatMap((load, loadPosition) =>
        complexLoadLines(load, `${index}_${position}_${loadPosition}`, names[position]!),
      ),
    ),
  ];
}

/**
 * V², added where a load divides by a voltage: at a start from zero the simulator would divide zero by
 * zero. It changes a current at 1 V by 1e-9 of itself at most; near collapse the voltages follow such a
 * change many times over, so it has to stay far below what is compared.
 */
const NEVER_ZERO = 1e-9;

function complexLoadLines(load: Load, name: string, node: string): readonly string[] {
  const tangent = load.reactivePerActive ?? 0;
  if (load.kind === 'resistive') {
    return complexConductance(1 / load.resistanceOhm, tangent, name, node);
  }
  const [r, i] = [`V(${node})`, `V(${imaginary(node)})`];
  const [size, active] =
    load.kind === 'constant-current'
      ? [`sqrt(${r}*${r}+${i}*${i}+${NEVER_ZERO})`, `V(connected)*${load.currentA}`]
      : [`(${r}*${r}+${i}*${i}+${NEVER_ZERO})`, `V(connected)*${load.powerW}`];
  const beside = (sign: '+' | '-', other: string) =>
    tangent === 0 ? '' : `${sign}${tangent}*${other}`;
  return [
    `BR${name} ${node} 0 I=${active}*(${r}${beside('+', i)})/${size}`,
    `BI${name} ${imaginary(node)} 0 I=${active}*(${i}${beside('-', r)})/${size}`,
  ];
}

/**
 * Linear elements for a linear load. As an expression beside start values it made the simulator stop
 * where its own voltages and currents did not fit each other.
 */
function complexConductance(
  siemens: number,
  tangent: number,
  name: string,
  node: string,
): readonly string[] {
  const other = imaginary(node);
  return [
    `RR${name} ${node} 0 ${1 / siemens}`,
    `RI${name} ${other} 0 ${1 / siemens}`,
    ...(tangent === 0
      ? []
      : [
          `GR${name} ${node} 0 ${other} 0 ${siemens * tangent}`,
          `GI${name} ${other} 0 ${node} 0 ${-siemens * tangent}`,
        ]),
  ];
}

function imaginary(name: string): string {
  return `${name}i`;
}

function loadLine(load: Load, name: string, node: string): string {
  switch (load.kind) {
    case 'constant-current':
      return `I${name} ${node} 0 ${load.currentA}`;
    case 'constant-power':
      return `B${name} ${node} 0 I=V(connected)*${load.powerW}/V(${node})`;
    case 'resistive':
      return `RL${name} ${node} 0 ${load.resistanceOhm}`;
  }
}

function startLines(network: Network, index: number): readonly string[] {
  const highestV = Math.max(...network.sources.map((source) => source.voltageV));
  return [...new Set(nodeNames(network, index))].map((name) => `.nodeset v(${name})=${highestV}`);
}

/** The points inside the cables and the imaginary parts start where they will nearly be, too. */
function complexStarts(network: Network, index: number): readonly string[] {
  const highestV = Math.max(...network.sources.map((source) => source.voltageV));
  return [
    ...network.branches
      .filter((branch) => branch.loopResistanceOhm > 0)
      .flatMap((_, position) => [
        `.nodeset v(a${index}_${position})=${highestV}`,
        `.nodeset v(b${index}_${position})=${highestV}`,
        `.nodeset v(c${index}_${position})=0`,
        `.nodeset v(d${index}_${position})=0`,
      ]),
    ...[...new Set(nodeNames(network, index))].map((name) => `.nodeset v(${imaginary(name)})=0`),
  ];
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

/** How much of the loads was connected in the last point of a sweep; NaN where there is none. */
function readEnd(output: string): number {
  return Number(/^end = (\S+)\s*$/mu.exec(output)?.[1] ?? Number.NaN);
}

function readVoltage(output: string, name: string): number {
  const match = new RegExp(`^v\\(${name}\\)(?:\\[last\\])? = (\\S+)\\s*$`, 'mu').exec(output);
  if (match === null) {
    throw new Error(`ngspice gives no voltage for ${name}:\n${output.slice(0, 2000)}`);
  }
  return Number(match[1]);
}
