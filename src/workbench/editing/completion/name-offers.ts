/** Names that fit where a name is wanted, and of those only what leaves the site as right as it is. */
import { cableFaults } from '../../../analysis/bus/cable-fit.js';
import { freePortsFor } from '../../../analysis/bus/vacancy.js';
import { supplyCandidates } from '../../../analysis/power/candidates.js';
import { isProtectiveTerminal } from '../../../analysis/cabling/cores.js';
import { controllersFinding } from '../../../analysis/graph/supervision.js';
import { undersizedIn } from '../../../analysis/power/ampacity.js';
import { consumersOf } from '../../../analysis/power/consumers.js';
import { loadOf } from '../../../analysis/power/loads.js';
import { ratingOf } from '../../../analysis/power/point-rating.js';
import { circuitsOfLines } from '../../../analysis/power/supply-circuit.js';
import { fitsPoint } from '../../../analysis/power/type-match.js';
import type { LoweredDeclaration } from '../../../language/lower.js';
import { candidates, kindName, membersOf } from '../../../language/resolve.js';
import type { NameReference } from '../../../language/reference.js';
import type { Cable, Equipment, Inlet, Voltage } from '../../../model/equipment.js';
import type { Declaration, Device, Zone } from '../../../model/records.js';
import {
  equipmentOf,
  memberKey,
  resolveInlet,
  resolvePort,
  resolvePowerPoint,
  roomOf,
  type PowerPoint,
  type Site,
} from '../../../model/site.js';
import type { Bus, Feed } from '../../../model/wiring.js';
import type { Offer } from './offer.js';

/** The statement around the cursor. */
export interface AroundCursor {
  readonly before: string;
  readonly after: string;
}

/** What is offered for a name. */
export function nameOffers(
  site: Site,
  reference: NameReference,
  declaration: LoweredDeclaration | undefined,
  line: AroundCursor,
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
    return cableOffers(site, record, line);
  }
  if (wants.includes('bustype') && record?.kind === 'bus') {
    return busTypeOffers(site, record);
  }
  if (record?.kind === 'zone') {
    return unitOffers(site, record);
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
  line: AroundCursor,
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

/** Whether something of another file suits the declaration that would name it. */
export function suitsDeclaration(
  site: Site,
  record: Declaration | undefined,
  candidate: Declaration,
): boolean {
  if (record?.kind === 'bus' && candidate.kind === 'bustype') {
    return record.landings.length === 0;
  }
  if (record?.kind === 'device' && candidate.kind === 'equipment') {
    return isUnused(site, record);
  }
  return candidate.kind !== 'cable' || suits(site, record, noLine, candidate);
}

const noLine: AroundCursor = { before: '', after: '' };

function isUnused(site: Site, device: Device): boolean {
  const use = useOf(site, device);
  return [use.ports, use.inlets, use.outlets, use.lans].every((list) => list.length === 0);
}

export function voltageText(voltage: Voltage | undefined): string {
  return voltage === undefined
    ? ''
    : `${voltage.volts} V${voltage.kind === undefined ? '' : voltage.kind.toUpperCase()}`;
}

/** Ways and outlets, as what something may be fed from: those with room for it first. */
function powerPoints(site: Site, record: Declaration | undefined, line: AroundCursor): Offer[] {
  const wanted = inletsToFeed(site, record, line);
  const suited = new Set(
    wanted.length === 1 && wanted[0]!.device !== undefined
      ? supplyCandidates(site, wanted[0]!.device, wanted[0]!.inlet, 50).map(
          ({ point }) => point.key,
        )
      : [],
  );
  const cable = /(?:^|[ \t])using[ \t]+([^\s{}]+)/u.exec(line.after)?.[1];
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
    const bears = !isInlet || cable === undefined || bearsLine(site, wanted[0]!, point, cable);
    const isKnown = ratingOf(point) !== undefined && loadOf(site, point).gaps.length === 0;
    return !fits || !bears || (isInlet && isKnown && !suited.has(point.key))
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

/** Whether the cable that the line names carries what the inlet takes from a source. */
function bearsLine(
  site: Site,
  { device, inlet }: { device: Device | undefined; inlet: Inlet },
  point: PowerPoint,
  cable: string,
): boolean {
  if (device === undefined) {
    return true;
  }
  const cut = point.key.lastIndexOf('.');
  const from = { owner: point.key.slice(0, cut), member: point.key.slice(cut + 1) };
  const line = { index: 0, inlet: inlet.name, from, cable, covered: false, existing: false };
  const circuit = circuitsOfLines(site, { ...device, inletLines: [line] }).get(0);
  return circuit === undefined || undersizedIn(site, circuit).length === 0;
}

/** The inlets that the source at the cursor will feed. */
function inletsToFeed(
  site: Site,
  record: Declaration | undefined,
  line: AroundCursor,
  where: 'behind from' | 'anywhere' = 'behind from',
): { device: Device | undefined; inlet: Inlet }[] {
  if (record?.kind === 'device') {
    const [, name, rest = ''] =
      /(?:^|[\s{])inlet[ \t]+(\S+)[ \t]+from(?:[ \t]+(.*))?$/u.exec(line.before) ?? [];
    if (where === 'behind from' && /[ \t]/u.test(rest)) {
      return [];
    }
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
  const use = useOf(site, record);
  const has = (equipment: Equipment): boolean =>
    use.ports.every((port) =>
      equipment.ports.some((one) => one.name === port.name && one.busType === port.busType),
    ) &&
    use.inlets.every(({ name, point }) => {
      const inlet = equipment.inlets.find((one) => one.name === name);
      return inlet !== undefined && (point === undefined || fitsPoint(inlet, point));
    }) &&
    use.outlets.every(({ name, feeds }) => {
      const outlet = equipment.outlets.find((one) => one.name === name);
      const point = outlet && {
        kind: 'outlet' as const,
        key: '',
        device: record,
        equipment,
        outlet,
      };
      return point !== undefined && feeds.every((inlet) => fitsPoint(inlet, point));
    }) &&
    use.lans.every((lan) => equipment.lans.some((one) => one.name === lan)) &&
    record.addresses.every(
      ({ port }) => port === undefined || equipment.ports.some((one) => one.name === port),
    );
  // What is landed already is probably fed already; equipment that would wait for power is another.
  const isFed = (equipment: Equipment): boolean =>
    use.ports.length === 0 ||
    equipment.inlets.every(
      (inlet) => inlet.optional || use.inlets.some(({ name }) => name === inlet.name),
    );
  const fitting = [...site.equipment.values()].filter(has);
  const fed = fitting.filter(isFed);
  return [
    ...(fed.length === 0 ? fitting : fed).map((equipment): Offer => ({
      text: equipment.name,
      kind: 'name',
      detail: equipment.title ?? equipment.role,
      rank: equipment.deprecated === undefined ? 0 : 4,
      about: equipment.name,
      ...(equipment.deprecated === undefined ? {} : { deprecated: true }),
    })),
    ...(use.ports.length > 0 ? [] : [...site.assemblies.values()]).map(
      ({ name: assembly, title }): Offer => ({
        text: assembly,
        kind: 'name',
        detail: title ?? 'assembly',
        rank: 1,
        about: assembly,
      }),
    ),
  ];
}

/** By what the rest of the site, and its own lines, know a device. */
function useOf(site: Site, record: Device) {
  const { name } = record;
  const sourceOf = (from: { owner: string; member: string }) => resolvePowerPoint(site, from);
  return {
    ports: (site.busLandingsOfDevice.get(name) ?? []).map(({ run, landing }) => ({
      name: landing.member,
      busType: run.busType,
    })),
    inlets: [
      ...record.inletLines.map((line) => ({ name: line.inlet, point: sourceOf(line.from) })),
      ...[...site.feedLandings].flatMap(([key, landings]) =>
        ownMember(key, name).map((inlet) => ({
          name: inlet,
          point: sourceOf(landings[0]!.run.from),
        })),
      ),
    ],
    outlets: [...new Set([...site.feedsFrom.keys(), ...site.inletLinesFrom.keys()])].flatMap(
      (key) => ownMember(key, name).map((outlet) => ({ name: outlet, feeds: inletsOn(site, key) })),
    ),
    lans: [...site.hosts.keys()].flatMap((key) => ownMember(key, name)),
  };
}

/** The inlets that hang on a way or outlet, as far as their names resolve. */
function inletsOn(site: Site, point: string): Inlet[] {
  return consumersOf(site, point).flatMap((consumer) =>
    consumer.kind === 'inlet' && consumer.resolved !== undefined ? [consumer.resolved.inlet] : [],
  );
}

function ownMember(key: string, device: string): string[] {
  const cut = key.lastIndexOf('.');
  return key.slice(0, cut) === device ? [key.slice(cut + 1)] : [];
}

function cableOffers(site: Site, record: Declaration | undefined, line: AroundCursor): Offer[] {
  return [...site.cables.values()]
    .filter((cable) => suits(site, record, line, cable))
    .map((cable) => ({
      text: cable.name,
      kind: 'name',
      detail: cable.title ?? 'cable',
      rank: 0,
      about: cable.name,
    }));
}

function suits(
  site: Site,
  record: Declaration | undefined,
  line: AroundCursor,
  cable: Cable,
): boolean {
  if (record?.kind === 'bus') {
    const busType = site.busTypes.get(record.busType);
    const isBare = record.landings.length > 0 && !record.landings.some((one) => one.bonded);
    // A screen that the type does not ask for has to be bonded all the same.
    const hasNeedlessScreen = isBare && cable.screened && busType?.cable?.screened !== true;
    return (
      !hasNeedlessScreen && (busType === undefined || cableFaults(busType, cable).length === 0)
    );
  }
  return inletsToFeed(site, record, line, 'anywhere').every(({ inlet, device }) => {
    const cores = cable.cores?.count ?? Number.POSITIVE_INFINITY;
    const needsEarth = inlet.terminals.some(isProtectiveTerminal);
    const hasEarth = cable.colours.length === 0 || cable.colours.includes('GNYE');
    const isNamed = device === undefined || cores >= inlet.terminals.length;
    return isNamed && (!needsEarth || hasEarth);
  });
}

/** Bus types that every port landed on the bus is of, and that its cable suits. */
function busTypeOffers(site: Site, bus: Bus): Offer[] {
  const types = new Set(
    bus.landings.flatMap(
      (landing) => resolvePort(site, landing.device, landing.member)?.port.busType ?? [],
    ),
  );
  const cable = bus.cable === undefined ? undefined : site.cables.get(bus.cable);
  return [...site.busTypes.values()]
    .filter(
      (busType) =>
        [...types].every((type) => type === busType.name) &&
        (cable === undefined || cableFaults(busType, cable).length === 0),
    )
    .map((busType) => ({
      text: busType.name,
      kind: 'name',
      detail: busType.title ?? 'bus type',
      rank: 0,
      about: busType.name,
    }));
}

/** Units that one controller finds together with those that stand in the zone already. */
function unitOffers(site: Site, zone: Zone): Offer[] {
  const present = zone.units.filter((unit) => site.devices.has(unit));
  const shared = (names: readonly string[]) =>
    names
      .map((name) => new Set(controllersFinding(site, name).map((one) => one.name)))
      .reduce((one, other) => new Set([...one].filter((name) => other.has(name))));
  return [...site.devices.values()]
    .filter(({ name }) => !present.includes(name) && shared([...present, name]).size > 0)
    .map((device) => ({
      text: device.name,
      kind: 'name',
      detail: detailOf(site, device.name),
      rank: 0,
      about: device.name,
      ...whereOf(site, device.name),
    }));
}
