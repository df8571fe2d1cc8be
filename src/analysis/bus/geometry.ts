/** The shape of a bus as drawn: lengths, ends, stubs, branches. */
import type { Site } from '../../model/site.js';
import type { Bus } from '../../model/wiring.js';
import { memoised } from '../memo.js';
import { distancesFrom, farthestPair } from './distances.js';
import type { NodePair } from './distances.js';
import { graphOf, knownLengthM } from './graph.js';
import type { BusCable, BusGraph } from './graph.js';
import { isAbove } from './limits.js';
import type { BusLanding, BusSegment } from './segment.js';

/** What the cables of a segment form; `single` is one place without any cable. */
export type DrawnShape = 'single' | 'chain' | 'tree' | 'star' | 'ring' | 'branched-ring' | 'meshed';

/** A sum of cable lengths, as far as they are known. */
export interface LengthSum {
  /** In metres; where cables are unknown, at least this much. */
  readonly knownM: number;
  /** The part of it in metres that is estimated. */
  readonly estimatedM: number;
  /** Cables whose length is neither stated nor to be estimated. */
  readonly unknown: readonly BusCable[];
}

/** A spur with one landing, on which nothing else hangs. */
export interface Stub {
  readonly cable: BusCable;
  readonly landing: BusLanding;
}

/** A place where more than two lines meet, stubs not counted. */
export interface Branch {
  readonly node: number;
  /** The landing that made a branch of it: the last one, in text order, that was too many. */
  readonly landing: BusLanding;
}

/** The geometry of one segment. */
export interface BusGeometry {
  readonly segment: BusSegment;
  readonly graph: BusGraph;
  readonly shape: DrawnShape;
  readonly total: LengthSum;
  /** Running total in metres up to each cable, by position; unknown lengths count as none. */
  readonly runningM: readonly number[];
  /** Undefined for an empty segment and for one with more than one loop. */
  readonly farthest: NodePair | undefined;
  readonly stubs: readonly Stub[];
  readonly branches: readonly Branch[];
  /** Arms of a star; 0 for every other shape. */
  readonly arms: number;
  /** Nodes where a line ends, stubs not counted; none for a ring. In order of their landings. */
  readonly ends: readonly number[];
}

/** The geometry of a bus's segment; the same object for all its buses. */
export const geometryOf: (site: Site, bus: Bus) => BusGeometry = memoised((site, bus) => {
  const graph = graphOf(site, bus);
  return graph.segment.lead === bus ? measure(graph) : geometryOf(site, graph.segment.lead);
});

/** The landing that stands for a node: its first one. */
export function landingAt(geometry: BusGeometry, node: number): BusLanding {
  return geometry.graph.nodes[node]![0]!;
}

/**
 * The first landing on the way from one node to another that lies farther than a limit in metres
 * from the first node; undefined where none does.
 */
export function firstBeyond(
  geometry: BusGeometry,
  pair: NodePair,
  limitM: number,
): BusLanding | undefined {
  const { lengthM, before } = distancesFrom(geometry.graph, pair.one);
  let beyond: number | undefined;
  for (let node = pair.other; node >= 0 && isAbove(lengthM[node]!, limitM); node = before[node]!) {
    beyond = node;
  }
  return beyond === undefined ? undefined : landingAt(geometry, beyond);
}

/** Adds up the lengths of cables. */
export function sumLengths(cables: readonly BusCable[]): LengthSum {
  let knownM = 0;
  let estimatedM = 0;
  for (const cable of cables) {
    knownM += knownLengthM(cable);
    estimatedM += cable.segment.basis === 'estimated' ? knownLengthM(cable) : 0;
  }
  return { knownM, estimatedM, unknown: cables.filter(({ segment }) => segment.lengthM === null) };
}

function measure(graph: BusGraph): BusGeometry {
  const { segment, cables } = graph;
  const arms = starArms(graph);
  const stubs = arms > 0 ? [] : findStubs(graph);
  const degree = degreesWithout(graph, stubs);
  const branches = findBranches(graph, stubs, degree);
  const stubNodes = new Set(stubs.map(({ landing }) => graph.nodeOf[landing.position]!));
  let sumM = 0;
  return {
    segment,
    graph,
    shape: shapeOf(graph, arms, branches),
    total: sumLengths(cables),
    runningM: cables.map((cable) => (sumM += knownLengthM(cable))),
    farthest: farthestPair(graph),
    stubs,
    branches,
    arms,
    ends: [...graph.nodes.keys()].filter((node) => degree[node]! < 2 && !stubNodes.has(node)),
  };
}

/** The arms of a star: every landing but the first, a junction's, stands in an unbranched spur of it. */
function starArms(graph: BusGraph): number {
  const { segment, nodes, cablesAt } = graph;
  const centre = segment.landings[0];
  if (
    centre?.resolved?.equipment.role !== 'junction' ||
    segment.buses.length > 1 ||
    graph.loops > 0 ||
    segment.landings.some(({ landing }) => landing.index > 0 && landing.spur === undefined) ||
    nodes.some((_, node) => node > 0 && cablesAt[node]!.length > 2)
  ) {
    return 0;
  }
  return cablesAt[0]!.length;
}

/** A spur's first landing with no other cable than the spur itself is a stub. */
function findStubs(graph: BusGraph): readonly Stub[] {
  return graph.cables.flatMap((cable): readonly Stub[] => {
    const { landing } = cable;
    const isStub =
      landing.landing.opensSpur &&
      !cable.segment.closesRing &&
      graph.cablesAt[graph.nodeOf[landing.position]!]!.length === 1;
    return isStub ? [{ cable, landing }] : [];
  });
}

function degreesWithout(graph: BusGraph, stubs: readonly Stub[]): readonly number[] {
  const degree = graph.cablesAt.map((cables) => cables.length);
  for (const { cable } of stubs) {
    degree[cable.from]! -= 1;
    degree[cable.to]! -= 1;
  }
  return degree;
}

function findBranches(
  graph: BusGraph,
  stubs: readonly Stub[],
  degree: readonly number[],
): readonly Branch[] {
  const stubCables = new Set(stubs.map(({ cable }) => cable.position));
  return [...graph.nodes.keys()]
    .filter((node) => degree[node]! > 2)
    .map((node) => {
      const lines = graph.cablesAt[node]!.filter((position) => !stubCables.has(position));
      return { node, landing: branchingLanding(graph, node, lines) };
    });
}

/**
 * The landing at which a node got one line too many. A spur becomes a branch with its second
 * landing; where a device joins several lines, the last of its own landings does it.
 */
function branchingLanding(graph: BusGraph, node: number, lines: readonly number[]): BusLanding {
  const opener = lines
    .map((position) => graph.cables[position]!)
    .filter(({ landing, from }) => landing.landing.opensSpur && from === node)
    .at(-1)?.landing;
  if (opener === undefined) {
    return graph.nodes[node]!.at(-1)!;
  }
  const next = graph.cablesAt[graph.nodeOf[opener.position]!]!.map(
    (position) => graph.cables[position]!,
  ).find(({ bus, segment }) => bus === opener.bus && segment.from === opener.landing.index);
  return next?.landing ?? opener;
}

function shapeOf(graph: BusGraph, arms: number, branches: readonly Branch[]): DrawnShape {
  if (graph.loops > 1) {
    return 'meshed';
  }
  if (graph.loops === 1) {
    return branches.length > 0 ? 'branched-ring' : 'ring';
  }
  if (graph.cables.length === 0) {
    return 'single';
  }
  return arms > 2 ? 'star' : branches.length > 0 ? 'tree' : 'chain';
}
