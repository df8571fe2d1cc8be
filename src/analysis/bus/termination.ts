/** Terminators: where a segment needs them, where it has them, and what is wrong between the two. */
import type { Site } from '../../model/site.js';
import type { Bus } from '../../model/wiring.js';
import { memoised } from '../memo.js';
import { distancesFrom } from './distances.js';
import { geometryOf, landingAt } from './geometry.js';
import type { BusGeometry } from './geometry.js';
import type { BusLanding } from './segment.js';

/** A terminating resistor across the pair. */
export interface Terminator {
  readonly landing: BusLanding;
  readonly node: number;
  /**
   * `fitted`: the landing says `terminated`; `built-in`: the port has one; `box`: the device is
   * one. Only fitted ones are ordered and can be moved by an edit.
   */
  readonly kind: 'fitted' | 'built-in' | 'box';
  /** Undefined where neither the port nor the bus type states it. */
  readonly resistanceOhm: number | undefined;
}

/** What is wrong with the terminators of a segment; each cause once. */
export interface Termination {
  /** Every terminator of the segment, in the order of its landings. */
  readonly terminators: readonly Terminator[];
  /** Nodes at which a terminator may stand. */
  readonly places: readonly number[];
  /** Ends without a terminator that no misplaced one explains. */
  readonly missing: readonly BusLanding[];
  /** Terminators away from the ends, each with the bare end where it belongs. */
  readonly misplaced: readonly { readonly terminator: Terminator; readonly end: BusLanding }[];
  /** Terminators beyond what the segment needs, each with the one that is enough. */
  readonly duplicate: readonly {
    readonly terminator: Terminator;
    readonly besides: Terminator | undefined;
  }[];
}

/** The termination of a bus's segment; the same object for all its buses. */
export const terminationOf: (site: Site, bus: Bus) => Termination = memoised((site, bus) => {
  const geometry = geometryOf(site, bus);
  const { lead } = geometry.segment;
  return lead === bus ? judge(geometry) : terminationOf(site, lead);
});

function judge(geometry: BusGeometry): Termination {
  const terminators = terminatorsOf(geometry);
  const needed = neededCount(geometry);
  const places = needed === 0 ? [] : placesFor(geometry);
  const isPlace = new Set(places);
  const rest = { terminators, places };
  if (places.length === 0) {
    // A ring has no end, and without a need there is nothing to judge.
    return { ...rest, missing: [], misplaced: [], duplicate: [] };
  }
  const atPlace = new Map<number, Terminator>();
  const surplus: { terminator: Terminator; besides: Terminator | undefined }[] = [];
  const away: Terminator[] = [];
  for (const terminator of terminators) {
    const already = atPlace.get(terminator.node);
    if (!isPlace.has(terminator.node)) {
      away.push(terminator);
    } else if (already !== undefined || atPlace.size === needed) {
      surplus.push({ terminator, besides: already ?? [...atPlace.values()].at(-1) });
    } else {
      atPlace.set(terminator.node, terminator);
    }
  }
  const bare = bareEnds(geometry, places, new Set(atPlace.keys()), needed);
  const misplaced = pairUp(away, bare);
  const enough = [...atPlace.values()].at(-1);
  const duplicate = [
    ...surplus,
    ...away.slice(bare.length).map((terminator) => ({ terminator, besides: enough })),
  ];
  return {
    ...rest,
    missing: bare.filter((end) => !misplaced.some((one) => one.end === end)),
    misplaced,
    duplicate: duplicate.sort(
      (one, other) => one.terminator.landing.position - other.terminator.landing.position,
    ),
  };
}

/** How many terminators a segment needs; 0 where its type asks for none or there is no cable. */
function neededCount({ segment, graph }: BusGeometry): number {
  const where = segment.busType?.terminate?.where;
  return where === undefined || graph.cables.length === 0 ? 0 : where === 'both-ends' ? 2 : 1;
}

/**
 * The ends of a chain, the stubs' ends not counted; where the type allows branches, every place
 * from which only one cable leads.
 */
function placesFor(geometry: BusGeometry): readonly number[] {
  const shape = geometry.segment.busType?.shape;
  if (shape === 'tree' || shape === 'star' || shape === 'free') {
    return [...geometry.graph.nodes.keys()].filter(
      (node) => geometry.graph.cablesAt[node]!.length === 1,
    );
  }
  return geometry.ends;
}

function terminatorsOf(geometry: BusGeometry): readonly Terminator[] {
  const seen = new Set<string>();
  return geometry.segment.landings.flatMap((landing) => {
    const found = terminatorsAt(geometry, landing);
    // A port that is landed twice still has its own terminator once.
    const counted = seen.has(landing.name) ? found.filter(({ kind }) => kind === 'fitted') : found;
    seen.add(landing.name);
    return counted;
  });
}

/** The built-in terminator of a port comes first, so that a fitted one beside it is the surplus. */
function terminatorsAt(geometry: BusGeometry, landing: BusLanding): readonly Terminator[] {
  const typeOhm = geometry.segment.busType?.terminate?.ohm;
  const common = { landing, node: geometry.graph.nodeOf[landing.position]! };
  const found: Terminator[] = [];
  const { resolved } = landing;
  if (resolved?.equipment.role === 'terminator') {
    const resistanceOhm = resolved.port.terminatorOhm ?? typeOhm;
    found.push({ ...common, kind: 'box', resistanceOhm });
  } else if (resolved?.port.terminatorOhm !== undefined) {
    found.push({ ...common, kind: 'built-in', resistanceOhm: resolved.port.terminatorOhm });
  }
  if (landing.landing.terminated) {
    found.push({ ...common, kind: 'fitted', resistanceOhm: typeOhm });
  }
  return found;
}

/** The ends that still need a terminator: of several places those that are furthest apart. */
function bareEnds(
  geometry: BusGeometry,
  places: readonly number[],
  taken: ReadonlySet<number>,
  needed: number,
): readonly BusLanding[] {
  const count = Math.min(needed, places.length) - taken.size;
  if (count <= 0) {
    return [];
  }
  return farApart(geometry, places, taken)
    .slice(0, count)
    .sort((one, other) => one - other)
    .map((node) => landingAt(geometry, node));
}

/** The free places, best first. */
function farApart(
  geometry: BusGeometry,
  places: readonly number[],
  taken: ReadonlySet<number>,
): readonly number[] {
  const free = places.filter((node) => !taken.has(node));
  const { farthest } = geometry;
  if (taken.size === 0) {
    // One terminator alone stands at the far end, where the signal arrives last.
    const pair = farthest === undefined ? [] : [farthest.other, farthest.one];
    const wanted = pair.filter((node) => free.includes(node));
    return [...wanted, ...free.filter((node) => !wanted.includes(node)).reverse()];
  }
  const { lengthM } = distancesFrom(geometry.graph, [...taken][0]!);
  return [...free].sort((one, other) => lengthM[other]! - lengthM[one]! || other - one);
}

/** Each misplaced terminator goes to the bare end on its side: both in the order of the text. */
function pairUp(
  away: readonly Terminator[],
  bare: readonly BusLanding[],
): Termination['misplaced'] {
  if (away.length === 1 && bare.length > 1) {
    const terminator = away[0]!;
    const nearest = bare.reduce((best, end) =>
      Math.abs(end.position - terminator.landing.position) <
      Math.abs(best.position - terminator.landing.position)
        ? end
        : best,
    );
    return [{ terminator, end: nearest }];
  }
  return bare.slice(0, away.length).map((end, index) => ({ terminator: away[index]!, end }));
}
