/** The voltage along a run with its numbers marked by how sure they are. */
import { voltageProfile } from '../../analysis/power/profile.js';
import type { ProfilePlace } from '../../analysis/power/profile.js';
import type { Site } from '../../model/site.js';
import type { Bus, Feed } from '../../model/wiring.js';
import type { Mark } from '../document.js';
import { leastSure, markOf } from '../marks.js';

/** One place along a run. */
export interface ProfilePoint extends ProfilePlace {
  readonly distanceMark: Mark;
}

/** The places of a run in the order of its landings; empty where no voltage is computed at any. */
export function profileOf(site: Site, run: Bus | Feed): readonly ProfilePoint[] {
  return voltageProfile(site, run).map((place) => ({
    ...place,
    distanceMark: leastSure(place.distanceBases.map(markOf)),
  }));
}
