/** Where a port can still be landed, and which ports still wait for a landing. */
import type { Device } from '../../model/records.js';
import { compareNames, equipmentOf, memberKey, roomOf } from '../../model/site.js';
import type { ResolvedPort, Site } from '../../model/site.js';
import type { Bus } from '../../model/wiring.js';
import { memoisedOnce, memoisedTable } from '../memo.js';
import { poweredSegmentOf, takenBy } from '../power/bus-load.js';
import { estimatedLength, estimateSettings } from '../run.js';
import { geometryOf } from './geometry.js';
import { isAbove } from './limits.js';
import { unitLoadOf } from './line.js';
import { segmentOf, talkDomainOf, talkingPorts } from './segment.js';
import type { BusPort } from './segment.js';

/**
 * The buses of a port's type on which it is not landed and that have room for it: drops,
 * controllers, sources, bus power, unit loads and, as far as it can be estimated, cable. Nearest
 * first.
 */
export function busesWithRoom(site: Site, wanted: ResolvedPort): readonly Bus[] {
  return busesOfType(site, wanted.port.busType)
    .filter((bus) => hasRoom(site, bus, wanted))
    .map((bus) => ({ bus, wayM: wayToEndM(site, bus, wanted.device) ?? Number.POSITIVE_INFINITY }))
    .sort(
      (one, other) => compare(one.wayM, other.wayM) || compareNames(one.bus.name, other.bus.name),
    )
    .map(({ bus }) => bus);
}

/** Ports of a bus's type that are landed nowhere, those nearest to the end of the bus first. */
export function freePortsFor(site: Site, bus: Bus): readonly ResolvedPort[] {
  return (freePorts(site).get(bus.busType) ?? [])
    .map((free) => ({ free, wayM: wayToEndM(site, bus, free.device) ?? Number.POSITIVE_INFINITY }))
    .sort(
      (one, other) =>
        compare(one.wayM, other.wayM) || compareNames(nameOf(one.free), nameOf(other.free)),
    )
    .map(({ free }) => free);
}

/** The buses of a type, in text order. */
export function busesOfType(site: Site, busType: string): readonly Bus[] {
  return busesByType(site, busType) ?? [];
}

/** The last landing of a bus's main line, to which the next cable would be connected. */
export function lastLanding(bus: Bus): Bus['landings'][number] | undefined {
  return bus.landings.findLast((landing) => landing.spur === undefined);
}

const busesByType = memoisedTable((site): ReadonlyMap<string, readonly Bus[]> => {
  const found = new Map<string, Bus[]>();
  for (const bus of site.buses.values()) {
    const list = found.get(bus.busType);
    if (list === undefined) {
      found.set(bus.busType, [bus]);
    } else {
      list.push(bus);
    }
  }
  return found;
});

const freePorts = memoisedOnce((site): ReadonlyMap<string, readonly ResolvedPort[]> => {
  const found = new Map<string, ResolvedPort[]>();
  for (const device of site.devices.values()) {
    const equipment = equipmentOf(site, device);
    for (const port of equipment?.ports ?? []) {
      if (equipment !== undefined && !site.busLandings.has(memberKey(device.name, port.name))) {
        const list = found.get(port.busType) ?? [];
        list.push({ device, equipment, port });
        found.set(port.busType, list);
      }
    }
  }
  return found;
});

function hasRoom(site: Site, bus: Bus, wanted: ResolvedPort): boolean {
  const segment = segmentOf(site, bus);
  const { busType } = segment;
  const name = nameOf(wanted);
  if (busType === undefined || segment.landings.some((landing) => landing.name === name)) {
    return false;
  }
  const { port } = wanted;
  const isController = port.talksAs === 'controller';
  const talks = isController || port.talksAs === 'responder';
  if (talks && talkingPorts(segment).length >= (busType.drops ?? Number.POSITIVE_INFINITY)) {
    return false;
  }
  if (isController && controllersOn(site, bus) >= (busType.controllers ?? 1)) {
    return false;
  }
  const sources = segment.ports.filter(({ resolved }) => resolved.port.gives !== undefined);
  if (port.gives !== undefined && sources.length >= (busType.sources ?? 1)) {
    return false;
  }
  return (
    hasUnitLoadsLeft(segment.ports, wanted, busType.signal?.unitLoads) &&
    hasPowerLeft(site, bus, wanted) &&
    hasCableLeft(site, bus, wanted)
  );
}

function controllersOn(site: Site, bus: Bus): number {
  return talkDomainOf(site, bus)
    .segments.flatMap((segment) => segment.ports)
    .filter(({ resolved }) => resolved.port.talksAs === 'controller').length;
}

function hasUnitLoadsLeft(
  ports: readonly BusPort[],
  wanted: ResolvedPort,
  limit: number | undefined,
): boolean {
  if (limit === undefined) {
    return true;
  }
  const load = ports.reduce((sum, port) => sum + unitLoadOf(port.resolved), 0);
  return !isAbove(load + unitLoadOf(wanted), limit);
}

/** What nobody stated is no obstacle: the rules are silent there, too. */
function hasPowerLeft(site: Site, bus: Bus, { port }: ResolvedPort): boolean {
  const powered = poweredSegmentOf(site, bus);
  const taken = powered && takenBy(port, powered.nominalV);
  return (
    powered?.capacityA === undefined ||
    taken === undefined ||
    taken === 'unstated' ||
    !isAbove(powered.loadA + taken.currentA, powered.capacityA)
  );
}

function hasCableLeft(site: Site, bus: Bus, { device }: ResolvedPort): boolean {
  const { segment, total, farthest } = geometryOf(site, bus);
  const wayM = wayToEndM(site, bus, device) ?? 0;
  const limits = segment.busType?.lengthLimitM;
  return (
    !isAbove(total.knownM + wayM, limits?.total ?? Number.POSITIVE_INFINITY) &&
    !isAbove((farthest?.lengthM ?? 0) + wayM, limits?.farthest ?? Number.POSITIVE_INFINITY)
  );
}

/** Estimated cable in metres from the end of a bus to a device. */
function wayToEndM(site: Site, bus: Bus, device: Device): number | undefined {
  const last = lastLanding(bus);
  const end = last && site.devices.get(last.device);
  return (
    end && estimatedLength(estimateSettings(site), roomOf(site, end), roomOf(site, device))?.lengthM
  );
}

function nameOf({ device, port }: ResolvedPort): string {
  return memberKey(device.name, port.name);
}

/** Subtraction would give no number for two infinite ways. */
function compare(one: number, other: number): number {
  return one === other ? 0 : one < other ? -1 : 1;
}
