/** Networks for tests: chains as reference values state them, and random ones. */
import type {
  Branch,
  Load,
  Network,
  NetworkNode,
  OperatingPoint,
} from '../../src/analysis/electrical/network.js';
import { solveNetwork } from '../../src/analysis/electrical/solve-network.js';
import type { Random } from './random.js';

/** A load as reference values write it: `["P", 7.2]`. */
export type WrittenLoad = readonly ['I' | 'P' | 'R', number];

/** Reads a written load. */
export function loadOf([kind, value]: WrittenLoad): Load {
  switch (kind) {
    case 'I':
      return { kind: 'constant-current', currentA: value };
    case 'P':
      return { kind: 'constant-power', powerW: value };
    case 'R':
      return { kind: 'resistive', resistanceOhm: value };
  }
}

/**
 * A chain: the source stands at the first node, each hop leads to the next node with its loads.
 * A second voltage stands at the end, behind one more hop than there are loads.
 */
export function chainNetwork(
  hopsOhm: readonly number[],
  loads: readonly WrittenLoad[],
  voltagesV: readonly [number] | readonly [number, number],
): Network {
  const nodes = Array.from({ length: hopsOhm.length + 1 }, (_, index): NetworkNode => {
    const load = index === 0 ? undefined : loads[index - 1];
    return { id: `n${index}`, loads: load === undefined ? [] : [loadOf(load)] };
  });
  return {
    nodes,
    branches: hopsOhm.map((loopResistanceOhm, index) => ({
      id: `hop ${index + 1}`,
      from: `n${index}`,
      to: `n${index + 1}`,
      loopResistanceOhm,
    })),
    sources: voltagesV.map((voltageV, index) => ({
      id: `source ${index + 1}`,
      node: index === 0 ? 'n0' : `n${hopsOhm.length}`,
      voltageV,
      resistanceOhm: 0,
    })),
  };
}

/** The operating point of a network that must have one. */
export function operatingPointOf(network: Network): OperatingPoint {
  const solution = solveNetwork(network);
  if (solution.kind !== 'operating-point') {
    throw new Error(`no operating point: ${JSON.stringify(solution)}`);
  }
  return solution;
}

/** The same network with every constant-power load multiplied. */
export function withPowerFactor(network: Network, factor: number): Network {
  const nodes = network.nodes.map((node) => ({
    ...node,
    loads: node.loads.map((load) =>
      load.kind === 'constant-power' ? { ...load, powerW: load.powerW * factor } : load,
    ),
  }));
  return { ...network, nodes };
}

/** A random tree with loads of all kinds, several or none at a node, fed at its first node. */
export function randomTree(random: Random): Network {
  const nodeCount = random.integer(2, 30);
  const voltageV = random.pick([5, 12, 15, 24, 36, 48, 230]);
  const stretch = random.pick([1, 3, nodeCount]);
  const nodes = Array.from({ length: nodeCount }, (_, index): NetworkNode => ({
    id: `n${index}`,
    loads: randomLoads(random, voltageV),
  }));
  const branches = nodes.slice(1).map(({ id }, index): Branch => {
    // Few candidates for the parent give long chains, many give bushes.
    const parent = random.integer(Math.max(0, index + 1 - stretch), index);
    return {
      id: `branch ${index + 1}`,
      from: `n${parent}`,
      to: id,
      loopResistanceOhm: random.next() < 0.05 ? 0 : random.between(0.001, 0.8),
    };
  });
  const resistanceOhm = random.next() < 0.5 ? 0 : random.between(0.005, 0.3);
  return { nodes, branches, sources: [{ id: 'source', node: 'n0', voltageV, resistanceOhm }] };
}

/** A random chain with a source at each end, of nearly the same voltage. */
export function randomTwoEnded(random: Random): Network {
  const nodeCount = random.integer(3, 20);
  const voltageV = random.pick([12, 24, 48]);
  const nodes = Array.from({ length: nodeCount }, (_, index): NetworkNode => ({
    id: `n${index}`,
    loads: index === 0 || index === nodeCount - 1 ? [] : randomLoads(random, voltageV),
  }));
  const source = (id: string, node: string, volts: number) => ({
    id,
    node,
    voltageV: volts,
    resistanceOhm: random.next() < 0.5 ? 0 : random.between(0.005, 0.3),
  });
  return {
    nodes,
    branches: nodes.slice(1).map(({ id }, index): Branch => ({
      id: `hop ${index + 1}`,
      from: `n${index}`,
      to: id,
      loopResistanceOhm: random.between(0.01, 0.8),
    })),
    sources: [
      source('first', 'n0', voltageV),
      source('second', `n${nodeCount - 1}`, voltageV * random.between(0.97, 1.03)),
    ],
  };
}

/** A random tree with a few more branches that close rings, and sometimes a second source. */
export function randomMesh(random: Random): Network {
  const tree = randomTree(random);
  const ids = tree.nodes.map((node) => node.id);
  const extra = Array.from({ length: random.integer(1, 4) }, (_, index): Branch => ({
    id: `ring ${index + 1}`,
    from: random.pick(ids),
    to: random.pick(ids),
    loopResistanceOhm: random.between(0.01, 1),
  }));
  const first = tree.sources[0]!;
  const second = {
    id: 'second source',
    node: random.pick(ids.slice(1)),
    voltageV: first.voltageV * random.between(0.95, 1.05),
    resistanceOhm: random.between(0.01, 0.5),
  };
  return {
    nodes: tree.nodes,
    branches: [...tree.branches, ...extra],
    sources: random.next() < 0.5 ? [first] : [first, second],
  };
}

/** A network on alternating current: its loads lag, most of them, its branches have some reactance. */
export function madeReactive(network: Network, random: Random): Network {
  const equal = random.next() < 0.3 ? random.between(0.1, 1.5) : undefined;
  let isFirst = true;
  const lag = (): number => {
    // Without any reactive load the reactances play no part, and it would be the other solver's.
    const inPhase = !isFirst && random.next() < 0.3;
    isFirst = false;
    return equal ?? (inPhase ? 0 : random.pick([0.2, 0.484, 0.75, 1.33, 2]));
  };
  const isLoaded = network.nodes.some(({ loads }) => loads.length > 0);
  const last = network.nodes.length - 1;
  return {
    ...network,
    nodes: network.nodes.map((node, index) => ({
      ...node,
      loads: (isLoaded || index < last ? node.loads : [someLoad]).map((load): Load => ({
        ...load,
        reactivePerActive: lag(),
      })),
    })),
    branches: network.branches.map((branch) => ({
      ...branch,
      loopReactanceOhm: branch.loopResistanceOhm * random.pick([0, 0.006, 0.05, 0.5, 1.5]),
    })),
  };
}

/** For a network that was drawn without any load. */
const someLoad: Load = { kind: 'constant-current', currentA: 0.01 };

function randomLoads(random: Random, voltageV: number): readonly Load[] {
  return Array.from({ length: random.pick([0, 1, 1, 1, 2, 3]) }, (): Load => {
    switch (random.pick(['I', 'P', 'P', 'R'] as const)) {
      case 'I':
        return { kind: 'constant-current', currentA: random.between(0.001, 0.08) };
      case 'P':
        return { kind: 'constant-power', powerW: voltageV * random.between(0.005, 0.3) };
      case 'R':
        return { kind: 'resistive', resistanceOhm: voltageV / random.between(0.002, 0.2) };
    }
  });
}
