/**
 * Which sets of lockable points take all energy away from an enclosure, none of them larger than it
 * has to be. An explanation of how sources and points hang together, and never a procedure: the
 * procedure opens the nearest point on every path, so that no terminal on the way stays live.
 */
import type { Fact } from '../../model/finding.js';
import type { Device } from '../../model/records.js';
import { compareNames } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import { memoised } from '../memo.js';
import { term } from '../working.js';
import { ISOLATION_SOURCE, energyInto, isolationOf } from './isolation.js';
import type { EnergyPlace } from './isolation.js';

/** Beyond this many points on the way the sets are too many to read. */
export const MOST_POINTS = 16;

/** Sets that are looked at before giving up. */
const MOST_STEPS = 50_000;

/** The sets, or why there are none to name. */
export type IsolationSets =
  | { readonly known: true; readonly sets: readonly (readonly string[])[] }
  | {
      readonly known: false;
      readonly because: 'a source cannot be locked' | 'a supply is not stated' | 'too many points';
    };

/**
 * The inclusion-minimal sets of points that isolate a device: with all points of a set open no
 * source reaches it, with any one of them closed some source does. The smallest first, then by name.
 */
export const isolationSetsOf: (site: Site, device: Device) => IsolationSets = memoised(
  (site, device) => {
    const { places, entries } = energyInto(site, [device]);
    const way = new Way(places, entries);
    if ([...places.values()].some((place) => place.isUnstated)) {
      return { known: false, because: 'a supply is not stated' };
    }
    const all = new Set([...places.values()].flatMap((place) => place.points));
    if (way.livePath(all) !== undefined) {
      return { known: false, because: 'a source cannot be locked' };
    }
    const sets = all.size > MOST_POINTS ? undefined : minimalSets(way);
    return sets === undefined
      ? { known: false, because: 'too many points' }
      : { known: true, sets };
  },
);

/** The sets as a value for explanation; undefined for what is no device. */
export function factOfIsolationSets(site: Site, name: string): Fact | undefined {
  const device = site.devices.get(name);
  if (device === undefined) {
    return undefined;
  }
  const found = isolationSetsOf(site, device);
  const common = {
    subject: name,
    fact: 'isolation-sets',
    unit: '',
    source: `explanation only, never the procedure: every path is locked at its nearest point (${ISOLATION_SOURCE})`,
  };
  if (!found.known) {
    const terms = [term('not listed', found.because, '', 'unknown')];
    return { ...common, value: null, basis: 'unknown', terms };
  }
  const procedure = isolationOf(site, device).points.map((point) => point.name);
  return {
    ...common,
    value: found.sets.map((set) => set.join(' + ')),
    basis: 'computed',
    terms: [
      term('the procedure opens', procedure.join(' + '), '', 'computed'),
      term('fewest points that would do', found.sets[0]?.length ?? 0, '', 'computed'),
    ],
  };
}

/**
 * Every minimal set holds a point of every path that is still live without it. So from the empty
 * set on: find a live path, try each of its points, drop what is not minimal in the end.
 */
function minimalSets(way: Way): readonly (readonly string[])[] | undefined {
  const waiting: (readonly string[])[] = [[]];
  const seen = new Set<string>(['']);
  const found: (readonly string[])[] = [];
  for (const open of waiting) {
    if (seen.size > MOST_STEPS) {
      return undefined;
    }
    const path = way.livePath(new Set(open));
    if (path === undefined) {
      if (open.every((point) => way.livePath(without(open, point)) !== undefined)) {
        found.push(open);
      }
      continue;
    }
    for (const point of path) {
      const next = open.includes(point) ? open : [...open, point].sort(compareNames);
      const key = next.join('\u0001');
      if (!seen.has(key)) {
        seen.add(key);
        waiting.push(next);
      }
    }
  }
  return found.sort(
    (one, other) => one.length - other.length || compareNames(one.join(' '), other.join(' ')),
  );
}

function without(points: readonly string[], one: string): ReadonlySet<string> {
  return new Set(points.filter((point) => point !== one));
}

/** The way from the sources to the terminals. */
class Way {
  readonly #places: ReadonlyMap<string, EnergyPlace>;
  readonly #entries: readonly string[];

  constructor(places: ReadonlyMap<string, EnergyPlace>, entries: readonly string[]) {
    this.#places = places;
    this.#entries = entries;
  }

  /** The points on a path over which a source still reaches a terminal; undefined where none does. */
  livePath(open: ReadonlySet<string>): readonly string[] | undefined {
    const towards = new Map<string, string | undefined>();
    const waiting: string[] = [];
    const enter = (name: string, from: string | undefined): void => {
      const { points } = this.#places.get(name)!;
      const isCut = points.length > 0 && points.every((point) => open.has(point));
      if (!isCut && !towards.has(name)) {
        towards.set(name, from);
        waiting.push(name);
      }
    };
    this.#entries.forEach((name) => enter(name, undefined));
    for (const name of waiting) {
      const place = this.#places.get(name)!;
      if (place.isSource) {
        return this.#pointsFrom(name, towards);
      }
      place.from.forEach((next) => enter(next, name));
    }
    return undefined;
  }

  #pointsFrom(source: string, towards: ReadonlyMap<string, string | undefined>): readonly string[] {
    const points = new Set<string>();
    for (let name: string | undefined = source; name !== undefined; name = towards.get(name)) {
      this.#places.get(name)!.points.forEach((point) => points.add(point));
    }
    return [...points].sort(compareNames);
  }
}
