/** The site model → topology scene: what there is, in the words of the picture. Never throws on a half-typed site. */
import { terminationOf } from '../../analysis/bus/termination.js';
import { supervisionOf } from '../../analysis/graph/supervision.js';
import { segmentsOf, type Segment, type SegmentEnd } from '../../analysis/run.js';
import type { Finding } from '../../model/finding.js';
import { part, placeOf } from '../../model/origin.js';
import { formatNumber } from '../../model/quantity.js';
import type { Board, Device, Way } from '../../model/records.js';
import { equipmentOf, memberKey, roomOf, type Site } from '../../model/site.js';
import type { Bus, Feed, Landing } from '../../model/wiring.js';
import { TEXTS } from '../texts.js';
import { anchorOf } from './anchors.js';
import { markOf } from './places.js';
import type {
  SceneArea,
  SceneBoard,
  SceneBranch,
  SceneDevice,
  SceneFinding,
  SceneLanding,
  SceneLength,
  SceneNetwork,
  SceneRoom,
  SceneRun,
  SceneSeen,
  SceneSegment,
  SceneTap,
  SceneTitle,
  TopologyScene,
} from './scene.js';

/**
 * The topology of a site with its findings; findings that are accepted are not drawn. `seen` says what
 * was seen of each device on site, where the picture is to show it.
 */
export function topologySceneOf(
  site: Site,
  findings: readonly Finding[],
  seen: ReadonlyMap<string, SceneSeen> = new Map(),
): TopologyScene {
  const runs = [
    ...[...site.buses.values()].map((bus) => runOf(site, bus)),
    ...[...site.feeds.values()].map((feed) => runOf(site, feed)),
  ];
  return {
    view: 'topology',
    sheet: sheetOf(site, topologySubtitle(site, findings)),
    areas: [...site.areas.values()].map((area): SceneArea => ({
      id: area.name,
      title: area.title ?? area.name,
      ...(area.levelM === undefined ? {} : { levelM: area.levelM }),
      mark: markOf(area.name, placeOf(area.name)),
    })),
    rooms: roomsOf(site),
    devices: [...site.devices.values()].map((device) =>
      sceneDevice(site, device, seen.get(device.name)),
    ),
    boards: [...site.boards.values()].map((board) => sceneBoard(site, board)),
    runs,
    branches: branchesOf(site),
    networks: networksOf(site),
    findings: sceneFindings(site, runs, findings),
  };
}

export function sheetOf(site: Site, subtitle: string): SceneTitle {
  const { settings } = site;
  return {
    title: settings?.title ?? settings?.name ?? TEXTS.untitled,
    subtitle,
    ...(settings?.drawing === undefined ? {} : { drawing: settings.drawing }),
    ...(settings?.revision === undefined ? {} : { revision: settings.revision }),
    ...(settings?.owner === undefined ? {} : { owner: settings.owner }),
  };
}

export function sceneFindings(
  site: Site,
  runs: readonly SceneRun[],
  findings: readonly Finding[],
): SceneFinding[] {
  return findings.flatMap((finding, index): SceneFinding[] =>
    finding.waived !== null
      ? []
      : [
          {
            key: String(index),
            severity: finding.severity,
            rule: finding.rule,
            subject: finding.subject,
            message: [finding.what, finding.remedy].filter((text) => text !== '').join(' '),
            mark: markOf(finding.subject, finding.at),
            at: anchorOf(site, runs, finding),
          },
        ],
  );
}

export function sceneLength(segment: Pick<Segment, 'lengthM' | 'basis'>): SceneLength | null {
  if (segment.lengthM === null) return null;
  return { metres: segment.lengthM, estimated: segment.basis === 'estimated' };
}

function topologySubtitle(site: Site, findings: readonly Finding[]): string {
  const counts = { error: 0, warning: 0, hint: 0 };
  for (const finding of findings) if (finding.waived === null) counts[finding.severity]++;
  return [
    TEXTS.topology,
    TEXTS.counts.devices(site.devices.size),
    TEXTS.counts.buses(site.buses.size),
    ...(site.feeds.size > 0 ? [TEXTS.counts.feeds(site.feeds.size)] : []),
    TEXTS.findingCounts(counts) || TEXTS.counts.noFindings,
  ].join(' · ');
}

function roomsOf(site: Site): SceneRoom[] {
  return [...site.areas.values()].flatMap((area) =>
    area.rooms.map((room): SceneRoom => ({
      id: memberKey(area.name, room.name),
      areaId: area.name,
      title: room.title ?? room.name,
      mark: markOf(memberKey(area.name, room.name), placeOf(area.name, part('room', room.name))),
    })),
  );
}

function placedIn(site: Site, record: { readonly room?: string }) {
  const placed = roomOf(site, record);
  if (placed !== undefined) return { areaId: placed.area.name, roomId: placed.key };
  // `in Level1` names no room, yet says the floor.
  const area = record.room === undefined ? undefined : site.areas.get(record.room);
  return area === undefined ? {} : { areaId: area.name };
}

function sceneDevice(site: Site, device: Device, seen: SceneSeen | undefined): SceneDevice {
  const equipment = equipmentOf(site, device);
  const finds = supervisionOf(site, device)?.units.length;
  return {
    id: device.name,
    tag: device.name,
    title: device.title ?? equipment?.title ?? device.equipment,
    role: equipment?.role ?? 'other',
    ...placedIn(site, device),
    existing: device.existing,
    addresses: device.addresses.map(({ address, port }) =>
      port === undefined ? String(address) : `${port} ${address}`,
    ),
    ...(finds === undefined ? {} : { finds }),
    ...(seen === undefined ? {} : { seen }),
    mark: markOf(device.name, placeOf(device.name)),
  };
}

function sceneBoard(site: Site, board: Board): SceneBoard {
  return {
    id: board.name,
    tag: board.name,
    title: board.title ?? TEXTS.board,
    ...placedIn(site, board),
    existing: board.existing,
    ways: board.ways.map((way) => ({
      id: memberKey(board.name, way.name),
      tag: way.name,
      text: wayText(site, board, way),
      existing: way.existing,
      mark: markOf(memberKey(board.name, way.name), placeOf(board.name, part('way', way.name))),
    })),
    mark: markOf(board.name, placeOf(board.name)),
  };
}

function wayText(site: Site, board: Board, way: Way): string {
  const isolators = site.isolatorsOn.get(memberKey(board.name, way.name)) ?? [];
  return [
    way.voltage === undefined
      ? ''
      : `${formatNumber(way.voltage.volts)} V${way.threePhase ? ' 3~' : ''}`,
    way.ratedA === undefined ? '' : `${formatNumber(way.ratedA)} A ${way.curve ?? ''}`.trim(),
    ...isolators.map((isolator) => TEXTS.isolator(isolator.name)),
  ]
    .filter((text) => text !== '')
    .join(' · ');
}

type Owner = SceneLanding['owner'];

function ownerOf(site: Site, name: string): Owner | undefined {
  if (site.devices.has(name)) return { kind: 'device', id: name };
  return site.boards.has(name) ? { kind: 'board', id: name } : undefined;
}

/** One bus or feed with its landings and segments. */
export function runOf(site: Site, run: Bus | Feed): SceneRun {
  const landings = landingsOf(site, run);
  const known = new Set(landings.map((landing) => landing.id));
  const segments = segmentsOf(site, run)
    .map((segment) => sceneSegment(run, segment))
    .filter((segment) => known.has(segment.from) && known.has(segment.to));
  const cable =
    run.cable === undefined ? undefined : (site.cables.get(run.cable)?.title ?? run.cable);
  const type =
    run.kind === 'bus' ? (site.busTypes.get(run.busType)?.title ?? run.busType) : undefined;
  return {
    id: runId(run),
    kind: run.kind,
    shape: (run.kind === 'bus' ? site.busTypes.get(run.busType)?.shape : undefined) ?? 'chain',
    existing: run.existing,
    title: [run.title, type, cable].filter((text) => text !== undefined).join(', '),
    landings,
    segments,
    mark: markOf(run.name, placeOf(run.name)),
  };
}

/** Buses and feeds share a namespace with devices, so their ids in a scene need a mark of their own. */
export function runId(run: Bus | Feed): string {
  return `${run.kind} ${run.name}`;
}

function landingsOf(site: Site, run: Bus | Feed): SceneLanding[] {
  const ends = run.kind === 'bus' ? terminatorsOf(site, run) : undefined;
  const landings = run.landings.flatMap((landing): SceneLanding[] => {
    const owner = ownerOf(site, landing.device);
    if (owner === undefined) return [];
    return [
      {
        id: String(landing.index),
        owner,
        member: landing.member,
        terminator: ends?.(landing) ?? 'none',
        bonded: landing.bonded,
        mark: markOf(memberKey(landing.device, landing.member), landingPlace(run, landing)),
      },
    ];
  });
  if (run.kind === 'bus') return landings;
  const outlets = [
    { id: 'outlet', from: run.from },
    ...(run.and === undefined ? [] : [{ id: 'second-outlet', from: run.and }]),
  ].flatMap(({ id, from }): SceneLanding[] => {
    const owner = ownerOf(site, from.owner);
    if (owner === undefined) return [];
    const name = memberKey(from.owner, from.member);
    return [
      {
        id,
        owner,
        member: from.member,
        terminator: 'none',
        bonded: false,
        mark: markOf(name, placeOf(run.name, id === 'outlet' ? 'from' : 'and')),
      },
    ];
  });
  return [...outlets.slice(0, 1), ...landings, ...outlets.slice(1)];
}

function landingPlace(run: Bus | Feed, landing: Landing) {
  return placeOf(run.name, part('land', landing.index));
}

/** Fitted, and missing at the ends where one belongs: also where it stands elsewhere by mistake. */
function terminatorsOf(site: Site, bus: Bus): (landing: Landing) => SceneLanding['terminator'] {
  const { terminators, missing, misplaced } = terminationOf(site, bus);
  const keyOf = (one: { readonly bus: Bus; readonly landing: Landing }) =>
    `${one.bus.name}/${one.landing.index}`;
  const fitted = new Set(terminators.map(({ landing }) => keyOf(landing)));
  const bare = new Set([...missing, ...misplaced.map(({ end }) => end)].map(keyOf));
  return (landing) => {
    const key = keyOf({ bus, landing });
    if (fitted.has(key)) return 'fitted';
    return bare.has(key) ? 'missing' : 'none';
  };
}

function sceneSegment(run: Bus | Feed, segment: Segment): SceneSegment {
  const { from, to } = segment;
  const landing = typeof to === 'number' ? run.landings[to] : undefined;
  return {
    id: segmentId(from, to),
    from: String(from),
    to: String(to),
    kind: segment.closesRing ? 'ring' : landing?.spur === undefined ? 'main' : 'spur',
    length: sceneLength(segment),
    existing: segment.existing,
    mark: markOf(run.name, segment.at),
  };
}

export function segmentId(from: SegmentEnd, to: SegmentEnd): string {
  return `${from}-${to}`;
}

/** Ways and outlets from which inlets or boards are fed straight. */
function branchesOf(site: Site): SceneBranch[] {
  const branches: SceneBranch[] = [];
  const points = new Set([...site.inletLinesFrom.keys(), ...site.boardsFrom.keys()]);
  for (const key of points) {
    const cut = key.lastIndexOf('.');
    const owner = ownerOf(site, key.slice(0, cut));
    if (owner === undefined) continue;
    const taps: SceneTap[] = [
      ...(site.inletLinesFrom.get(key) ?? []).map(({ device, line }): SceneTap => ({
        owner: { kind: 'device', id: device.name },
        member: line.inlet,
        mark: markOf(
          memberKey(device.name, line.inlet),
          placeOf(device.name, part('inlet', line.index)),
        ),
      })),
      ...(site.boardsFrom.get(key) ?? []).map((board): SceneTap => ({
        owner: { kind: 'board', id: board.name },
        member: TEXTS.incoming,
        mark: markOf(board.name, placeOf(board.name, 'from')),
      })),
    ];
    const member = key.slice(cut + 1);
    branches.push({
      id: `branch ${key}`,
      owner,
      member,
      taps,
      mark: markOf(
        key,
        owner.kind === 'board' ? placeOf(owner.id, part('way', member)) : placeOf(owner.id),
      ),
    });
  }
  return branches;
}

function networksOf(site: Site): SceneNetwork[] {
  return [...site.networks.values()].map((network): SceneNetwork => ({
    id: `network ${network.name}`,
    prefix: network.prefix ?? '',
    title: network.title ?? network.name,
    hosts: network.hosts
      .filter((host) => site.devices.has(host.device))
      .map((host) => ({
        deviceId: host.device,
        lan: host.lan,
        address: host.address ?? (host.dhcp ? 'dhcp' : ''),
        mark: markOf(
          memberKey(host.device, host.lan),
          placeOf(network.name, part('host', host.index)),
        ),
      })),
    mark: markOf(network.name, placeOf(network.name)),
  }));
}
