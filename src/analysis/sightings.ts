/** What a controller was seen to find, beside what it finds by the wiring. */
import type { Device } from '../model/records.js';
import type { Site } from '../model/site.js';
import { supervisionOf } from './graph/supervision.js';
import { lastSeen, observationsOf, type Observed } from './observations.js';

export interface Sightings {
  /** The units that it finds by the wiring, in bus order. */
  readonly expected: readonly string[];
  /** The latest count; undefined where nobody counted. */
  readonly count: Observed<'finds'> | undefined;
  /** The latest miss of each expected unit that no later count has overtaken, in text order. */
  readonly missed: readonly Observed<'misses'>[];
}

/** A count of a later day takes the place of a miss; on one day both stand. */
export function sightingsOf(site: Site, device: Device): Sightings {
  const observations = observationsOf(site, device.name);
  const expected = supervisionOf(site, device)?.units.map((unit) => unit.device.name) ?? [];
  const count = lastSeen(observations, 'finds');
  const missed = new Map<string, Observed<'misses'>>();
  for (const observation of observations) {
    const { seen, on } = observation;
    if (seen.how !== 'misses' || !expected.includes(seen.device)) {
      continue;
    }
    const isOvertaken = count !== undefined && (on ?? '') < (count.on ?? '');
    if (!isOvertaken && (on ?? '') >= (missed.get(seen.device)?.on ?? '')) {
      missed.set(seen.device, { ...observation, seen });
    }
  }
  return { expected, count, missed: [...missed.values()] };
}

/** Whether what people look for was seen, was seen to be otherwise, or was not looked at yet. */
export type SeenState = 'found' | 'missing' | 'open';

/**
 * The state of each unit that a controller must find. Where a count is short and nobody wrote down
 * which units were missed, nobody knows of any of them.
 */
export function unitStates({ expected, count, missed }: Sightings): ReadonlyMap<string, SeenState> {
  const gone = new Set(missed.map(({ seen }) => seen.device));
  const isAccounted = count !== undefined && count.seen.count === expected.length - gone.size;
  return new Map(
    expected.map((unit) => [unit, gone.has(unit) ? 'missing' : isAccounted ? 'found' : 'open']),
  );
}
