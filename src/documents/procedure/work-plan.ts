/**
 * The order of work as data: what is done in which order so that nobody touches a live terminal and
 * nothing is plugged into a wrong voltage. The document is made from it word by word; tests judge
 * the order here.
 *
 * Order after EN 50110-1 (five rules) and 29 CFR 1910.333(b)(2).
 */
import { isolationOf, isolationOfWork } from '../../analysis/graph/isolation.js';
import type { EnergySource, Isolation, IsolationPoint } from '../../analysis/graph/isolation.js';
import type { Board, Device } from '../../model/records.js';
import { part, placeOf } from '../../model/origin.js';
import { compareNames, memberKey, resolvePowerPoint, roomOf } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import { cablesOfPhase } from '../schedule/connection-rows.js';
import type { Phase } from '../schedule/connection-rows.js';
import { groupBy } from '../group-by.js';
import { voltageReadingsOf } from '../commissioning/readings.js';
import type { VoltageReading } from '../commissioning/readings.js';
import { startingOrder, walkingOrder } from '../walking-order.js';

/** A place where energy is cut for the work. */
export interface PlannedPoint {
  /** `DB-1.W7`, an isolator's name, or a stored outlet inside an enclosure. */
  readonly name: string;
  /** A lockable point outside, or stored energy inside an enclosure that is taken out there. */
  readonly kind: 'way' | 'isolator' | 'stored';
  readonly point: IsolationPoint | undefined;
  /** The way or outlet that it cuts: its own name, or what an isolator stands on. */
  readonly cuts: string;
  /** The sources that it keeps away. */
  readonly sources: readonly string[];
  /** There before the work, so its energy is live from the first step. */
  readonly existing: boolean;
  /** The enclosures it makes dead, as one walks. */
  readonly enclosures: readonly string[];
  /** New points behind it, which cannot be relied on before they are installed. */
  readonly backs: readonly string[];
  /** How many boards stand between it and its source: it is closed after those nearer the source. */
  readonly depth: number;
}

/** A device whose enclosure is opened. */
export interface Enclosure {
  readonly device: Device;
  readonly isolation: Isolation;
  /** Names of {@link PlannedPoint}s, in the order of the plan. */
  readonly points: readonly string[];
}

export type WorkAction =
  | { readonly kind: 'permit' }
  | { readonly kind: 'inform' }
  | { readonly kind: 'list-sources' }
  | { readonly kind: 'shut-down' }
  | { readonly kind: 'open'; readonly point: PlannedPoint }
  | { readonly kind: 'lock'; readonly point: PlannedPoint }
  | { readonly kind: 'wait' }
  | { readonly kind: 'prove-tester' }
  | { readonly kind: 'prove-dead'; readonly enclosure: Enclosure }
  | { readonly kind: 'prove-tester-again' }
  | { readonly kind: 'earth' }
  | { readonly kind: 'cover' }
  | { readonly kind: 'pull' }
  | { readonly kind: 'land'; readonly enclosure: Enclosure }
  | { readonly kind: 'inspect' }
  | { readonly kind: 'test-unpowered' }
  | { readonly kind: 'clear' }
  | { readonly kind: 'unlock'; readonly point: PlannedPoint }
  | { readonly kind: 'board-in-service'; readonly board: Board }
  | { readonly kind: 'energise'; readonly point: PlannedPoint }
  | {
      readonly kind: 'measure';
      readonly reading: VoltageReading;
      /** What it is read for: the point just closed, or the device that is connected next. */
      readonly for: 'energise' | 'connect';
    }
  | { readonly kind: 'connect'; readonly device: Device }
  | { readonly kind: 'try' }
  | { readonly kind: 'sign' };

export interface WorkPlan {
  readonly points: readonly PlannedPoint[];
  /** Every source that reaches an enclosure of the work. */
  readonly sources: readonly EnergySource[];
  readonly enclosures: readonly Enclosure[];
  /** Sources without a lockable point: the work must not start. */
  readonly unlockable: readonly EnergySource[];
  /** Devices of which nobody states where their energy comes from. */
  readonly unstated: readonly string[];
  /** Boards in which new lines end: opened by the licensed electrician under a plan of their own. */
  readonly boards: readonly Board[];
  readonly actions: readonly WorkAction[];
}

/** The plan for the new part of a site. */
export function workPlan(site: Site): WorkPlan {
  const devices = openedDevices(site, 'new');
  const isolation = isolationOfWork(site, devices);
  const enclosures = devices.map((device): Enclosure => {
    const own = isolationOf(site, device);
    const points = [...own.points, ...own.inside].map((one) => one.name);
    return { device, isolation: own, points };
  });
  const enclosuresOf = namesByPoint(enclosures);
  const points = [
    ...withPointsBehind(
      site,
      isolation.points.map((point) => planPoint(site, point, enclosuresOf)),
    ),
    ...isolation.inside.map((source): PlannedPoint => ({
      name: source.name,
      kind: 'stored',
      point: undefined,
      cuts: source.name,
      sources: [source.name],
      existing: isExistingOwner(site, source.name),
      enclosures: enclosuresOf.get(source.name) ?? [],
      backs: [],
      depth: 0,
    })),
  ];
  return {
    points,
    sources: isolation.sources,
    enclosures,
    unlockable: isolation.unlockable,
    unstated: isolation.unstated,
    boards: boardsOpened(site),
    actions: actionsOf(site, points, enclosures),
  };
}

function actionsOf(
  site: Site,
  points: readonly PlannedPoint[],
  enclosures: readonly Enclosure[],
): readonly WorkAction[] {
  if (enclosures.length === 0) {
    return [];
  }
  const opened = new Set(enclosures.map(({ device }) => device.name));
  // What feeds others is closed first; locks come off in the same order, by those who put them on.
  const closing = [...points].sort(
    (one, other) => rank(one) - rank(other) || compareNames(one.name, other.name),
  );
  return [
    { kind: 'permit' },
    { kind: 'inform' },
    { kind: 'list-sources' },
    { kind: 'shut-down' },
    ...points.map((point): WorkAction => ({ kind: 'open', point })),
    ...points.map((point): WorkAction => ({ kind: 'lock', point })),
    { kind: 'wait' },
    { kind: 'prove-tester' },
    ...enclosures.map((enclosure): WorkAction => ({ kind: 'prove-dead', enclosure })),
    { kind: 'prove-tester-again' },
    { kind: 'earth' },
    { kind: 'cover' },
    { kind: 'pull' },
    ...enclosures.map((enclosure): WorkAction => ({ kind: 'land', enclosure })),
    { kind: 'inspect' },
    { kind: 'test-unpowered' },
    { kind: 'clear' },
    ...closing.map((point): WorkAction => ({ kind: 'unlock', point })),
    ...startingActions(
      site,
      closing,
      startingOrder(site).filter((device) => opened.has(device.name)),
    ),
    { kind: 'try' },
    { kind: 'sign' },
  ];
}

/**
 * Closes one point after the other and reads what hangs on it, then connects one device after the
 * other, each after the voltage at its own terminals has been read.
 */
function startingActions(
  site: Site,
  closing: readonly PlannedPoint[],
  devices: readonly Device[],
): readonly WorkAction[] {
  const readings = new Map(
    devices.map((device) => [device.name, voltageReadingsOf(site, device)] as const),
  );
  const supplied = [...readings.values()]
    .flat()
    .filter((reading) => reading.by === 'supply')
    .flatMap((reading) => reading.sources.map((source) => ({ source, reading })));
  const onPoint = groupBy(supplied, ({ source }) => source);
  const read = new Set<VoltageReading>();
  const measure = (
    list: readonly VoltageReading[],
    purpose: 'energise' | 'connect',
  ): readonly WorkAction[] =>
    list
      .filter((reading) => !read.has(reading))
      .map((reading) => {
        read.add(reading);
        return { kind: 'measure', reading, for: purpose };
      });
  const boards = new Map(newBoards(site).map((board) => [board.name, board]));
  const closedOn = new Set(closing.map((point) => ownerOf(point.cuts)));
  /** A new board is put into service once what feeds it is closed and before its own ways are. */
  const boardFirst = (point: PlannedPoint): readonly WorkAction[] => {
    const board = boards.get(ownerOf(point.cuts));
    boards.delete(ownerOf(point.cuts));
    return board === undefined ? [] : [{ kind: 'board-in-service', board }];
  };
  const closed = new Set<string>();
  const left = closing.map((point) => point.cuts);
  const energising = closing.flatMap((point, index): readonly WorkAction[] => {
    // A way and an isolator on it both have to be closed before there is anything to read.
    // What a storage feeds is read once the device that holds it runs.
    const isLast = point.kind !== 'stored' && !left.slice(index + 1).includes(point.cuts);
    if (isLast) {
      closed.add(point.cuts);
    }
    const ready = (isLast ? (onPoint.get(point.cuts) ?? []) : [])
      .map(({ reading }) => reading)
      .filter((reading) => reading.sources.every((source) => closed.has(source)));
    return [...boardFirst(point), { kind: 'energise', point }, ...measure(ready, 'energise')];
  });
  const others = newBoards(site)
    .filter((board) => !closedOn.has(board.name))
    .map((board): WorkAction => ({ kind: 'board-in-service', board }));
  const connecting = devices.flatMap((device): readonly WorkAction[] => [
    ...measure(readings.get(device.name) ?? [], 'connect'),
    { kind: 'connect', device },
  ]);
  return [...others, ...energising, ...connecting];
}

/** Devices with an end of a cable of the phase, and new ones, as one walks. */
function openedDevices(site: Site, phase: Phase): readonly Device[] {
  const ends = new Set(
    cablesOfPhase(site, phase).flatMap((cable) => [cable.from.owner, cable.to.owner]),
  );
  return walkingOrder(site).filter((device) => ends.has(device.name) || !device.existing);
}

/** The enclosures that each point makes dead, as one walks. */
function namesByPoint(enclosures: readonly Enclosure[]): ReadonlyMap<string, readonly string[]> {
  const pairs = enclosures.flatMap(({ device, points }) =>
    points.map((point) => ({ point, device: device.name })),
  );
  return new Map(
    [...groupBy(pairs, ({ point }) => point)].map(([point, group]) => [
      point,
      group.map(({ device }) => device),
    ]),
  );
}

function planPoint(
  site: Site,
  point: IsolationPoint,
  enclosuresOf: ReadonlyMap<string, readonly string[]>,
): PlannedPoint {
  const way = point.kind === 'way' ? point.name : isolatedKey(site, point.name);
  const above = boardsAbove(site, way);
  return {
    name: point.name,
    kind: point.kind,
    point,
    cuts: way,
    sources: sourcesOf(site, way, above),
    existing: isExistingPoint(site, point, way),
    enclosures: enclosuresOf.get(point.name) ?? [],
    backs: [],
    depth: above.length,
  };
}

/**
 * Adds, for each point that is new itself, the points that keep energy away from it: nobody can
 * rely on an isolator or a board that is only being installed.
 */
function withPointsBehind(site: Site, nearest: readonly PlannedPoint[]): readonly PlannedPoint[] {
  const points = new Map(nearest.map((point) => [point.name, point]));
  const waiting = [...nearest];
  for (let point = waiting.shift(); point !== undefined; point = waiting.shift()) {
    for (const behind of point.existing ? [] : pointsBehind(site, point)) {
      const known = points.get(behind.name);
      const backed = known ?? planPoint(site, behind, new Map());
      points.set(behind.name, {
        ...backed,
        backs: [...backed.backs, point.name].sort(compareNames),
      });
      if (known === undefined) {
        waiting.push(backed);
      }
    }
  }
  return [...points.values()].sort((one, other) => compareNames(one.name, other.name));
}

/** The lockable points on the way to a point that is not installed yet. */
function pointsBehind(site: Site, { cuts, kind }: PlannedPoint): readonly IsolationPoint[] {
  const board = site.boards.get(ownerOf(cuts));
  if (board === undefined) {
    const device = site.devices.get(ownerOf(cuts));
    return device === undefined ? [] : isolationOf(site, device).points;
  }
  const way = kind === 'isolator' ? cuts : board.existing ? undefined : keyOf(board.from);
  const above = way === undefined ? undefined : site.boards.get(ownerOf(way));
  return way === undefined || above === undefined
    ? []
    : [
        {
          name: way,
          kind: 'way',
          room: roomOf(site, above),
          at: placeOf(above.name, part('way', way.slice(above.name.length + 1))),
        },
      ];
}

function keyOf(from: Board['from']): string | undefined {
  return from === undefined ? undefined : memberKey(from.owner, from.member);
}

/** The way or outlet that an isolator stands on. */
function isolatedKey(site: Site, isolator: string): string {
  const on = site.isolators.get(isolator)?.on;
  return on === undefined ? '' : `${on.owner}.${on.member}`;
}

/** The boards from a way up to the incomer. */
function boardsAbove(site: Site, way: string): readonly Board[] {
  const boards: Board[] = [];
  for (let board = site.boards.get(ownerOf(way)); board !== undefined;) {
    boards.push(board);
    const next = board.from === undefined ? undefined : site.boards.get(board.from.owner);
    board = next !== undefined && boards.includes(next) ? undefined : next;
  }
  return boards;
}

function sourcesOf(site: Site, way: string, above: readonly Board[]): readonly string[] {
  const top = above.at(-1);
  if (top !== undefined && top.from === undefined) {
    return [top.name];
  }
  const device = site.devices.get(top?.from?.owner ?? ownerOf(way));
  // Boards that feed each other in a circle are all taken as sources.
  return device === undefined
    ? above.map((board) => board.name)
    : isolationOf(site, device).sources.map((source) => source.name);
}

function ownerOf(key: string): string {
  return key.slice(0, Math.max(0, key.lastIndexOf('.')));
}

function isExistingPoint(site: Site, point: IsolationPoint, way: string): boolean {
  if (point.kind === 'isolator') {
    return site.isolators.get(point.name)?.existing === true;
  }
  const cut = way.lastIndexOf('.');
  const resolved = resolvePowerPoint(site, {
    owner: way.slice(0, Math.max(0, cut)),
    member: way.slice(cut + 1),
  });
  return resolved?.kind === 'way'
    ? resolved.way.existing || resolved.board.existing
    : resolved?.device.existing === true;
}

function isExistingOwner(site: Site, member: string): boolean {
  return site.devices.get(ownerOf(member))?.existing === true;
}

/** Ways near the source first, then isolators behind them, then what is stored. */
function rank(point: PlannedPoint): number {
  const kinds = ['way', 'isolator', 'stored'] as const;
  return point.depth + 1000 * kinds.indexOf(point.kind);
}

function newBoards(site: Site): readonly Board[] {
  return [...site.boards.values()]
    .filter((board) => !board.existing)
    .sort(
      (one, other) =>
        boardsAbove(site, `${one.name}.`).length - boardsAbove(site, `${other.name}.`).length ||
        compareNames(one.name, other.name),
    );
}

/** The boards in which a new line ends. */
function boardsOpened(site: Site): readonly Board[] {
  const names = new Set(
    cablesOfPhase(site, 'new').flatMap((cable) => [cable.from.owner, cable.to.owner]),
  );
  return [...site.boards.values()]
    .filter((board) => names.has(board.name) || !board.existing)
    .sort((one, other) => compareNames(one.name, other.name));
}
