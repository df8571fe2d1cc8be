/** What people can look at on a site, and what they may see there. */
import type { Device } from '../../model/records.js';
import { compareNames, equipmentOf, memberKey, resolvePort } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import { segmentOf } from '../bus/segment.js';
import { signalOf } from '../bus/signal.js';
import { controllersOf, supervisionOf } from '../graph/supervision.js';

/** Something to look at. */
export type Look =
  /** The list of what a controller found. */
  | { readonly kind: 'units'; readonly controller: string }
  /** Between the two wires at a port: ohm with all power off, V while nobody talks. */
  | { readonly kind: 'ohm' | 'idle'; readonly bus: string; readonly port: string }
  /** V at an inlet, or at a port that lives on its bus. */
  | { readonly kind: 'voltage'; readonly at: string; readonly by: 'inlet' | 'bus' }
  | { readonly kind: 'page'; readonly host: string; readonly network: string };

export function lookKey(look: Look): string {
  switch (look.kind) {
    case 'units':
      return `units ${look.controller}`;
    case 'ohm':
    case 'idle':
      return `${look.kind} ${look.port}`;
    case 'voltage':
      return `voltage ${look.at}`;
    case 'page':
      return `page ${look.host}`;
  }
}

/** What there is to see. */
export type Sight =
  /** The units that a controller must find and does not, by name. */
  | { readonly kind: 'missing'; readonly units: ReadonlySet<string> }
  /** A reading between two values in the unit of the look, both the same where it is computed. */
  | { readonly kind: 'reading'; readonly low: number; readonly high: number }
  | { readonly kind: 'page'; readonly opens: boolean }
  /** Nothing that could be told beforehand: it contradicts nothing and separates nothing. */
  | { readonly kind: 'unknown' };

export const UNKNOWN: Sight = { kind: 'unknown' };

export function reading(low: number, high = low): Sight {
  return { kind: 'reading', low, high };
}

/** Significant digits that a hand-held meter shows (common practice). */
const METER_DIGITS = 3;

/** What can be told apart by looking: two sights are the same to people where these are equal. */
export function sightText(sight: Sight): string {
  switch (sight.kind) {
    case 'missing':
      return [...sight.units].sort(compareNames).join(' ');
    case 'reading':
      return sight.low === sight.high
        ? shown(sight.low)
        : `${shown(sight.low)}..${shown(sight.high)}`;
    case 'page':
      return sight.opens ? 'opens' : 'fails';
    case 'unknown':
      return '?';
  }
}

function shown(value: number): string {
  return String(Number(value.toPrecision(METER_DIGITS)) + 0);
}

/** A controller and the devices it has to do with. */
export interface Finder {
  readonly device: Device;
  readonly units: readonly Device[];
  /** Over which the conversation may go on. */
  readonly relays: readonly Device[];
}

/** Every controller that must find something, in text order. */
export function findersOf(site: Site): readonly Finder[] {
  return controllersOf(site).flatMap((device) => {
    const units = supervisionOf(site, device)?.units ?? [];
    return units.length === 0
      ? []
      : [{ device, units: units.map((unit) => unit.device), relays: crossersAround(site, device) }];
  });
}

/** Everything that can be looked at, in a fixed order. */
export function looksOf(site: Site): readonly Look[] {
  return [
    ...findersOf(site).map(({ device }): Look => ({ kind: 'units', controller: device.name })),
    ...pairLooks(site),
    ...voltageLooks(site),
    ...pageLooks(site),
  ];
}

/** The devices that pass a conversation on and can be reached from a controller over its own ports. */
function crossersAround(site: Site, controller: Device): readonly Device[] {
  const reached = new Set([controller]);
  for (const device of reached) {
    for (const { run } of site.busLandingsOfDevice.get(device.name) ?? []) {
      for (const bus of segmentOf(site, run).buses) {
        bus.landings.forEach((landing) => addCrosser(site, reached, landing.device));
      }
    }
    for (const { name } of equipmentOf(site, device)?.lans ?? []) {
      if (site.hosts.has(memberKey(device.name, name))) {
        for (const network of site.networks.values()) {
          network.hosts.forEach((host) => addCrosser(site, reached, host.device));
        }
      }
    }
  }
  return [...reached];
}

function addCrosser(site: Site, reached: Set<Device>, name: string): void {
  const device = site.devices.get(name);
  if (device !== undefined && (equipmentOf(site, device)?.crossings.length ?? 0) > 0) {
    reached.add(device);
  }
}

/** Each port once, whatever its landings: it has one pair of terminals. */
function pairLooks(site: Site): readonly Look[] {
  const looks = new Map<string, Look>();
  for (const bus of byName(site.buses.values())) {
    const signal = signalOf(site, bus);
    if (signal === undefined) {
      continue;
    }
    for (const { device, member } of bus.landings) {
      const port = memberKey(device, member);
      for (const kind of ['ohm', 'idle'] as const) {
        const figure = kind === 'ohm' ? signal.headResistance : signal.idle;
        if (figure.known && resolvePort(site, device, member) !== undefined) {
          const look: Look = { kind, bus: bus.name, port };
          looks.set(lookKey(look), looks.get(lookKey(look)) ?? look);
        }
      }
    }
  }
  return [...looks.values()];
}

function voltageLooks(site: Site): readonly Look[] {
  return byName(site.devices.values()).flatMap((device) => {
    const equipment = equipmentOf(site, device);
    const inlets = (equipment?.inlets ?? [])
      .map(({ name }) => memberKey(device.name, name))
      .filter((at) => site.feedLandings.has(at) || site.inletLines.has(at))
      .map((at): Look => ({ kind: 'voltage', at, by: 'inlet' }));
    const ports = (equipment?.ports ?? [])
      .filter(({ takes }) => takes !== undefined)
      .map(({ name }) => memberKey(device.name, name))
      .filter((at) => site.busLandings.has(at))
      .map((at): Look => ({ kind: 'voltage', at, by: 'bus' }));
    return [...inlets, ...ports];
  });
}

function pageLooks(site: Site): readonly Look[] {
  return byName(site.networks.values()).flatMap(({ name, hosts }) =>
    hosts
      .filter(({ page }) => page !== undefined)
      .map(({ device, lan }): Look => ({
        kind: 'page',
        host: memberKey(device, lan),
        network: name,
      })),
  );
}

function byName<Value extends { readonly name: string }>(all: Iterable<Value>): readonly Value[] {
  return [...all].sort((one, other) => compareNames(one.name, other.name));
}
