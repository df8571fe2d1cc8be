/** Solves networks with reactive loads: complex voltages, given as effective values with their angles. */
import { buildAlternatingEquations, impedanceOf, loadCurrent } from './alternating-equations.js';
import type { AlternatingEquations } from './alternating-equations.js';
import { follow, unloadedPoint } from './alternating-path.js';
import type { PathEnd, PathPoint } from './alternating-path.js';
import { buildSpanningTree } from './branch-currents.js';
import type { SpanningTree } from './branch-currents.js';
import { findRejection, reject } from './network-check.js';
import type {
  CollapseFactor,
  CollapseMargin,
  Network,
  NetworkRejected,
  NetworkSolution,
  OperatingPoint,
} from './network.js';

/** Loads that could grow by more than this are no loads that a network can feel. */
const LARGEST_FACTOR = 1e12;

/**
 * The operating point that the network reaches when its loads are connected little by little, or
 * that the way there ends at a nose. All sources count as in phase with each other.
 */
export function solveAlternating(network: Network): NetworkSolution {
  const prepared = prepare(network);
  if ('problem' in prepared) {
    return prepared;
  }
  const { equations, tree, unloaded } = prepared;
  const end = follow(equations, unloaded, { currents: 1, powers: 1 });
  switch (end.kind) {
    case 'reached':
      return operatingPoint(network, equations, tree, end.point);
    case 'undecided':
      return undecided(network);
    case 'exhausted':
    case 'nose': {
      const isCurrent = end.last.shares.currents < 1;
      return {
        kind: 'no-operating-point',
        cause: isCurrent ? 'constant-current' : 'constant-power',
        margin: !hasPower(equations)
          ? null
          : isCurrent
            ? { kind: 'factor', factor: 0, failsAtFactor: 0 }
            : factorOf(end),
      };
    }
  }
}

/** The factor by which all constant-power loads together, reactive parts included, could grow. */
export function alternatingCollapseMargin(network: Network): CollapseMargin {
  const prepared = prepare(network);
  if ('problem' in prepared) {
    return prepared;
  }
  const { equations, unloaded } = prepared;
  if (!hasPower(equations)) {
    return { kind: 'unbounded' };
  }
  const end = follow(equations, unloaded, { currents: 1, powers: LARGEST_FACTOR });
  switch (end.kind) {
    case 'reached':
      return { kind: 'unbounded' };
    case 'undecided':
      return undecided(network);
    case 'exhausted':
    case 'nose':
      return end.last.shares.currents < 1
        ? { kind: 'factor', factor: 0, failsAtFactor: 0 }
        : factorOf(end);
  }
}

interface Prepared {
  readonly equations: AlternatingEquations;
  readonly tree: SpanningTree;
  readonly unloaded: PathPoint;
}

function prepare(network: Network): Prepared | NetworkRejected {
  const rejection =
    findRejection(network) ??
    reject(
      'blocked-source-alternating',
      network.sources.filter((one) => one.reverseCurrent === 'blocked').map((one) => one.id),
    );
  if (rejection !== undefined) {
    return rejection;
  }
  const tree = buildSpanningTree(network);
  if ('problem' in tree) {
    return tree;
  }
  const equations = buildAlternatingEquations(network);
  const unloaded = unloadedPoint(equations);
  return unloaded === undefined ? undecided(network) : { equations, tree, unloaded };
}

function undecided(network: Network): NetworkRejected {
  return { kind: 'rejected', problem: 'undecided', at: network.sources.map(({ id }) => id) };
}

function hasPower(equations: AlternatingEquations): boolean {
  return equations.powerVA.some((power) => power !== 0);
}

function factorOf(end: Extract<PathEnd, { kind: 'nose' | 'exhausted' }>): CollapseFactor {
  const factor = end.last.shares.powers;
  return { kind: 'factor', factor, failsAtFactor: end.kind === 'nose' ? end.failsAt : factor };
}

function operatingPoint(
  network: Network,
  equations: AlternatingEquations,
  tree: SpanningTree,
  { voltageV: freeV, iterations }: PathPoint,
): OperatingPoint {
  const voltageV = equations.pointOfNode.map((point): Complex =>
    point.kind === 'free'
      ? [freeV[2 * point.index]!, freeV[2 * point.index + 1]!]
      : [point.voltageV, 0],
  );
  const loadA = network.nodes.map((node, index) =>
    node.loads.map((load) => loadCurrent(load, voltageV[index]!, 1)).reduce<Complex>(sum, [0, 0]),
  );
  const currentA = elementCurrents(network, tree, voltageV, loadA);
  const indexOf = new Map(network.nodes.map((node, index) => [node.id, index]));
  const directed = (element: number, nodeId: string) =>
    inDirection(currentA[element]!, voltageV[indexOf.get(nodeId)!]!);
  return {
    kind: 'operating-point',
    nodes: network.nodes.map(({ id }, index) => ({
      id,
      voltageV: size(voltageV[index]!),
      loadCurrentA: size(loadA[index]!),
      angleDeg: angleDeg(voltageV[index]!),
    })),
    branches: network.branches.map(({ id, from }, index) => ({ id, ...directed(index, from) })),
    sources: network.sources.map(({ id, node }, index) => ({
      id,
      ...directed(network.branches.length + index, node),
    })),
    iterations,
  };
}

type Complex = readonly [real: number, imaginary: number];

/** The currents of branches, then sources, balanced from the leaves of the tree as with direct current. */
function elementCurrents(
  network: Network,
  { elements, outward, chords }: SpanningTree,
  voltageV: readonly Complex[],
  loadA: readonly Complex[],
): readonly Complex[] {
  const currentA = elements.map((): Complex => [0, 0]);
  const potentialV: readonly Complex[] = [...voltageV, [0, 0]];
  const demandA: Complex[] = [...loadA, [0, 0]];
  for (const chord of chords) {
    const { from, to, resistanceOhm, liftV } = elements[chord]!;
    const branch = network.branches[chord];
    const impedanceOhm: Complex = branch === undefined ? [resistanceOhm, 0] : impedanceOf(branch);
    const acrossV: Complex = [
      potentialV[from]![0] + liftV - potentialV[to]![0],
      potentialV[from]![1] - potentialV[to]![1],
    ];
    currentA[chord] = quotient(acrossV, impedanceOhm);
    demandA[from] = sum(demandA[from]!, currentA[chord]);
    demandA[to] = sum(demandA[to]!, negative(currentA[chord]));
  }
  for (const { element, outerNode } of [...outward].reverse()) {
    const { from, to } = elements[element]!;
    currentA[element] = outerNode === to ? demandA[to]! : negative(demandA[from]!);
    const inner = outerNode === to ? from : to;
    demandA[inner] = sum(demandA[inner]!, demandA[outerNode]!);
  }
  return currentA;
}

/** An effective value, with the sign of the active power that it carries at a voltage. */
function inDirection(
  current: Complex,
  voltage: Complex,
): { readonly currentA: number; readonly angleDeg: number } {
  const activeW = current[0] * voltage[0] + current[1] * voltage[1];
  const currentA = activeW < 0 ? -size(current) : size(current);
  return { currentA, angleDeg: angleDeg(activeW < 0 ? negative(current) : current) };
}

function sum(one: Complex, other: Complex): Complex {
  return [one[0] + other[0], one[1] + other[1]];
}

function negative([real, imaginary]: Complex): Complex {
  return [-real, -imaginary];
}

function quotient([a, b]: Complex, [c, d]: Complex): Complex {
  const square = c ** 2 + d ** 2;
  return [(a * c + b * d) / square, (b * c - a * d) / square];
}

function size([real, imaginary]: Complex): number {
  return Math.hypot(real, imaginary);
}

/** 0 where there is nothing to turn, and never −0. */
function angleDeg([real, imaginary]: Complex): number {
  return imaginary === 0 && real >= 0 ? 0 : (Math.atan2(imaginary, real) * 180) / Math.PI;
}
