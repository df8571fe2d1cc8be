/**
 * What a verdict rests on. Where one of these was not read, a rule about it is silent: the finding
 * about the slip says what to mend, and the verdict comes with it.
 */
import { segmentOf, talkDomainOf } from '../../analysis/bus/segment.js';
import { poeLinksFrom, poeLinksInto } from '../../analysis/power/poe.js';
import type { Damage } from '../../model/damage.js';
import type { Board, Containment, Device, Network } from '../../model/records.js';
import { equipmentOf, memberKey } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import type { Bus, Feed, Landing } from '../../model/wiring.js';
import type { Rule, SubjectKind, Subjects } from '../rule.js';
import { isDamaged, isHurt } from './damage.js';

/** A declaration that has to be read whole, or some parts of it. */
export interface Need {
  readonly declaration: string;
  readonly parts?: readonly string[];
}

/** Whether something that a rule's verdict on a subject rests on was not read. */
export function lacksWhatItNeeds<Kind extends SubjectKind>(
  site: Site,
  rule: Rule<Kind>,
  subject: Subjects[Kind],
  damage: Damage,
): boolean {
  if (!isDamaged(damage)) {
    return false;
  }
  const needs = rule.needs ?? usualNeeds[rule.of];
  return isAnyHurt(damage, needs(site, subject));
}

/** Whether one of the declarations was not read. */
export function isAnyHurt(damage: Damage, needs: Iterable<Need>): boolean {
  for (const { declaration, parts } of needs) {
    if (isHurt(damage, declaration, parts)) {
      return true;
    }
  }
  return false;
}

/** What the facts about a name rest on: a bus, a feed, a device or a member of one. */
export function* factNeeds(site: Site, subject: string): Iterable<Need> {
  const bus = site.buses.get(subject);
  const feed = site.feeds.get(subject);
  const [owner = '', member] = subject.split('.');
  const device = site.devices.get(owner);
  if (bus !== undefined) {
    yield* busNeeds(site, bus);
  } else if (feed !== undefined) {
    yield* feedNeeds(site, feed);
  } else if (device !== undefined) {
    yield* supplyNeeds(site, device);
    for (const { run, landing } of site.busLandingsOfDevice.get(owner) ?? []) {
      if (member === undefined || landing.member === member) {
        yield* busNeeds(site, run);
      }
    }
  }
}

type Needs<Kind extends SubjectKind> = (site: Site, subject: Subjects[Kind]) => Iterable<Need>;

/** For rules that have to tell by themselves what of the damage concerns them. */
export function* needsNothing(): Iterable<Need> {}

/** A bus with all that it forms one circuit and one conversation with. */
export function* busNeeds(site: Site, bus: Bus): Iterable<Need> {
  const buses = new Set([
    ...segmentOf(site, bus).buses,
    ...talkDomainOf(site, bus).segments.flatMap((segment) => segment.buses),
  ]);
  for (const one of buses) {
    yield { declaration: one.name };
    yield { declaration: one.busType };
    yield* cableNeeds([one.cable, ...one.landings.map((landing) => landing.cable)]);
    for (const { device, member } of one.landings) {
      yield* memberNeeds(site, device, [`port/${member}`, 'crossing']);
    }
  }
}

/** A feed with what it comes from and what hangs on it. */
export function* feedNeeds(site: Site, feed: Feed): Iterable<Need> {
  yield { declaration: feed.name };
  yield* cableNeeds([feed.cable, ...feed.landings.map((landing) => landing.cable)]);
  for (const point of [feed.from, ...(feed.and === undefined ? [] : [feed.and])]) {
    yield* pointNeeds(site, point);
  }
  for (const { device, member } of feed.landings) {
    yield* memberNeeds(site, device, [`inlet/${member}`]);
  }
}

/** A device's addresses with the buses and bus types on which they hold. */
export function* addressNeeds(site: Site, device: Device): Iterable<Need> {
  yield { declaration: device.name, parts: ['equipment', 'address'] };
  yield { declaration: device.equipment, parts: ['port', 'crossing'] };
  for (const { busType } of equipmentOf(site, device)?.ports ?? []) {
    yield { declaration: busType };
  }
  for (const { run } of site.busLandingsOfDevice.get(device.name) ?? []) {
    yield { declaration: run.name };
    for (const landing of run.landings) {
      yield { declaration: landing.device, parts: ['equipment', 'address'] };
    }
  }
}

/** A device's place in the conversation; what else is there a rule asks for by itself. */
export function* talkNeeds(site: Site, device: Device): Iterable<Need> {
  yield { declaration: device.name, parts: ['equipment', 'main'] };
  yield { declaration: device.equipment, parts: ['role', 'port', 'supervises', 'crossing'] };
  for (const { run } of site.busLandingsOfDevice.get(device.name) ?? []) {
    yield { declaration: run.name };
  }
}

/** A device's inlets and outlets with all that feeds them and that they feed. */
export function* supplyNeeds(site: Site, device: Device): Iterable<Need> {
  yield { declaration: device.name, parts: ['equipment', 'inlet'] };
  yield {
    declaration: device.equipment,
    parts: ['inlet', 'outlet', 'port', 'lan', 'poe-budget'],
  };
  yield* poeNeeds(site, device);
  const equipment = equipmentOf(site, device);
  for (const line of device.inletLines) {
    yield* cableNeeds([line.cable]);
    yield* pointNeeds(site, line.from);
  }
  for (const { name } of equipment?.inlets ?? []) {
    for (const { run } of site.feedLandings.get(memberKey(device.name, name)) ?? []) {
      yield* feedNeeds(site, run);
    }
  }
  for (const { name } of equipment?.outlets ?? []) {
    yield* consumerNeeds(site, memberKey(device.name, name));
  }
}

/** The sockets of a device with what they power, or with what powers it over them. */
function* poeNeeds(site: Site, device: Device): Iterable<Need> {
  for (const link of [...poeLinksInto(site, device), ...poeLinksFrom(site, device)]) {
    yield { declaration: link.network.name };
    yield* cableNeeds([link.host.cable]);
    yield* memberNeeds(site, link.device.name, [`lan/${link.host.lan}`, 'inlet', 'port']);
    if (link.host.from !== undefined) {
      yield* memberNeeds(site, link.host.from.owner, ['lan', 'poe-budget']);
    }
  }
}

/** Everything on the paths by which energy reaches a device. */
export function* isolationNeeds(site: Site, device: Device): Iterable<Need> {
  yield* supplyNeeds(site, device);
  const owners = new Set([device.name]);
  // A set may grow while it is walked, so this loop reaches everything upstream.
  for (const name of owners) {
    yield { declaration: name, parts: ['equipment', 'inlet', 'way', 'from'] };
    const board = site.boards.get(name);
    const one = site.devices.get(name);
    const equipment = one && equipmentOf(site, one);
    if (equipment !== undefined) {
      yield { declaration: equipment.name, parts: ['inlet', 'outlet', 'port', 'lan'] };
    }
    for (const { run } of site.busLandingsOfDevice.get(name) ?? []) {
      yield { declaration: run.name };
      run.landings.forEach((landing) => owners.add(landing.device));
    }
    const feeds = (equipment?.inlets ?? []).flatMap(
      (inlet) => site.feedLandings.get(memberKey(name, inlet.name)) ?? [],
    );
    for (const { run } of feeds) {
      yield { declaration: run.name };
    }
    const points = [
      ...(board?.from === undefined ? [] : [board.from]),
      ...(one?.inletLines ?? []).map((line) => line.from),
      ...feeds.flatMap(({ run }) => [run.from, ...(run.and === undefined ? [] : [run.and])]),
    ];
    for (const { owner, member } of points) {
      owners.add(owner);
      for (const isolator of site.isolatorsOn.get(memberKey(owner, member)) ?? []) {
        yield { declaration: isolator.name };
      }
    }
  }
}

/** All that stands in a device's line and on its terminals. */
export function* deviceNeeds(site: Site, device: Device): Iterable<Need> {
  yield { declaration: device.name };
  yield { declaration: device.equipment };
  yield* addressNeeds(site, device);
  yield* supplyNeeds(site, device);
  for (const { run } of site.busLandingsOfDevice.get(device.name) ?? []) {
    yield { declaration: run.name };
    yield* cableNeeds([run.cable, ...run.landings.map((landing) => landing.cable)]);
  }
}

function* boardNeeds(site: Site, board: Board): Iterable<Need> {
  yield { declaration: board.name };
  if (board.from !== undefined) {
    yield* pointNeeds(site, board.from);
  }
  for (const way of board.ways) {
    yield* consumerNeeds(site, memberKey(board.name, way.name));
  }
}

function* networkNeeds(site: Site, network: Network): Iterable<Need> {
  yield { declaration: network.name };
  for (const host of network.hosts) {
    yield* memberNeeds(site, host.device, [`lan/${host.lan}`]);
  }
}

function* containmentNeeds(site: Site, containment: Containment): Iterable<Need> {
  yield { declaration: containment.name };
  for (const path of containment.carries) {
    yield { declaration: path[0] ?? '' };
    const feed = site.feeds.get(path.join('.'));
    if (feed !== undefined) {
      yield* pointNeeds(site, feed.from);
    }
  }
}

const usualNeeds: { readonly [Kind in SubjectKind]: Needs<Kind> } = {
  bus: busNeeds,
  feed: feedNeeds,
  device: deviceNeeds,
  board: boardNeeds,
  network: networkNeeds,
  containment: containmentNeeds,
  *zone(_site, zone) {
    yield { declaration: zone.name };
  },
  *equipment(_site, equipment) {
    yield { declaration: equipment.name };
  },
  *bustype(_site, type) {
    yield { declaration: type.name };
  },
  *cable(_site, cable) {
    yield { declaration: cable.name };
  },
  site: needsNothing,
};

function* cableNeeds(names: readonly (string | undefined)[]): Iterable<Need> {
  for (const name of new Set(names)) {
    if (name !== undefined) {
      yield { declaration: name };
    }
  }
}

/** A member of a device: which equipment that is, and what the equipment says about it. */
function* memberNeeds(site: Site, device: string, parts: readonly string[]): Iterable<Need> {
  yield { declaration: device, parts: ['equipment', 'room'] };
  const equipment = site.devices.get(device)?.equipment;
  if (equipment !== undefined) {
    yield { declaration: equipment, parts };
  }
}

/** A way or an outlet. */
function* pointNeeds(
  site: Site,
  { owner, member }: { readonly owner: string; readonly member: string },
): Iterable<Need> {
  if (site.boards.has(owner)) {
    yield { declaration: owner, parts: [`way/${member}`, 'from'] };
  } else {
    yield* memberNeeds(site, owner, [`outlet/${member}`, 'inlet']);
  }
}

/** Everything that hangs on a way or outlet. */
function* consumerNeeds(site: Site, key: string): Iterable<Need> {
  for (const { device, line } of site.inletLinesFrom.get(key) ?? []) {
    yield { declaration: device.name, parts: ['equipment', 'inlet'] };
    yield { declaration: device.equipment, parts: [`inlet/${line.inlet}`, 'outlet', 'port'] };
  }
  for (const feed of site.feedsFrom.get(key) ?? []) {
    yield { declaration: feed.name };
    for (const landing of feed.landings as readonly Landing[]) {
      yield* memberNeeds(site, landing.device, [`inlet/${landing.member}`, 'outlet', 'port']);
    }
  }
  for (const board of site.boardsFrom.get(key) ?? []) {
    yield { declaration: board.name };
  }
}
