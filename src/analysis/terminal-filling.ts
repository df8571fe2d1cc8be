/** How many conductors meet in one terminal of a port, an inlet or an outlet. */
import type { Term } from '../model/finding.js';
import { part, placeOf } from '../model/origin.js';
import type { Place } from '../model/origin.js';
import type { Device } from '../model/records.js';
import { equipmentOf, memberKey } from '../model/site.js';
import type { RunLanding, Site } from '../model/site.js';
import type { Bus, Feed } from '../model/wiring.js';
import { memoised } from './memo.js';
import { segmentsOf } from './run.js';
import { term } from './working.js';

/** What one terminal without a stated capacity holds (common practice). */
export const USUAL_CAPACITY = 2;

/** The same where a stub leaves beside the line that goes on (common practice). */
export const USUAL_CAPACITY_WITH_STUB = 3;

/** A port, inlet or outlet with the conductors that one terminal of it takes. */
export interface Filling {
  /** `device.member`. */
  readonly name: string;
  /** The landing or line that brought the last conductor. */
  readonly at: Place;
  /** Conductors from cables, one term each kind. */
  readonly conductors: readonly Term[];
  readonly count: number;
  readonly capacity: number;
  readonly capacityBasis: 'stated' | 'assumed';
  /** The landing, where it is one. */
  readonly landing?: RunLanding;
}

/** Cables that end at one landing. */
interface CablesAtLanding {
  readonly line: number;
  readonly stubs: number;
}

/** The cables at each landing of a run, by its index. */
const cablesAtLandings: (site: Site, run: Bus | Feed) => readonly CablesAtLanding[] = memoised(
  (site, run) => {
    const segments = segmentsOf(site, run);
    const leaving = new Set(segments.map(({ from }) => from));
    const counts = run.landings.map(() => ({ line: 0, stubs: 0 }));
    for (const { from, to, closesRing } of segments) {
      const isStub =
        typeof to === 'number' && !closesRing && run.landings[to]!.opensSpur && !leaving.has(to);
      if (typeof from === 'number') {
        counts[from]![isStub ? 'stubs' : 'line'] += 1;
      }
      if (typeof to === 'number') {
        counts[to]!.line += 1;
      }
    }
    return counts;
  },
);

/**
 * The landed ports and inlets and the used outlets of a device, each with what its terminals hold.
 * Terminators are left to the caller, who knows which of them are meant to stay. Junctions are not
 * judged, and neither is what is landed twice: another rule speaks of it.
 */
export function fillingsOf(site: Site, device: Device): readonly Filling[] {
  const equipment = equipmentOf(site, device);
  if (equipment === undefined || equipment.role === 'junction') {
    return [];
  }
  return [
    ...equipment.ports.flatMap((port) =>
      landedFilling(site, memberKey(device.name, port.name), port, site.busLandings),
    ),
    ...equipment.inlets
      .filter((inlet) => !site.inletLines.has(memberKey(device.name, inlet.name)))
      .flatMap((inlet) =>
        landedFilling(site, memberKey(device.name, inlet.name), inlet, site.feedLandings),
      ),
    ...equipment.outlets.flatMap((outlet) =>
      outletFilling(site, memberKey(device.name, outlet.name), outlet),
    ),
  ];
}

function landedFilling(
  site: Site,
  name: string,
  member: { readonly capacity?: number },
  landings: ReadonlyMap<string, readonly RunLanding[]>,
): readonly Filling[] {
  const [landed, again] = landings.get(name) ?? [];
  if (landed === undefined || again !== undefined) {
    return [];
  }
  const { run, landing } = landed;
  const cables = cablesAtLandings(site, run)[landing.index]!;
  return [
    {
      name,
      at: placeOf(run.name, part('land', landing.index, 'target')),
      conductors: [term('cables', cables.line, ''), term('stubs', cables.stubs, '')],
      count: cables.line + cables.stubs,
      ...capacityOf(member, cables.stubs > 0 ? USUAL_CAPACITY_WITH_STUB : USUAL_CAPACITY),
      landing: landed,
    },
  ];
}

function outletFilling(
  site: Site,
  name: string,
  member: { readonly capacity?: number },
): readonly Filling[] {
  const places: Place[] = [];
  for (const { device, line } of site.inletLinesFrom.get(name) ?? []) {
    places.push(placeOf(device.name, part('inlet', line.index, 'from')));
  }
  for (const feed of site.feedsFrom.get(name) ?? []) {
    for (const { from, to } of segmentsOf(site, feed)) {
      if (from === 'outlet' && memberKey(feed.from.owner, feed.from.member) === name) {
        places.push(placeOf(feed.name, 'from'));
      }
      if (to === 'second-outlet' && memberKey(feed.and!.owner, feed.and!.member) === name) {
        places.push(placeOf(feed.name, 'and'));
      }
    }
  }
  const capacity = capacityOf(member, USUAL_CAPACITY);
  return places.length === 0
    ? []
    : [
        {
          name,
          at: places[Math.min(places.length - 1, Math.max(0, capacity.capacity))]!,
          conductors: [term('feeds and inlet lines', places.length, '')],
          count: places.length,
          ...capacity,
        },
      ];
}

function capacityOf(
  { capacity }: { readonly capacity?: number },
  usual: number,
): Pick<Filling, 'capacity' | 'capacityBasis'> {
  return capacity === undefined
    ? { capacity: usual, capacityBasis: 'assumed' }
    : { capacity, capacityBasis: 'stated' };
}
