/** Names that fit where a name is wanted, and of those only what leaves the site as right as it is. */
import { cableFaults } from '../../../analysis/bus/cable-fit.js';
import { freePortsFor } from '../../../analysis/bus/vacancy.js';
import { supplyCandidates } from '../../../analysis/power/candidates.js';
import { loadOf } from '../../../analysis/power/loads.js';
import { ratingOf } from '../../../analysis/power/point-rating.js';
import { fitsPoint } from '../../../analysis/power/type-match.js';
import type { LoweredDeclaration } from '../../../language/lower.js';
import { candidates, kindName, membersOf } from '../../../language/resolve.js';
import type { NameReference } from '../../../language/reference.js';
import type { Equipment, Inlet, Voltage } from '../../../model/equipment.js';
import type { Declaration, Device } from '../../../model/records.js';
import {
  equipmentOf,
  memberKey,
  resolveInlet,
  resolvePowerPoint,
  roomOf,
  type PowerPoint,
  type Site,
} from '../../../model/site.js';
import type { Bus, Feed } from '../../../model/wiring.js';
import type { Offer } from './offer.js';

/** What is offered for a name. `line` is the statement before the cursor. */
export function nameOffers(
  site: Site,
  reference: NameReference,
  declaration: LoweredDeclaration | undefined,
  line: string,
): Offer[] {
  const record = declaration?.record;
  const { wants, owner } = reference;
  if (owner !== undefined) {
    return memberOffers(site, owner, wants, record, line);
  }
  if (record?.kind === 'bus' && wants.includes('device')) {
    return freePortsFor(site, known(site, record)).map(({ device, port }) =>
      member(site, device, port.name, port.busType),
    );
  }
  if (record?.kind === 'feed' && wants.includes('device') && !wants.includes('board')) {
    return freeInlets(site, record);
  }
  if (wants.includes('board')) {
    return powerPoints(site, record, line);
  }
  if (record?.kind === 'network' && wants.includes('device')) {
    return [...site.devices.values()].flatMap((device) =>
      (equipmentOf(site, device)?.lans ?? [])
        .filter((lan) => !site.hosts.has(memberKey(device.name, lan.name)))
        .map((lan) => member(site, device, lan.name, device.equipment)),
    );
  }
  if (wants.includes('equipment') && record?.kind === 'device') {
    return equipmentOffers(site, record);
  }
  if (wants.includes('cable')) {
    return cableOffers(site, record);
  }
  return candidates(site, wants).map((name) => ({
    text: name,
    kind: 'name',
    detail: detailOf(site, name),
    rank: 0,
    about: name,
    ...whereOf(site, name),
  }));
}

/** A title or the kind of thing that a name is. */
export function detailOf(site: Site, name: string): string {
  const record = site.byName.get(name)?.record;
  if (record === undefined) {
    return site.rooms.get(name)?.room.title ?? 'room';
  }
  return 'title' in record && record.title !== undefined ? record.title : kindName(record.kind);
}

/** The floor and room of a device, the floor of a room. */
function whereOf(site: Site, name: string): Pick<Offer, 'where'> {
  const record = site.byName.get(name)?.record;
  const room =
    record === undefined
      ? site.rooms.get(name)
      : record.kind === 'device' || record.kind === 'board'
        ? roomOf(site, record)
        : undefined;
  const where = record === undefined ? room?.area.name : room?.key;
  return where === undefined ? {} : { where };
}

function member(site: Site, device: Device, name: string, detail: string): Offer {
  return {
    text: memberKey(device.name, name),
    kind: 'member',
    detail,
    rank: 0,
    about: memberKey(device.name, name),
    ...whereOf(site, device.name),
  };
}

function memberOffers(
  site: Site,
  owner: string,
  wants: NameReference['wants'],
  record: Declaration | undefined,
  line: string,
): Offer[] {
  const free =
    record?.kind === 'bus'
      ? new Set(
          freePortsFor(site, known(site, record)).map(
            (one) => `${one.device.name}.${one.port.name}`,
          ),
        )
      : undefined;
  const offered = (name: string, kind: string): boolean => {
    const key = memberKey(owner, name);
    if (kind === 'port' && record?.kind === 'bus') {
      return free!.has(key) || (!site.busLandings.has(key) && portFits(site, record, owner, name));
    }
    if (kind === 'inlet' && record?.kind === 'feed') {
      return freeInlets(site, record).some((one) => one.text === key);
    }
    if (kind === 'way' || kind === 'outlet') {
      return powerPoints(site, record, line).some((one) => one.text === key);
    }
    if (kind === 'inlet' && record?.kind === 'device') {
      return isFree(site, key) && !record.inletLines.some((one) => one.inlet === name);
    }
    if (kind === 'port' && record?.kind === 'device') {
      return needsAddress(site, record, name);
    }
    if (kind === 'lan' && record?.kind === 'network') {
      return !site.hosts.has(key);
    }
    return true;
  };
  return [...membersOf(site, owner, wants)].flatMap(([name, { kind }]) =>
    offered(name, kind)
      ? [{ text: name, kind: 'member', detail: kindName(kind), rank: 0, about: `${owner}.${name}` }]
      : [],
  );
}

/** The bus as the site knows it, so that what is landed on it already is not offered again. */
function known(site: Site, bus: Bus): Bus {
  return site.buses.get(bus.name) ?? bus;
}

function portFits(site: Site, bus: Bus, owner: string, port: string): boolean {
  const device = site.devices.get(owner);
  const equipment = device && equipmentOf(site, device);
  return equipment?.ports.some((one) => one.name === port && one.busType === bus.busType) === true;
}

function needsAddress(site: Site, device: Device, name: string): boolean {
  const port = site.equipment.get(device.equipment)?.ports.find((one) => one.name === name);
  return (
    port !== undefined &&
    port.addressedBy !== 'none' &&
    site.busTypes.get(port.busType)?.addresses !== undefined &&
    !device.addresses.some((one) => one.port === name)
  );
}

function isFree(site: Site, inlet: string): boolean {
  return !site.feedLandings.has(inlet) && !site.inletLines.has(inlet);
}

/** Inlets that nothing feeds yet and that the feed's source fits. */
function freeInlets(site: Site, feed: Feed): Offer[] {
  const point = resolvePowerPoint(site, feed.from);
  return [...site.devices.values()].flatMap((device) =>
    (equipmentOf(site, device)?.inlets ?? [])
      .filter(
        (inlet) =>
          isFree(site, memberKey(device.name, inlet.name)) &&
          device.name !== feed.from.owner &&
          (point === undefined || fitsPoint(inlet, point)),
      )
      .map((inlet) => member(site, device, inlet.name, voltageText(inlet.voltage))),
  );
}

export function voltageText(voltage: Voltage | undefined): string {
  return voltage === undefined
    ? ''
    : `${voltage.volts} V${voltage.kind === undefined ? '' : voltage.kind.toUpperCase()}`;
}

/** Ways and outlets, as what something may be fed from: those with room for it first. */
function powerPoints(site: Site, record: Declaration | undefined, line: string): Offer[] {
  const wanted = inletsToFeed(site, record, line);
  const suited = new Set(
    wanted.length === 1 && wanted[0]!.device !== undefined
      ? supplyCandidates(site, wanted[0]!.device, wanted[0]!.inlet, 50).map(
          ({ point }) => point.key,
        )
      : [],
  );
  const isInlet = wanted.length === 1 && record?.kind === 'device';
  const ways = [...site.boards.values()].flatMap((board) =>
    board.ways.map((way): { point: PowerPoint; detail: string; rank: number } => ({
      point: { kind: 'way', key: memberKey(board.name, way.name), board, way },
      detail: way.title ?? (voltageText(way.voltage) || 'way'),
      rank: 1,
    })),
  );
  const outlets = [...site.devices.values()].flatMap((device) => {
    const equipment = equipmentOf(site, device);
    return (equipment?.outlets ?? []).map(
      (outlet): { point: PowerPoint; detail: string; rank: number } => ({
        point: {
          kind: 'outlet',
          key: memberKey(device.name, outlet.name),
          device,
          equipment: equipment!,
          outlet,
        },
        detail: voltageText(outlet.voltage) || 'outlet',
        rank: 2,
      }),
    );
  });
  return [...ways, ...outlets].flatMap(({ point, detail, rank }): Offer[] => {
    const fits =
      wanted.every(({ inlet }) => fitsPoint(inlet, point)) &&
      (record?.kind !== 'device' || point.kind === 'way' || point.device.name !== record.name);
    const isKnown = ratingOf(point) !== undefined && loadOf(site, point).gaps.length === 0;
    return !fits || (isInlet && isKnown && !suited.has(point.key))
      ? []
      : [
          {
            text: point.key,
            kind: 'member',
            detail,
            rank: suited.has(point.key) ? 0 : rank,
            about: point.key,
            ...whereOf(site, point.kind === 'way' ? point.board.name : point.device.name),
          },
        ];
  });
}

/** The inlets that the source at the cursor will feed. */
function inletsToFeed(
  site: Site,
  record: Declaration | undefined,
  line: string,
): { device: Device | undefined; inlet: Inlet }[] {
  if (record?.kind === 'device') {
    const name = /(?:^|[\s{])inlet[ \t]+(\S+)[ \t]+from[ \t]+\S*$/u.exec(line)?.[1];
    const inlet = site.equipment.get(record.equipment)?.inlets.find((one) => one.name === name);
    return inlet === undefined ? [] : [{ device: record, inlet }];
  }
  if (record?.kind === 'feed') {
    return record.landings.flatMap((landing) => {
      const resolved = resolveInlet(site, landing.device, landing.member);
      return resolved === undefined ? [] : [{ device: undefined, inlet: resolved.inlet }];
    });
  }
  return [];
}

/** Equipment that has every part by which the rest of the site knows the device. */
function equipmentOffers(site: Site, record: Device): Offer[] {
  const { name } = record;
  const ports = (site.busLandingsOfDevice.get(name) ?? []).map(({ run, landing }) => ({
    name: landing.member,
    busType: run.busType,
  }));
  const inlets = [
    ...record.inletLines.map((line) => line.inlet),
    ...[...site.feedLandings.keys()].flatMap((key) => ownMember(key, name)),
  ];
  const lans = [...site.hosts.keys()].flatMap((key) => ownMember(key, name));
  const outlets = [...site.feedsFrom.keys(), ...site.inletLinesFrom.keys()].flatMap((key) =>
    ownMember(key, name),
  );
  const has = (equipment: Equipment): boolean =>
    ports.every((port) =>
      equipment.ports.some((one) => one.name === port.name && one.busType === port.busType),
    ) &&
    inlets.every((inlet) => equipment.inlets.some((one) => one.name === inlet)) &&
    outlets.every((outlet) => equipment.outlets.some((one) => one.name === outlet)) &&
    lans.every((lan) => equipment.lans.some((one) => one.name === lan)) &&
    record.addresses.every(
      ({ port }) => port === undefined || equipment.ports.some((one) => one.name === port),
    );
  return [
    ...[...site.equipment.values()].filter(has).map((equipment): Offer => ({
      text: equipment.name,
      kind: 'name',
      detail: equipment.title ?? equipment.role,
      rank: equipment.deprecated === undefined ? 0 : 4,
      about: equipment.name,
      ...(equipment.deprecated === undefined ? {} : { deprecated: true }),
    })),
    ...[...site.assemblies.values()].map(({ name: assembly, title }): Offer => ({
      text: assembly,
      kind: 'name',
      detail: title ?? 'assembly',
      rank: 1,
      about: assembly,
    })),
  ];
}

function ownMember(key: string, device: string): string[] {
  const cut = key.lastIndexOf('.');
  return key.slice(0, cut) === device ? [key.slice(cut + 1)] : [];
}

function cableOffers(site: Site, record: Declaration | undefined): Offer[] {
  const busType = record?.kind === 'bus' ? site.busTypes.get(record.busType) : undefined;
  return [...site.cables.values()]
    .filter((cable) => busType === undefined || cableFaults(busType, cable).length === 0)
    .map((cable) => ({
      text: cable.name,
      kind: 'name',
      detail: cable.title ?? 'cable',
      rank: 0,
      about: cable.name,
    }));
}
