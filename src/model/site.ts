/**
 * The site model: an index over the declarations of a site, and the look-ups that everything else is built on.
 *
 * All references are names. A look-up that finds nothing gives undefined and never throws, so that a
 * half-typed site still draws and still computes what it can.
 */
import type { BusType, Cable, Equipment, Inlet, LanPort, Outlet, Port } from './equipment.js';
import type {
  Area,
  Assembly,
  Board,
  Containment,
  Declaration,
  DeclarationKind,
  DeclarationOf,
  Device,
  Host,
  InletLine,
  Instance,
  Isolator,
  Network,
  Observation,
  Room,
  SiteSettings,
  Waiver,
  Way,
  Zone,
} from './records.js';
import type { DeclarationId } from './origin.js';
import type { Bus, Feed, Landing } from './wiring.js';

/** A declaration with the key under which its origins are kept. */
export interface SiteEntry {
  readonly id: DeclarationId;
  readonly record: Declaration;
}

export interface PlacedRoom {
  /** `Level1.Plant`: unique in a site. */
  readonly key: string;
  readonly area: Area;
  readonly room: Room;
}

export interface RunLanding<Run extends Bus | Feed = Bus | Feed> {
  readonly run: Run;
  readonly landing: Landing;
}

export interface DeviceInletLine {
  readonly device: Device;
  readonly line: InletLine;
}

export interface NetworkHost {
  readonly network: Network;
  readonly host: Host;
}

/** A name at column 0 that is declared more than once; the first declaration counts. */
export interface DuplicateName {
  readonly name: string;
  readonly first: SiteEntry;
  readonly again: SiteEntry;
}

export interface Site {
  /** Every declaration that counts, in text order. */
  readonly entries: readonly SiteEntry[];
  readonly byName: ReadonlyMap<string, SiteEntry>;
  readonly duplicates: readonly DuplicateName[];
  readonly settings: SiteSettings | undefined;
  readonly busTypes: ReadonlyMap<string, BusType>;
  readonly cables: ReadonlyMap<string, Cable>;
  readonly equipment: ReadonlyMap<string, Equipment>;
  readonly areas: ReadonlyMap<string, Area>;
  readonly boards: ReadonlyMap<string, Board>;
  readonly isolators: ReadonlyMap<string, Isolator>;
  readonly devices: ReadonlyMap<string, Device>;
  readonly buses: ReadonlyMap<string, Bus>;
  readonly feeds: ReadonlyMap<string, Feed>;
  readonly containments: ReadonlyMap<string, Containment>;
  readonly networks: ReadonlyMap<string, Network>;
  readonly zones: ReadonlyMap<string, Zone>;
  readonly assemblies: ReadonlyMap<string, Assembly>;
  readonly instances: ReadonlyMap<string, Instance>;
  readonly waivers: readonly { readonly id: DeclarationId; readonly record: Waiver }[];
  readonly observations: readonly SiteObservation[];
  /** By bare name where that is unique, and by `Area.Room` always. */
  readonly rooms: ReadonlyMap<string, PlacedRoom>;
  /** Bare room names that stand in several areas, with their full keys. */
  readonly ambiguousRooms: ReadonlyMap<string, readonly string[]>;

  /** Landings by `device.member`, in buses. */
  readonly busLandings: ReadonlyMap<string, readonly RunLanding<Bus>[]>;
  /** Landings by `device.member`, in feeds. */
  readonly feedLandings: ReadonlyMap<string, readonly RunLanding<Feed>[]>;
  /** Bus landings by device, in text order. */
  readonly busLandingsOfDevice: ReadonlyMap<string, readonly RunLanding<Bus>[]>;
  /** Inlet lines by `device.inlet`. */
  readonly inletLines: ReadonlyMap<string, readonly DeviceInletLine[]>;
  /** Inlet lines by the way or outlet they come from, ordered by device name. */
  readonly inletLinesFrom: ReadonlyMap<string, readonly DeviceInletLine[]>;
  /** Feeds by the outlet (or way) they come from, ordered by name. */
  readonly feedsFrom: ReadonlyMap<string, readonly Feed[]>;
  /** Boards by the way that feeds them, ordered by name. */
  readonly boardsFrom: ReadonlyMap<string, readonly Board[]>;
  /** Isolators by the way or outlet they stand on, ordered by name. */
  readonly isolatorsOn: ReadonlyMap<string, readonly Isolator[]>;
  /** Hosts by `device.lan`. */
  readonly hosts: ReadonlyMap<string, readonly NetworkHost[]>;
  /** Feed landings by device, in text order. */
  readonly feedLandingsOfDevice: ReadonlyMap<string, readonly RunLanding<Feed>[]>;
  /** Devices by equipment name, ordered by name. */
  readonly devicesOf: ReadonlyMap<string, readonly Device[]>;
  /** Observations by what was observed, in text order. */
  readonly observationsOf: ReadonlyMap<string, readonly SiteObservation[]>;
  /** Every name by which a declaration refers to a bus type, cable or piece of equipment. */
  readonly templatesUsed: ReadonlySet<string>;
  /** Which of two declarations stands first in the text: below 0 where the first does, 0 where one is not known. */
  readonly compareInText: (one: DeclarationId, other: DeclarationId) => number;
  /** Whether a declaration with this key stands among the entries. */
  readonly hasEntry: (id: DeclarationId) => boolean;
  /**
   * Of a site that changes in place: what it stays the same by, so that computed results can be kept
   * and brought up to date. Undefined for a site that never changes.
   */
  readonly lasting?: object;
}

/** An observation with the key of its declaration. */
export interface SiteObservation {
  readonly id: DeclarationId;
  readonly record: Observation;
}

/** Builds the index. Shapes: any list of entries gives a site, an empty one included. */
export function buildSite(all: readonly SiteEntry[]): Site {
  const byName = new Map<string, SiteEntry>();
  const duplicates: DuplicateName[] = [];
  const entries: SiteEntry[] = [];
  for (const entry of all) {
    const name = nameOf(entry.record);
    const first = name === undefined ? undefined : byName.get(name);
    if (name !== undefined && first !== undefined) {
      duplicates.push({ name, first, again: entry });
      continue;
    }
    if (name !== undefined) {
      byName.set(name, entry);
    }
    entries.push(entry);
  }
  const only = <Kind extends DeclarationKind>(kind: Kind): Map<string, DeclarationOf<Kind>> => {
    const found = new Map<string, DeclarationOf<Kind>>();
    for (const { record } of entries) {
      if (record.kind === kind) {
        found.set(nameOf(record) ?? '', record as DeclarationOf<Kind>);
      }
    }
    return found;
  };
  const areas = only('area');
  const devices = only('device');
  const buses = only('bus');
  const feeds = only('feed');
  const boards = only('board');
  const isolators = only('isolator');
  const networks = only('network');
  const { rooms, ambiguousRooms } = indexRooms(areas);

  const busLandings = new Map<string, RunLanding<Bus>[]>();
  const busLandingsOfDevice = new Map<string, RunLanding<Bus>[]>();
  for (const bus of buses.values()) {
    for (const landing of bus.landings) {
      push(busLandings, memberKey(landing.device, landing.member), { run: bus, landing });
      push(busLandingsOfDevice, landing.device, { run: bus, landing });
    }
  }
  const feedLandings = new Map<string, RunLanding<Feed>[]>();
  const feedLandingsOfDevice = new Map<string, RunLanding<Feed>[]>();
  const feedsFrom = new Map<string, Feed[]>();
  for (const feed of feeds.values()) {
    for (const landing of feed.landings) {
      const landed = { run: feed, landing };
      push(feedLandings, memberKey(landing.device, landing.member), landed);
      push(feedLandingsOfDevice, landing.device, landed);
    }
    const first = memberKey(feed.from.owner, feed.from.member);
    push(feedsFrom, first, feed);
    if (feed.and !== undefined && memberKey(feed.and.owner, feed.and.member) !== first) {
      push(feedsFrom, memberKey(feed.and.owner, feed.and.member), feed);
    }
  }
  const inletLines = new Map<string, DeviceInletLine[]>();
  const inletLinesFrom = new Map<string, DeviceInletLine[]>();
  const devicesOf = new Map<string, Device[]>();
  for (const device of devices.values()) {
    push(devicesOf, device.equipment, device);
    for (const line of device.inletLines) {
      push(inletLines, memberKey(device.name, line.inlet), { device, line });
      push(inletLinesFrom, memberKey(line.from.owner, line.from.member), { device, line });
    }
  }
  const boardsFrom = new Map<string, Board[]>();
  for (const board of boards.values()) {
    if (board.from !== undefined) {
      push(boardsFrom, memberKey(board.from.owner, board.from.member), board);
    }
  }
  const isolatorsOn = new Map<string, Isolator[]>();
  for (const isolator of isolators.values()) {
    push(isolatorsOn, memberKey(isolator.on.owner, isolator.on.member), isolator);
  }
  const hosts = new Map<string, NetworkHost[]>();
  for (const network of networks.values()) {
    for (const host of network.hosts) {
      push(hosts, memberKey(host.device, host.lan), { network, host });
    }
  }
  const observations = ofKind(entries, 'observed');
  const observationsOf = new Map<string, SiteObservation[]>();
  for (const observation of observations) {
    push(observationsOf, observation.record.subject, observation);
  }
  let order: ReadonlyMap<DeclarationId, number> | undefined;
  const textOrder = () => (order ??= new Map(entries.map(({ id }, index) => [id, index])));
  sortEach(inletLinesFrom, (one) => `${one.device.name} ${one.line.index}`);
  sortEach(feedsFrom, (one) => one.name);
  sortEach(boardsFrom, (one) => one.name);
  sortEach(isolatorsOn, (one) => one.name);
  sortEach(devicesOf, (one) => one.name);

  return {
    entries,
    byName,
    duplicates,
    settings: [...only('site').values()][0],
    busTypes: only('bustype'),
    cables: only('cable'),
    equipment: only('equipment'),
    areas,
    boards,
    isolators,
    devices,
    buses,
    feeds,
    containments: only('containment'),
    networks,
    zones: only('zone'),
    assemblies: only('assembly'),
    instances: only('instance'),
    waivers: ofKind(entries, 'accept'),
    observations,
    rooms,
    ambiguousRooms,
    busLandings,
    feedLandings,
    busLandingsOfDevice,
    inletLines,
    inletLinesFrom,
    feedsFrom,
    boardsFrom,
    isolatorsOn,
    hosts,
    feedLandingsOfDevice,
    devicesOf,
    observationsOf,
    templatesUsed: new Set(entries.flatMap(({ record }) => templatesUsedBy(record))),
    compareInText: (one, other) => {
      const first = textOrder().get(one);
      const second = textOrder().get(other);
      return first === undefined || second === undefined ? 0 : first - second;
    },
    hasEntry: (id) => textOrder().has(id),
  };
}

/** The names of bus types, cables and pieces of equipment that a declaration refers to. */
export function templatesUsedBy(record: Declaration): readonly string[] {
  return namesOfTemplates(record).filter((name) => name !== undefined);
}

function namesOfTemplates(record: Declaration): readonly (string | undefined)[] {
  switch (record.kind) {
    case 'device':
      return [record.equipment, ...record.inletLines.map((line) => line.cable)];
    case 'bus':
      return [record.busType, record.cable, ...record.landings.map((landing) => landing.cable)];
    case 'feed':
      return [record.cable, ...record.landings.map((landing) => landing.cable)];
    case 'network':
      return record.hosts.map((host) => host.cable);
    case 'equipment':
      return [
        record.extends,
        record.deprecated?.replacedBy,
        ...record.ports.map((port) => port.busType),
      ];
    case 'assembly':
      return record.parts.flatMap(namesOfTemplates);
    case 'instance':
      return [record.assembly];
    default:
      return [];
  }
}

/** The name that a declaration puts into the site's namespace; waivers, observations and `use` lines have none. */
export function nameOf(record: Declaration): string | undefined {
  return record.kind === 'use' || record.kind === 'accept' || record.kind === 'observed'
    ? undefined
    : record.name;
}

/** The key of a member of a device or board: `OU-1.field`, `DB-1.W7`. */
export function memberKey(owner: string, member: string): string {
  return `${owner}.${member}`;
}

/** A landing's end of cable, resolved; undefined where one of its names is not known. */
export interface ResolvedPort {
  readonly device: Device;
  readonly equipment: Equipment;
  readonly port: Port;
}

export function equipmentOf(site: Site, device: Device): Equipment | undefined {
  return site.equipment.get(device.equipment);
}

export function resolvePort(
  site: Site,
  deviceName: string,
  portName: string,
): ResolvedPort | undefined {
  const device = site.devices.get(deviceName);
  const equipment = device && equipmentOf(site, device);
  const port = equipment?.ports.find((one) => one.name === portName);
  return device && equipment && port ? { device, equipment, port } : undefined;
}

export interface ResolvedInlet {
  readonly device: Device;
  readonly equipment: Equipment;
  readonly inlet: Inlet;
}

export function resolveInlet(
  site: Site,
  deviceName: string,
  inletName: string,
): ResolvedInlet | undefined {
  const device = site.devices.get(deviceName);
  const equipment = device && equipmentOf(site, device);
  const inlet = equipment?.inlets.find((one) => one.name === inletName);
  return device && equipment && inlet ? { device, equipment, inlet } : undefined;
}

export interface ResolvedLan {
  readonly device: Device;
  readonly equipment: Equipment;
  readonly lan: LanPort;
}

export function resolveLan(
  site: Site,
  deviceName: string,
  lanName: string,
): ResolvedLan | undefined {
  const device = site.devices.get(deviceName);
  const equipment = device && equipmentOf(site, device);
  const lan = equipment?.lans.find((one) => one.name === lanName);
  return device && equipment && lan ? { device, equipment, lan } : undefined;
}

/** What a feed, an inlet line or a board is fed from: a way of a board or an outlet of a device. */
export type PowerPoint =
  | { readonly kind: 'way'; readonly key: string; readonly board: Board; readonly way: Way }
  | {
      readonly kind: 'outlet';
      readonly key: string;
      readonly device: Device;
      readonly equipment: Equipment;
      readonly outlet: Outlet;
    };

export function resolvePowerPoint(
  site: Site,
  from: { readonly owner: string; readonly member: string },
): PowerPoint | undefined {
  const key = memberKey(from.owner, from.member);
  const board = site.boards.get(from.owner);
  if (board !== undefined) {
    const way = board.ways.find((one) => one.name === from.member);
    return way && { kind: 'way', key, board, way };
  }
  const device = site.devices.get(from.owner);
  const equipment = device && equipmentOf(site, device);
  const outlet = equipment?.outlets.find((one) => one.name === from.member);
  return device && equipment && outlet && { kind: 'outlet', key, device, equipment, outlet };
}

/** The inlet that feeds an outlet: the one stated, or the only one. */
export function inletOfOutlet(equipment: Equipment, outlet: Outlet): Inlet | undefined {
  return outlet.fromInlet === undefined
    ? equipment.inlets.length === 1
      ? equipment.inlets[0]
      : undefined
    : equipment.inlets.find((one) => one.name === outlet.fromInlet);
}

/** The cable that leads to a landing: its own, else its run's. */
export function cableOfLanding(site: Site, run: Bus | Feed, landing: Landing): Cable | undefined {
  const name = landing.cable ?? run.cable;
  return name === undefined ? undefined : site.cables.get(name);
}

export function roomOf(site: Site, record: { readonly room?: string }): PlacedRoom | undefined {
  return record.room === undefined ? undefined : site.rooms.get(record.room);
}

/** Order for lists of names: parts of digits count as numbers (`FC-2` before `FC-10`). */
export function compareNames(left: string, right: string): number {
  const leftParts = left.split(/(\d+)/u);
  const rightParts = right.split(/(\d+)/u);
  for (let index = 0; index < Math.min(leftParts.length, rightParts.length); index++) {
    const one = leftParts[index]!;
    const other = rightParts[index]!;
    if (one === other) {
      continue;
    }
    const difference = index % 2 === 1 ? Number(one) - Number(other) : 0;
    return difference !== 0 ? difference : one < other ? -1 : 1;
  }
  return leftParts.length - rightParts.length;
}

export function indexRooms(
  areas: ReadonlyMap<string, Area>,
): Pick<Site, 'rooms' | 'ambiguousRooms'> {
  const rooms = new Map<string, PlacedRoom>();
  const keysByBareName = new Map<string, string[]>();
  for (const area of areas.values()) {
    for (const room of area.rooms) {
      const key = memberKey(area.name, room.name);
      if (rooms.has(key)) {
        continue;
      }
      rooms.set(key, { key, area, room });
      push(keysByBareName, room.name, key);
    }
  }
  const ambiguousRooms = new Map<string, readonly string[]>();
  for (const [bare, keys] of keysByBareName) {
    if (keys.length === 1) {
      rooms.set(bare, rooms.get(keys[0]!)!);
    } else {
      ambiguousRooms.set(bare, keys);
    }
  }
  return { rooms, ambiguousRooms };
}

function ofKind<Kind extends DeclarationKind>(entries: readonly SiteEntry[], kind: Kind) {
  return entries.filter(
    (entry): entry is { id: DeclarationId; record: DeclarationOf<Kind> } =>
      entry.record.kind === kind,
  );
}

function push<Key, Value>(map: Map<Key, Value[]>, key: Key, value: Value): void {
  const list = map.get(key);
  if (list === undefined) {
    map.set(key, [value]);
  } else {
    list.push(value);
  }
}

function sortEach<Value>(map: Map<string, Value[]>, text: (value: Value) => string): void {
  for (const list of map.values()) {
    list.sort((one, other) => compareNames(text(one), text(other)));
  }
}
