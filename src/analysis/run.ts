/**
 * The cables of one run: a bus or a feed taken apart into segments with their lengths.
 *
 * A length is stated, or estimated from the positions of the rooms at its two ends, or unknown.
 */
import type { Cable } from '../model/equipment.js';
import type { Term } from '../model/finding.js';
import { part, placeOf } from '../model/origin.js';
import type { Place } from '../model/origin.js';
import { equipmentOf, roomOf } from '../model/site.js';
import type { PlacedRoom, Site } from '../model/site.js';
import type { Bus, Feed, Landing } from '../model/wiring.js';
import { memoised, memoisedOnce } from './memo.js';
import { term } from './working.js';

/** Where a length came from. */
export type LengthBasis = 'stated' | 'estimated' | 'unknown';

/** An end of a segment: a landing by its index, or an outlet of a feed. */
export type SegmentEnd = number | 'outlet' | 'second-outlet';

/** One piece of cable between two terminals. */
export interface Segment {
  /** Where the cable comes from. */
  readonly from: SegmentEnd;
  /** Where it leads to. The closing cable of a ring leads to landing 0. */
  readonly to: SegmentEnd;
  readonly closesRing: boolean;
  /** In metres; null where it is neither stated nor to be estimated. */
  readonly lengthM: number | null;
  readonly basis: LengthBasis;
  /** How an estimate came about; empty for the rest. */
  readonly terms: readonly Term[];
  /** The name of the cable type as written, resolved or not. */
  readonly cableName: string | undefined;
  readonly cable: Cable | undefined;
  /** There before the work: never ordered. */
  readonly existing: boolean;
  /** Where the length stands, or the statement in which it would stand. */
  readonly at: Place;
}

/** The factor and the allowance for each end of an estimated cable. */
export interface EstimateSettings {
  readonly factor: number;
  /** Cable in metres for the rise and the tail at one end. */
  readonly endsM: number;
  /** Whether the site says how to estimate. */
  readonly basis: 'stated' | 'assumed';
}

/** What is taken where the site states no `estimate`. */
export const DEFAULT_ESTIMATE: EstimateSettings = { factor: 1, endsM: 2, basis: 'assumed' };

/** How estimates are made, for facts and pages. */
export const ESTIMATE_SOURCE = 'common practice: along the walls, with an allowance at each end';

/**
 * The segments of a run in the order of its landings, then the closing cable of a ring or the
 * cable to a second outlet.
 */
export const segmentsOf: (site: Site, run: Bus | Feed) => readonly Segment[] =
  memoised(computeSegments);

/** The segment that leads to a landing; undefined for the first landing of a bus. */
export function segmentTo(site: Site, run: Bus | Feed, landing: number): Segment | undefined {
  return leadingSegments(site, run).get(landing);
}

/** The settings by which a site's lengths are estimated. */
export const estimateSettings: (site: Site) => EstimateSettings = memoisedOnce((site) => {
  const stated = site.settings?.estimate;
  return {
    factor: stated?.factor ?? DEFAULT_ESTIMATE.factor,
    endsM: stated?.endsM ?? DEFAULT_ESTIMATE.endsM,
    basis: stated === undefined ? 'assumed' : 'stated',
  };
});

/**
 * An estimated length in metres between two rooms: factor × (|Δx| + |Δy| + |Δlevel|) + 2 ends;
 * within one room the two ends alone. Undefined where a position or a level is missing.
 */
export function estimatedLength(
  settings: EstimateSettings,
  one: PlacedRoom | undefined,
  other: PlacedRoom | undefined,
): { readonly lengthM: number; readonly terms: readonly Term[] } | undefined {
  if (one === undefined || other === undefined) {
    return undefined;
  }
  const ends = term('ends', 2 * settings.endsM, 'm', settings.basis);
  if (one.key === other.key) {
    return { lengthM: 2 * settings.endsM, terms: [ends] };
  }
  const riseM = levelDifferenceM(one, other);
  if (one.room.atM === undefined || other.room.atM === undefined || riseM === undefined) {
    return undefined;
  }
  const alongM = Math.abs(one.room.atM.x - other.room.atM.x);
  const acrossM = Math.abs(one.room.atM.y - other.room.atM.y);
  return {
    lengthM: settings.factor * (alongM + acrossM + riseM) + 2 * settings.endsM,
    terms: [
      term('factor', settings.factor, '', settings.basis),
      term('|Δx|', alongM, 'm'),
      term('|Δy|', acrossM, 'm'),
      term('|Δlevel|', riseM, 'm'),
      ends,
    ],
  };
}

const leadingSegments: (site: Site, run: Bus | Feed) => ReadonlyMap<number, Segment> = memoised(
  (site, run) => {
    const found = new Map<number, Segment>();
    for (const segment of segmentsOf(site, run)) {
      if (typeof segment.to === 'number' && !segment.closesRing) {
        found.set(segment.to, segment);
      }
    }
    return found;
  },
);

function computeSegments(site: Site, run: Bus | Feed): readonly Segment[] {
  const segments: Segment[] = [];
  for (const landing of run.landings) {
    const from = startOf(run, landing.index, landing.from);
    if (from === undefined || isInsideDevice(site, run, landing)) {
      continue;
    }
    segments.push(
      segmentBetween(site, run, {
        from,
        to: landing.index,
        closesRing: false,
        // A length that an assembly passes in has no value before the assembly is expanded.
        statedM: landing.lengthM,
        mayEstimate: landing.lengthParameter === undefined,
        cableName: landing.cable ?? run.cable,
        existing: run.existing || landing.existing,
        at: placeOf(
          run.name,
          landing.lengthM === undefined
            ? part('land', landing.index)
            : part('land', landing.index, 'length'),
        ),
      }),
    );
  }
  const closing = run.kind === 'bus' ? ringOf(site, run) : lastOf(site, run);
  return closing === undefined ? segments : [...segments, closing];
}

/** The terminal that the cable of a landing comes from; undefined where there is no such cable. */
function startOf(run: Bus | Feed, index: number, from: number | undefined): SegmentEnd | undefined {
  if (from !== undefined && from < index && run.landings[from] !== undefined) {
    return from;
  }
  return run.kind === 'feed' ? 'outlet' : undefined;
}

/**
 * Whether a landing follows another port of its own device that the device itself joins to it
 * (`passes`): without a stated length there is no cable between the two.
 */
function isInsideDevice(site: Site, run: Bus | Feed, landing: Landing): boolean {
  const before = landing.from === undefined ? undefined : run.landings[landing.from];
  if (before?.device !== landing.device || landing.lengthM !== undefined) {
    return false;
  }
  const device = site.devices.get(landing.device);
  const crossings = (device && equipmentOf(site, device)?.crossings) ?? [];
  return crossings.some(
    ({ how, from, to }) =>
      how === 'passes' &&
      ((from === before.member && to === landing.member) ||
        (to === before.member && from === landing.member)),
  );
}

function ringOf(site: Site, bus: Bus): Segment | undefined {
  const last = lastOnMainLine(bus);
  if (bus.ring === undefined || last === undefined || last === 0) {
    return undefined;
  }
  return segmentBetween(site, bus, {
    from: last,
    to: 0,
    closesRing: true,
    statedM: bus.ring.lengthM,
    mayEstimate: true,
    cableName: bus.cable,
    existing: bus.existing,
    at: placeOf(bus.name, 'ring'),
  });
}

function lastOf(site: Site, feed: Feed): Segment | undefined {
  const last = lastOnMainLine(feed);
  if (feed.and === undefined || last === undefined) {
    return undefined;
  }
  return segmentBetween(site, feed, {
    from: last,
    to: 'second-outlet',
    closesRing: false,
    statedM: feed.lastM,
    mayEstimate: true,
    cableName: feed.cable,
    existing: feed.existing,
    at: placeOf(feed.name, feed.lastM === undefined ? 'and' : 'last'),
  });
}

/** The index of the last landing that stands in no spur. */
function lastOnMainLine(run: Bus | Feed): number | undefined {
  return run.landings.findLast((landing) => landing.spur === undefined)?.index;
}

interface SegmentSketch {
  readonly from: SegmentEnd;
  readonly to: SegmentEnd;
  readonly closesRing: boolean;
  readonly statedM: number | undefined;
  readonly mayEstimate: boolean;
  readonly cableName: string | undefined;
  readonly existing: boolean;
  readonly at: Place;
}

function segmentBetween(site: Site, run: Bus | Feed, sketch: SegmentSketch): Segment {
  const { from, to, closesRing, cableName, existing, at } = sketch;
  const common = {
    from,
    to,
    closesRing,
    cableName,
    cable: cableName === undefined ? undefined : site.cables.get(cableName),
    existing,
    at,
  };
  const { statedM } = sketch;
  if (statedM !== undefined && Number.isFinite(statedM) && statedM >= 0) {
    return { ...common, lengthM: statedM, basis: 'stated', terms: [] };
  }
  const estimate = sketch.mayEstimate
    ? estimatedLength(estimateSettings(site), roomAtEnd(site, run, from), roomAtEnd(site, run, to))
    : undefined;
  return estimate === undefined
    ? { ...common, lengthM: null, basis: 'unknown', terms: [] }
    : { ...common, lengthM: estimate.lengthM, basis: 'estimated', terms: estimate.terms };
}

function roomAtEnd(site: Site, run: Bus | Feed, end: SegmentEnd): PlacedRoom | undefined {
  const owner = ownerAtEnd(run, end);
  const record =
    owner === undefined ? undefined : (site.devices.get(owner) ?? site.boards.get(owner));
  return record && roomOf(site, record);
}

function ownerAtEnd(run: Bus | Feed, end: SegmentEnd): string | undefined {
  if (typeof end === 'number') {
    return run.landings[end]?.device;
  }
  if (run.kind === 'bus') {
    return undefined;
  }
  return end === 'outlet' ? run.from.owner : run.and?.owner;
}

function levelDifferenceM(one: PlacedRoom, other: PlacedRoom): number | undefined {
  if (one.area.name === other.area.name) {
    return 0;
  }
  if (one.area.levelM === undefined || other.area.levelM === undefined) {
    return undefined;
  }
  return Math.abs(one.area.levelM - other.area.levelM);
}
