/** Solves networks: the operating point, and how far it is from collapse. */
import { hasReactiveLoad } from './alternating-equations.js';
import { alternatingCollapseMargin, solveAlternating } from './alternating-network.js';
import { branchCurrents, buildSpanningTree } from './branch-currents.js';
import type { SpanningTree } from './branch-currents.js';
import { findRejection, unsuppliedNodes } from './network-check.js';
import type {
  CollapseFactor,
  CollapseMargin,
  Load,
  Network,
  NetworkRejected,
  NetworkSolution,
  NetworkSource,
  OperatingPoint,
} from './network.js';
import { findOperatingPoint } from './newton.js';
import { buildEquations, nodeVoltages } from './nodal-equations.js';
import type { NodalEquations } from './nodal-equations.js';

/** The collapse factor is narrowed down to this part of itself. */
const FACTOR_RESOLUTION = 1e-9;

/** Loads that could grow by more than this are no loads that a network can feel. */
const LARGEST_FACTOR = 1e12;

/** Volts and amperes by which a decoupling diode may seem wrongly on or off through rounding. */
const DIODE_TOLERANCE = 1e-9;

/**
 * The operating point of a network with the highest voltages, or that there is none.
 *
 * Kirchhoff's laws hold to better than 1e-9 A and 1e-9 V. Where no load has a reactive part,
 * alternating current is treated as its effective values through real resistances; where one has,
 * with complex voltages. Never throws: an input that is no network gives `rejected`.
 */
export function solveNetwork(network: Network): NetworkSolution {
  if (hasReactiveLoad(network)) {
    return solveAlternating(network);
  }
  const prepared = prepare(network);
  if (prepared.kind === 'rejected') {
    return prepared;
  }
  const solved = solveAt(prepared, 1);
  if (solved !== undefined) {
    return solved.point;
  }
  const margin = collapseFactor(prepared);
  const cause =
    margin === null || margin.failsAtFactor === 0 ? 'constant-current' : 'constant-power';
  return { kind: 'no-operating-point', cause, margin };
}

/**
 * The factor by which all constant-power loads together could grow before the voltage collapses,
 * found by bisection between a factor that has an operating point and one that provably has none.
 */
export function collapseMargin(network: Network): CollapseMargin {
  if (hasReactiveLoad(network)) {
    return alternatingCollapseMargin(network);
  }
  const prepared = prepare(network);
  if (prepared.kind === 'rejected') {
    return prepared;
  }
  return collapseFactor(prepared) ?? { kind: 'unbounded' };
}

/** The voltage in V of a node of an operating point, or undefined where it has no such node. */
export function voltageAt(point: OperatingPoint, nodeId: string): number | undefined {
  return point.nodes.find((node) => node.id === nodeId)?.voltageV;
}

/** A network as it is with some of its decoupled sources held back. */
interface Candidate {
  readonly network: Network;
  readonly heldBack: readonly NetworkSource[];
  readonly equations: NodalEquations;
  readonly tree: SpanningTree;
}

interface Prepared {
  readonly kind: 'prepared';
  readonly candidates: readonly Candidate[];
  readonly allSources: readonly NetworkSource[];
}

interface Solved {
  readonly candidate: Candidate;
  readonly point: OperatingPoint;
  readonly freeV: Float64Array;
}

/** The candidates in which a network can work, the one with all sources first. */
function prepare(network: Network): Prepared | NetworkRejected {
  const rejection = findRejection(network);
  if (rejection !== undefined) {
    return rejection;
  }
  const decoupled = network.sources.filter((source) => source.reverseCurrent === 'blocked');
  const candidates: Candidate[] = [];
  let firstRejection: NetworkRejected | undefined;
  for (const heldBack of subsets(decoupled)) {
    const sources = network.sources.filter((source) => !heldBack.includes(source));
    const reduced = { ...network, sources };
    // With all sources in place the check has been made.
    if (heldBack.length > 0 && unsuppliedNodes(reduced).length > 0) {
      continue;
    }
    const tree = buildSpanningTree(reduced);
    if ('problem' in tree) {
      firstRejection ??= tree;
      continue;
    }
    candidates.push({ network: reduced, heldBack, equations: buildEquations(reduced), tree });
  }
  return candidates.length === 0 && firstRejection !== undefined
    ? firstRejection
    : { kind: 'prepared', candidates, allSources: network.sources };
}

/** All subsets, smaller ones first; at most 16, since more than four members are rejected. */
function subsets<T>(members: readonly T[]): readonly (readonly T[])[] {
  const masks = Array.from({ length: 2 ** members.length }, (_, mask) => mask);
  return masks
    .map((mask) => members.filter((_, index) => ((mask >> index) & 1) === 1))
    .sort((a, b) => a.length - b.length);
}

function solveAt(
  { candidates, allSources }: Prepared,
  powerFactor: number,
  near?: Solved,
): Solved | undefined {
  for (const candidate of candidates) {
    const startV = near?.candidate === candidate ? near.freeV : undefined;
    const found = findOperatingPoint(candidate.equations, powerFactor, startV);
    if (found.kind === 'none') {
      continue;
    }
    const point = operatingPoint(
      candidate,
      allSources,
      powerFactor,
      found.voltageV,
      found.iterations,
    );
    if (diodesAgree(candidate, point)) {
      return { candidate, point, freeV: found.voltageV };
    }
  }
  return undefined;
}

/** Whether each diode conducts forwards where it is taken as closed and is held back where it is taken as open. */
function diodesAgree({ network, heldBack }: Candidate, point: OperatingPoint): boolean {
  const currentA = new Map(point.sources.map((source) => [source.id, source.currentA]));
  const forwards = network.sources.every(
    (source) => source.reverseCurrent !== 'blocked' || currentA.get(source.id)! >= -DIODE_TOLERANCE,
  );
  return (
    forwards &&
    heldBack.every((source) => voltageAt(point, source.node)! >= source.voltageV - DIODE_TOLERANCE)
  );
}

function operatingPoint(
  candidate: Candidate,
  allSources: readonly NetworkSource[],
  powerFactor: number,
  freeV: Float64Array,
  iterations: number,
): OperatingPoint {
  const { network, equations, tree } = candidate;
  const voltageV = nodeVoltages(equations, freeV);
  const loadA = network.nodes.map((node, index) =>
    node.loads.reduce((sum, load) => sum + loadCurrentA(load, voltageV[index]!, powerFactor), 0),
  );
  const { branches, sources } = branchCurrents(network, tree, voltageV, loadA);
  const sourceA = new Map(sources.map((source) => [source.id, source.currentA]));
  return {
    kind: 'operating-point',
    nodes: network.nodes.map(({ id }, index) => ({
      id,
      voltageV: voltageV[index]!,
      loadCurrentA: loadA[index]!,
    })),
    branches,
    sources: allSources.map(({ id }) => ({ id, currentA: sourceA.get(id) ?? 0 })),
    iterations,
  };
}

function loadCurrentA(load: Load, voltageV: number, powerFactor: number): number {
  switch (load.kind) {
    case 'constant-current':
      return load.currentA;
    case 'constant-power':
      return (powerFactor * load.powerW) / voltageV;
    case 'resistive':
      return voltageV / load.resistanceOhm;
  }
}

/** Null where no constant-power load worth the name stands behind a resistance. */
function collapseFactor(prepared: Prepared): CollapseFactor | null {
  if (!prepared.candidates.some(({ equations }) => equations.powerW.some((power) => power > 0))) {
    return null;
  }
  let low = solveAt(prepared, 0);
  if (low === undefined) {
    return { kind: 'factor', factor: 0, failsAtFactor: 0 };
  }
  let factor = 0;
  let failsAtFactor = 1;
  for (let more = solveAt(prepared, 1, low); more !== undefined;) {
    low = more;
    factor = failsAtFactor;
    failsAtFactor *= 2;
    if (failsAtFactor > LARGEST_FACTOR) {
      return null;
    }
    more = solveAt(prepared, failsAtFactor, low);
  }
  while (failsAtFactor - factor > FACTOR_RESOLUTION * failsAtFactor) {
    const middle = (factor + failsAtFactor) / 2;
    const solved = solveAt(prepared, middle, low);
    if (solved === undefined) {
      failsAtFactor = middle;
    } else {
      low = solved;
      factor = middle;
    }
  }
  return { kind: 'factor', factor, failsAtFactor };
}
