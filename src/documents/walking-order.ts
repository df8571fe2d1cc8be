/** The orders in which people go through a site. */
import { segmentOf } from '../analysis/bus/segment.js';
import { controllersOf, supervisionOf } from '../analysis/graph/supervision.js';
import { compareNames, equipmentOf, memberKey, resolvePort, roomOf } from '../model/site.js';
import type { Device } from '../model/records.js';
import type { Site } from '../model/site.js';
import type { Role } from '../model/values.js';
import { memoisedOnce } from '../analysis/memo.js';
import { feedEnds } from '../analysis/power/consumers.js';

/**
 * Devices as one walks: area by area and room by room in the order in which the site lists them,
 * which keeps a building together; by name within a room. Devices without a place come last.
 */
export const walkingOrder: (site: Site) => readonly Device[] = memoisedOnce((site) => {
  const rooms = [...site.areas.values()].flatMap((area) =>
    area.rooms.map((room) => memberKey(area.name, room.name)),
  );
  const positions = new Map(rooms.map((key, index) => [key, index]));
  const positionOf = (device: Device): number =>
    positions.get(roomOf(site, device)?.key ?? '') ?? rooms.length;
  return [...site.devices.values()].sort(
    (one, other) => positionOf(one) - positionOf(other) || compareNames(one.name, other.name),
  );
});

/**
 * Devices in the order in which they are switched on and tried: what feeds others comes before what
 * it feeds, what is found before what must find it, then by role (units, then what passes their words on, then controllers
 * from the room to the site), then as one walks.
 */
export const startingOrder: (site: Site) => readonly Device[] = memoisedOnce((site) => {
  const walk = walkingOrder(site);
  const position = new Map(walk.map((device, index) => [device.name, index]));
  const rank = (device: Device): number =>
    ROLE_RANK[equipmentOf(site, device)?.role ?? 'other'] * walk.length +
    (position.get(device.name) ?? 0);
  return topological(
    [...walk].sort((one, other) => rank(one) - rank(other)),
    mustComeBefore(site),
  );
});

const ROLE_RANK: Readonly<Record<Role, number>> = {
  supply: 0,
  junction: 1,
  terminator: 1,
  repeater: 1,
  'outdoor-unit': 2,
  'indoor-unit': 3,
  sensor: 4,
  meter: 4,
  other: 4,
  switch: 5,
  gateway: 6,
  'room-controller': 7,
  'zone-controller': 8,
  'site-controller': 9,
};

/** For each device those that must run before it: what it finds, what relays it, what feeds it. */
function mustComeBefore(site: Site): ReadonlyMap<string, ReadonlySet<string>> {
  const before = new Map<string, Set<string>>();
  const add = (name: string, first: string): void => {
    if (name !== first && site.devices.has(first)) {
      const names = before.get(name) ?? new Set();
      names.add(first);
      before.set(name, names);
    }
  };
  for (const device of site.devices.values()) {
    suppliersOf(site, device).forEach((supplier) => add(device.name, supplier));
  }
  for (const controller of controllersOf(site)) {
    for (const unit of supervisionOf(site, controller)?.sightings ?? []) {
      add(controller.name, unit.device.name);
      unit.relays.forEach((relay) => add(controller.name, relay));
    }
  }
  return before;
}

/** The devices whose outlets, giving ports or network sockets feed a device. */
function suppliersOf(site: Site, device: Device): readonly string[] {
  const equipment = equipmentOf(site, device);
  const overInlets = (equipment?.inlets ?? []).flatMap((inlet) => {
    const key = memberKey(device.name, inlet.name);
    return [
      ...(site.feedLandings.get(key) ?? []).flatMap(({ run }) => feedEnds(run)),
      ...(site.inletLines.get(key) ?? []).map(({ line }) => line.from),
    ].map((from) => from.owner);
  });
  const overBuses = (site.busLandingsOfDevice.get(device.name) ?? []).flatMap(({ run, landing }) =>
    resolvePort(site, device.name, landing.member)?.port.takes === undefined
      ? []
      : segmentOf(site, run).ports.flatMap(({ resolved }) =>
          resolved.port.gives === undefined ? [] : [resolved.device.name],
        ),
  );
  const overNetworks = (equipment?.lans ?? [])
    .filter((lan) => lan.takesPoeClass !== undefined)
    .flatMap((lan) => site.hosts.get(memberKey(device.name, lan.name)) ?? [])
    .flatMap(({ host }) => host.from?.owner ?? []);
  return [...overInlets, ...overBuses, ...overNetworks];
}

/**
 * Keeps the given order as far as each item's predecessors come first. Where items wait for each
 * other in a circle, the first of them in the given order goes ahead.
 */
function topological(
  devices: readonly Device[],
  before: ReadonlyMap<string, ReadonlySet<string>>,
): readonly Device[] {
  const byName = new Map(devices.map((device) => [device.name, device]));
  const waitsFor = (device: Device): readonly string[] => [...(before.get(device.name) ?? [])];
  const done = new Set<string>();
  const ordered: Device[] = [];
  const place = (device: Device): void => {
    // A stack of its own, because a chain of controllers may be longer than the call stack.
    const stack = [{ device, waiting: waitsFor(device), next: 0 }];
    const open = new Set([device.name]);
    while (stack.length > 0) {
      const top = stack[stack.length - 1]!;
      const next = top.waiting[top.next];
      top.next += 1;
      const waitedFor = next === undefined ? undefined : byName.get(next);
      if (next !== undefined) {
        if (waitedFor !== undefined && !done.has(next) && !open.has(next)) {
          open.add(next);
          stack.push({ device: waitedFor, waiting: waitsFor(waitedFor), next: 0 });
        }
        continue;
      }
      stack.pop();
      if (!done.has(top.device.name)) {
        done.add(top.device.name);
        ordered.push(top.device);
      }
    }
  };
  devices.forEach((device) => {
    if (!done.has(device.name)) {
      place(device);
    }
  });
  return ordered;
}
