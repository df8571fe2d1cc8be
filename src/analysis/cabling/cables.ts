/**
 * Every cable of a site as one list: pieces of buses and feeds, lines from a way or outlet to one
 * inlet, lines to sub-boards, network cables. Each has two ends with their terminals and a name
 * that stays the same when devices are added elsewhere.
 */
import type { Cable, Voltage } from '../../model/equipment.js';
import type { Place } from '../../model/origin.js';
import { part, placeOf } from '../../model/origin.js';
import type { Board, Device, Network } from '../../model/records.js';
import {
  compareNames,
  memberKey,
  resolveInlet,
  resolvePort,
  resolvePowerPoint,
  roomOf,
} from '../../model/site.js';
import type { PlacedRoom, Site } from '../../model/site.js';
import type { Bus, Feed, Landing } from '../../model/wiring.js';
import { memoised, memoisedOnce } from '../memo.js';
import { estimatedLength, estimateSettings, segmentsOf } from '../run.js';
import type { LengthBasis, Segment, SegmentEnd } from '../run.js';

/** What a strip of terminals belongs to. */
export type EndKind = 'port' | 'inlet' | 'outlet' | 'way' | 'board' | 'lan';

/** One end of a cable. Names are as written, also where they do not resolve. */
export interface CableEnd {
  readonly kind: EndKind;
  /** The device or board. */
  readonly owner: string;
  /** The port, inlet, outlet, way or network socket; empty for the incoming side of a board. */
  readonly member: string;
  /** Terminals in order; empty where the model states none (ways, boards, sockets). */
  readonly terminals: readonly string[];
  /** The screen's own terminal. */
  readonly screenTerminal?: string;
  readonly room: PlacedRoom | undefined;
  /** The landing of a bus or feed at this end. */
  readonly landing?: Landing;
}

/** What a cable does. */
export type CableDuty = 'bus' | 'feed' | 'inlet-line' | 'board-feed' | 'network';

/** By voltage: mains is above 50 V AC or 120 V DC (IEC 61140; 60364-4-41 clause 414). */
export type VoltageBand = 'mains' | 'extra-low' | 'bus' | 'network' | 'unknown';

/** One piece of cable with both its ends. */
export interface SiteCable {
  /** Such as `field-1/FC-1-03`: the circuit, then what the cable leads to. Unique in a site. */
  readonly id: string;
  /** The bus, feed, network, or the way or outlet that feeds the line. */
  readonly circuit: string;
  readonly duty: CableDuty;
  readonly band: VoltageBand;
  readonly voltage: Voltage | undefined;
  readonly from: CableEnd;
  readonly to: CableEnd;
  readonly closesRing: boolean;
  readonly cableName: string | undefined;
  readonly cable: Cable | undefined;
  /** In metres; null where neither stated nor to be estimated. */
  readonly lengthM: number | null;
  readonly lengthBasis: LengthBasis;
  /** There before the work: never ordered. */
  readonly existing: boolean;
  readonly at: Place;
}

/** The highest voltages of extra-low voltage. */
export const EXTRA_LOW_LIMIT_V = { ac: 50, dc: 120 } as const;

/** The band of a supply voltage; a voltage without kind is taken as alternating, the stricter one. */
export function bandOf(voltage: Voltage | undefined): 'mains' | 'extra-low' | 'unknown' {
  if (voltage === undefined || !Number.isFinite(voltage.volts)) {
    return 'unknown';
  }
  return voltage.volts > EXTRA_LOW_LIMIT_V[voltage.kind ?? 'ac'] ? 'mains' : 'extra-low';
}

/** The cables of a bus or feed, in the order of its segments. */
export const cablesOfRun: (site: Site, run: Bus | Feed) => readonly SiteCable[] = memoised(
  (site, run) =>
    distinctIds(segmentsOf(site, run).map((segment) => cableOfSegment(site, run, segment))),
);

/** The cables of a device's inlet lines. */
export const cablesOfInletLines: (site: Site, device: Device) => readonly SiteCable[] = memoised(
  (site, device) =>
    distinctIds(
      device.inletLines.map((line): SiteCable => {
        const voltage =
          pointVoltage(site, line.from) ??
          resolveInlet(site, device.name, line.inlet)?.inlet.voltage;
        const from = powerEnd(site, line.from);
        const to = inletEnd(site, device.name, line.inlet);
        const circuit = memberKey(line.from.owner, line.from.member);
        return {
          id: `${circuit}/${device.name}`,
          circuit,
          duty: 'inlet-line',
          band: bandOf(voltage),
          voltage,
          from,
          to,
          closesRing: false,
          cableName: line.cable,
          cable: line.cable === undefined ? undefined : site.cables.get(line.cable),
          ...lengthBetween(site, line.lengthM, from, to),
          existing: line.existing || device.existing,
          at: placeOf(device.name, part('inlet', line.index)),
        };
      }),
    ),
);

/** The line that feeds a board from a way of another one, if it is fed so. */
export const cableOfBoard: (site: Site, board: Board) => SiteCable | undefined = memoised(
  (site, board) => {
    if (board.from === undefined) {
      return undefined;
    }
    const circuit = memberKey(board.from.owner, board.from.member);
    const from = powerEnd(site, board.from);
    const to: CableEnd = {
      kind: 'board',
      owner: board.name,
      member: '',
      terminals: [],
      room: roomOf(site, board),
    };
    const voltage = pointVoltage(site, board.from);
    return {
      id: `${circuit}/${board.name}`,
      circuit,
      duty: 'board-feed',
      band: bandOf(voltage),
      voltage,
      from,
      to,
      closesRing: false,
      cableName: undefined,
      cable: undefined,
      ...lengthBetween(site, undefined, from, to),
      existing: board.existing,
      at: placeOf(board.name, 'from'),
    };
  },
);

/** The cables of a network's hosts that say which socket they come from. */
export const cablesOfNetwork: (site: Site, network: Network) => readonly SiteCable[] = memoised(
  (site, network) =>
    distinctIds(
      network.hosts.flatMap((host): SiteCable[] => {
        if (host.from === undefined) {
          return [];
        }
        const from = lanEnd(site, host.from.owner, host.from.member);
        const to = lanEnd(site, host.device, host.lan);
        return [
          {
            id: `${network.name}/${host.device}`,
            circuit: network.name,
            duty: 'network',
            band: 'network',
            voltage: undefined,
            from,
            to,
            closesRing: false,
            cableName: host.cable,
            cable: host.cable === undefined ? undefined : site.cables.get(host.cable),
            ...lengthBetween(site, host.lengthM, from, to),
            existing: host.existing,
            at: placeOf(network.name, part('host', host.index)),
          },
        ];
      }),
    ),
);

/**
 * Every cable of the site: buses, feeds, lines from outlets and ways, lines to boards, network
 * cables; within each by the circuit's name, then in the order of the run.
 */
export const cablesOfSite: (site: Site) => readonly SiteCable[] = memoisedOnce((site) => {
  const buses = inOrder(site.buses).flatMap((bus) => cablesOfRun(site, bus));
  const feeds = inOrder(site.feeds).flatMap((feed) => cablesOfRun(site, feed));
  const lines = inOrder(site.devices).flatMap((device) => cablesOfInletLines(site, device));
  const boards = inOrder(site.boards).flatMap((board) => cableOfBoard(site, board) ?? []);
  const networks = inOrder(site.networks).flatMap((network) => cablesOfNetwork(site, network));
  const linesByCircuit = [...lines].sort((one, other) => compareNames(one.circuit, other.circuit));
  return [...buses, ...feeds, ...linesByCircuit, ...boards, ...networks];
});

/** The name of an end for people and labels: `OU-1.field`, `DB-1.W7`, `DB-2`. */
export function endName(end: CableEnd): string {
  return end.member === '' ? end.owner : memberKey(end.owner, end.member);
}

function cableOfSegment(site: Site, run: Bus | Feed, segment: Segment): SiteCable {
  const voltage = run.kind === 'feed' ? pointVoltage(site, run.from) : undefined;
  const to = endOf(site, run, segment.to);
  return {
    id: `${run.name}/${to.owner}`,
    circuit: run.name,
    duty: run.kind,
    band: run.kind === 'bus' ? 'bus' : bandOf(voltage),
    voltage,
    from: endOf(site, run, segment.from),
    to,
    closesRing: segment.closesRing,
    cableName: segment.cableName,
    cable: segment.cable,
    lengthM: segment.lengthM,
    lengthBasis: segment.basis,
    existing: segment.existing,
    at: segment.at,
  };
}

function endOf(site: Site, run: Bus | Feed, end: SegmentEnd): CableEnd {
  if (typeof end !== 'number') {
    const from = run.kind === 'feed' ? (end === 'outlet' ? run.from : run.and) : undefined;
    return powerEnd(site, from ?? { owner: '', member: '' });
  }
  const landing = run.landings[end]!;
  const strip =
    run.kind === 'bus'
      ? portEnd(site, landing.device, landing.member)
      : inletEnd(site, landing.device, landing.member);
  return { ...strip, landing };
}

function portEnd(site: Site, device: string, member: string): CableEnd {
  const port = resolvePort(site, device, member)?.port;
  return {
    kind: 'port',
    owner: device,
    member,
    terminals: port?.terminals ?? [],
    ...(port?.screenTerminal === undefined ? {} : { screenTerminal: port.screenTerminal }),
    room: roomOfOwner(site, device),
  };
}

function inletEnd(site: Site, device: string, member: string): CableEnd {
  return {
    kind: 'inlet',
    owner: device,
    member,
    terminals: resolveInlet(site, device, member)?.inlet.terminals ?? [],
    room: roomOfOwner(site, device),
  };
}

function lanEnd(site: Site, owner: string, member: string): CableEnd {
  return {
    kind: 'lan',
    owner,
    member,
    terminals: [],
    room: roomOfOwner(site, owner),
  };
}

function powerEnd(site: Site, from: { readonly owner: string; readonly member: string }): CableEnd {
  const point = resolvePowerPoint(site, from);
  return {
    kind: point?.kind ?? (site.boards.has(from.owner) ? 'way' : 'outlet'),
    owner: from.owner,
    member: from.member,
    terminals: point?.kind === 'outlet' ? point.outlet.terminals : [],
    room: roomOfOwner(site, from.owner),
  };
}

function pointVoltage(
  site: Site,
  from: { readonly owner: string; readonly member: string },
): Voltage | undefined {
  const point = resolvePowerPoint(site, from);
  if (point === undefined) {
    return undefined;
  }
  return point.kind === 'way' ? point.way.voltage : point.outlet.voltage;
}

function roomOfOwner(site: Site, owner: string): PlacedRoom | undefined {
  const record = site.devices.get(owner) ?? site.boards.get(owner);
  return record && roomOf(site, record);
}

function lengthBetween(
  site: Site,
  statedM: number | undefined,
  from: CableEnd,
  to: CableEnd,
): Pick<SiteCable, 'lengthM' | 'lengthBasis'> {
  if (statedM !== undefined && Number.isFinite(statedM) && statedM >= 0) {
    return { lengthM: statedM, lengthBasis: 'stated' };
  }
  const estimate = estimatedLength(estimateSettings(site), from.room, to.room);
  return estimate === undefined
    ? { lengthM: null, lengthBasis: 'unknown' }
    : { lengthM: estimate.lengthM, lengthBasis: 'estimated' };
}

/**
 * Where one device is reached twice, the member is added to the name; where that is not enough (a
 * member landed twice, which is a finding), a count.
 */
function distinctIds(cables: readonly SiteCable[]): readonly SiteCable[] {
  const owners = countBy(cables, (cable) => cable.id);
  const named = cables.map((cable) =>
    owners.get(cable.id) === 1 || cable.to.member === ''
      ? cable
      : { ...cable, id: `${cable.circuit}/${endName(cable.to)}` },
  );
  const seen = new Map<string, number>();
  return named.map((cable) => {
    const times = (seen.get(cable.id) ?? 0) + 1;
    seen.set(cable.id, times);
    return times === 1 ? cable : { ...cable, id: `${cable.id}(${times})` };
  });
}

function countBy<Item>(
  items: readonly Item[],
  key: (item: Item) => string,
): ReadonlyMap<string, number> {
  const counts = new Map<string, number>();
  for (const item of items) {
    counts.set(key(item), (counts.get(key(item)) ?? 0) + 1);
  }
  return counts;
}

function inOrder<Record extends { readonly name: string }>(
  records: ReadonlyMap<string, Record>,
): readonly Record[] {
  return [...records.values()].sort((one, other) => compareNames(one.name, other.name));
}
