/**
 * The logical segment that a bus belongs to: its own landings and those of the buses that devices
 * join to it (`passes`). A repeater ends a segment and starts another one.
 */
import type { BusType } from '../../model/equipment.js';
import { part, placeOf } from '../../model/origin.js';
import type { Place } from '../../model/origin.js';
import { compareNames, equipmentOf, memberKey, resolvePort } from '../../model/site.js';
import type { ResolvedPort, RunLanding, Site } from '../../model/site.js';
import type { Bus, Landing } from '../../model/wiring.js';
import type { Crossing } from '../../model/equipment.js';
import { memoised } from '../memo.js';

/** A landing of a segment with what its names stand for. */
export interface BusLanding {
  /** Counts the segment's landings from 0: bus by bus, in text order within a bus. */
  readonly position: number;
  readonly bus: Bus;
  readonly landing: Landing;
  /** `device.port`, as written. */
  readonly name: string;
  /** Undefined where a name does not resolve. */
  readonly resolved: ResolvedPort | undefined;
  /** True where the port is of the bus's type; only such landings are counted. */
  readonly fits: boolean;
}

/** A landing that resolves and fits. */
export type BusPort = BusLanding & { readonly resolved: ResolvedPort };

/** Buses that are one circuit. Every bus stands in exactly one segment. */
export interface BusSegment {
  /** The least of the buses' names: the one at which findings of the whole segment are raised. */
  readonly lead: Bus;
  /** The lead first, then in the order in which landings lead to them. */
  readonly buses: readonly Bus[];
  /** Undefined where its name does not resolve. */
  readonly busType: BusType | undefined;
  readonly landings: readonly BusLanding[];
  /** The ports of the bus's type in the order of their first landings, each once. */
  readonly ports: readonly BusPort[];
}

/** The segment of a bus; the same object for all its buses. */
export const segmentOf: (site: Site, bus: Bus) => BusSegment = memoised((site, bus) => {
  const buses = busesJoined(site, bus, 'passes');
  const lead = leastNamed(buses);
  return lead === bus ? segmentFrom(site, lead, buses) : segmentOf(site, lead);
});

/**
 * The segments that share one conversation: joined by repeaters, which pass every telegram on.
 * The first one holds the least bus name.
 */
export interface TalkDomain {
  readonly lead: Bus;
  readonly segments: readonly BusSegment[];
}

/** The domain in which the ports of a bus hear each other; the same object for all its buses. */
export const talkDomainOf: (site: Site, bus: Bus) => TalkDomain = memoised((site, bus) => {
  const buses = busesJoined(site, bus, 'repeats');
  const lead = leastNamed(buses);
  if (lead !== bus) {
    return talkDomainOf(site, lead);
  }
  return { lead, segments: [...new Set(buses.map((one) => segmentOf(site, one)))] };
});

/** Ports of a segment that talk: as controller or as responder. */
export function talkingPorts(segment: BusSegment): readonly BusPort[] {
  return segment.ports.filter(
    ({ resolved: { port } }) => port.talksAs === 'controller' || port.talksAs === 'responder',
  );
}

/** The place of a landing or of a part of it. */
export function landingPlace(landing: { bus: Bus; landing: Landing }, ...parts: string[]): Place {
  return placeOf(landing.bus.name, part('land', landing.landing.index, ...parts));
}

/** Whether a landing's names resolve and its port is of another type than its bus. */
export function isMismatched(landing: BusLanding): boolean {
  return landing.resolved !== undefined && !landing.fits;
}

/**
 * The buses of one type that devices join, the first being where the search began. `repeats`
 * crosses what `passes` crosses, too.
 */
function busesJoined(site: Site, start: Bus, how: 'passes' | 'repeats'): readonly Bus[] {
  const found = new Set([start]);
  // A set is walked in the order of insertion, and what is added on the way is still met.
  for (const bus of found) {
    for (const landing of bus.landings) {
      for (const port of portsAcross(site, landing, how)) {
        for (const { run } of landingsOf(site, landing.device, port)) {
          if (run.busType === start.busType) {
            found.add(run);
          }
        }
      }
    }
  }
  return [...found];
}

/** The ports to which the landing's device joins its port. */
export function portsAcross(
  site: Site,
  landing: Landing,
  how: 'passes' | 'repeats',
): readonly string[] {
  const device = site.devices.get(landing.device);
  const crossings: readonly Crossing[] = (device && equipmentOf(site, device)?.crossings) ?? [];
  return crossings
    .filter((crossing) => crossing.how === 'passes' || crossing.how === how)
    .flatMap(({ from, to }) =>
      from === landing.member ? [to] : to === landing.member ? [from] : [],
    );
}

function landingsOf(site: Site, device: string, port: string): readonly RunLanding<Bus>[] {
  const landings = site.busLandings.get(memberKey(device, port)) ?? [];
  return landings.length < 2
    ? landings
    : [...landings].sort((one, other) => compareNames(one.run.name, other.run.name));
}

function leastNamed(buses: readonly Bus[]): Bus {
  return buses.reduce((least, bus) => (compareNames(bus.name, least.name) < 0 ? bus : least));
}

function segmentFrom(site: Site, lead: Bus, buses: readonly Bus[]): BusSegment {
  const ordered = buses[0] === lead ? buses : busesJoined(site, lead, 'passes');
  const landings = ordered
    .flatMap((bus) => bus.landings.map((landing) => ({ bus, landing })))
    .map(({ bus, landing }, position): BusLanding => {
      const resolved = resolvePort(site, landing.device, landing.member);
      return {
        position,
        bus,
        landing,
        name: memberKey(landing.device, landing.member),
        resolved,
        fits: resolved?.port.busType === bus.busType,
      };
    });
  return {
    lead,
    buses: ordered,
    busType: site.busTypes.get(lead.busType),
    landings,
    ports: firstLandings(landings),
  };
}

function firstLandings(landings: readonly BusLanding[]): readonly BusPort[] {
  const seen = new Set<string>();
  return landings.filter((one): one is BusPort => {
    if (!one.fits || seen.has(one.name)) {
      return false;
    }
    seen.add(one.name);
    return true;
  });
}
