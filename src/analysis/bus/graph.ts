/**
 * The segment of a bus as a graph: what is one place electrically is one node, each cable an edge.
 */
import { equipmentOf } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import type { Bus } from '../../model/wiring.js';
import { memoised } from '../memo.js';
import { segmentsOf } from '../run.js';
import type { Segment } from '../run.js';
import { portsAcross, segmentOf } from './segment.js';
import type { BusLanding, BusSegment } from './segment.js';

/** A piece of cable of a segment. */
export interface BusCable {
  /** Counts the segment's cables from 0: bus by bus, in text order, a ring's closing cable last. */
  readonly position: number;
  readonly bus: Bus;
  readonly segment: Segment;
  /** The landings at its ends. */
  readonly start: BusLanding;
  readonly end: BusLanding;
  /** Nodes of the graph. */
  readonly from: number;
  readonly to: number;
  /** The landing that the cable leads to; for a ring's closing cable the one it comes from. */
  readonly landing: BusLanding;
}

/** Landings that a device joins inside itself share a node; every other landing has its own. */
export interface BusGraph {
  readonly segment: BusSegment;
  readonly cables: readonly BusCable[];
  /** For each node its landings, in order of position; nodes are numbered by their first landing. */
  readonly nodes: readonly (readonly BusLanding[])[];
  /** For each landing, by position, its node. */
  readonly nodeOf: readonly number[];
  /** For each node the positions of the cables that end there; a cable that comes back stands twice. */
  readonly cablesAt: readonly (readonly number[])[];
  /** How many independent loops the cables form; 0 for a chain, star or tree. */
  readonly loops: number;
}

/** The graph of a bus's segment; the same object for all its buses. */
export const graphOf: (site: Site, bus: Bus) => BusGraph = memoised((site, bus) => {
  const segment = segmentOf(site, bus);
  return segment.lead === bus ? build(site, segment) : graphOf(site, segment.lead);
});

/** The node at the other end of a cable. */
export function otherEnd(cable: BusCable, node: number): number {
  return cable.from === node ? cable.to : cable.from;
}

/** A cable's length as far as it is known; an unknown one counts as none. */
export function knownLengthM(cable: BusCable): number {
  return cable.segment.lengthM ?? 0;
}

function build(site: Site, segment: BusSegment): BusGraph {
  const nodeOf = numberNodes(site, segment);
  const nodes: BusLanding[][] = [];
  for (const landing of segment.landings) {
    (nodes[nodeOf[landing.position]!] ??= []).push(landing);
  }
  const cables = cablesOf(site, segment, nodeOf);
  const cablesAt: number[][] = nodes.map(() => []);
  for (const cable of cables) {
    cablesAt[cable.from]!.push(cable.position);
    cablesAt[cable.to]!.push(cable.position);
  }
  const loops = cables.length - nodes.length + countParts(nodes.length, cables);
  return { segment, cables, nodes, nodeOf, cablesAt, loops };
}

function cablesOf(site: Site, segment: BusSegment, nodeOf: readonly number[]): readonly BusCable[] {
  const cables: BusCable[] = [];
  let firstPosition = 0;
  for (const bus of segment.buses) {
    for (const piece of segmentsOf(site, bus)) {
      if (typeof piece.from !== 'number' || typeof piece.to !== 'number') {
        continue;
      }
      const from = firstPosition + piece.from;
      const to = firstPosition + piece.to;
      cables.push({
        position: cables.length,
        bus,
        segment: piece,
        start: segment.landings[from]!,
        end: segment.landings[to]!,
        from: nodeOf[from]!,
        to: nodeOf[to]!,
        landing: segment.landings[piece.closesRing ? from : to]!,
      });
    }
    firstPosition += bus.landings.length;
  }
  return cables;
}

/** For each landing its node, numbered in the order of first landings. */
function numberNodes(site: Site, segment: BusSegment): readonly number[] {
  const sets = new Sets(segment.landings.length);
  const positions = positionsOfCrossingPorts(site, segment);
  for (const landing of segment.landings) {
    for (const port of portsAcross(site, landing.landing, 'passes')) {
      for (const position of positions.get(`${landing.landing.device}.${port}`) ?? []) {
        sets.join(landing.position, position);
      }
    }
  }
  const numbers = new Map<number, number>();
  return segment.landings.map(({ position }) => {
    const root = sets.rootOf(position);
    const number = numbers.get(root) ?? numbers.size;
    numbers.set(root, number);
    return number;
  });
}

function positionsOfCrossingPorts(
  site: Site,
  segment: BusSegment,
): ReadonlyMap<string, readonly number[]> {
  const positions = new Map<string, number[]>();
  for (const { landing, name, position } of segment.landings) {
    const device = site.devices.get(landing.device);
    if ((device && equipmentOf(site, device)?.crossings.length) ?? 0) {
      positions.set(name, [...(positions.get(name) ?? []), position]);
    }
  }
  return positions;
}

function countParts(nodeCount: number, cables: readonly BusCable[]): number {
  const sets = new Sets(nodeCount);
  return cables.reduce(
    (parts, { from, to }) => (sets.join(from, to) ? parts - 1 : parts),
    nodeCount,
  );
}

/** Disjoint sets of the numbers from 0, the least member being the root. */
class Sets {
  readonly #parent: number[];

  constructor(size: number) {
    this.#parent = Array.from({ length: size }, (_, index) => index);
  }

  rootOf(member: number): number {
    let root = member;
    while (this.#parent[root] !== root) {
      root = this.#parent[root]!;
    }
    // Shortening the way makes later questions cheap.
    for (let step = member; step !== root;) {
      const next = this.#parent[step]!;
      this.#parent[step] = root;
      step = next;
    }
    return root;
  }

  /** Whether the two were apart until now. */
  join(one: number, other: number): boolean {
    const first = this.rootOf(one);
    const second = this.rootOf(other);
    this.#parent[Math.max(first, second)] = Math.min(first, second);
    return first !== second;
  }
}
