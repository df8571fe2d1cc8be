/** Site model → topology scene: which devices, runs and findings the picture shows. Positions are the layout's matter. */
import { segmentsOf } from '../../analysis/run.js';
import type { Segment } from '../../analysis/run.js';
import { terminationOf } from '../../analysis/bus/termination.js';
import { supervisionOf } from '../../analysis/graph/supervision.js';
import type { Finding } from '../../model/finding.js';
import { messageOf } from '../../model/finding.js';
import { part, placeKey, placeOf } from '../../model/origin.js';
import { formatNumber } from '../../model/quantity.js';
import type { Board, Device, Way } from '../../model/records.js';
import { compareNames, equipmentOf, memberKey, roomOf } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import type { Bus, Feed } from '../../model/wiring.js';
import type {
  Mark,
  SceneAnchor,
  SceneBoard,
  SceneBranch,
  SceneDevice,
  SceneFinding,
  SceneLanding,
  SceneLength,
  SceneNetwork,
  SceneRun,
  SceneSegment,
  SceneTitle,
  TopologyScene,
} from './scene.js';

/** The topology of a site with its findings at their places. Waived findings and hints are left out. */
export function topologyOf(site: Site, findings: readonly Finding[]): TopologyScene {
  const runs = [
    ...inOrder(site.buses).map((bus) => runOf(site, bus)),
    ...inOrder(site.feeds).map((feed) => runOf(site, feed)),
  ];
  return {
    view: 'topology',
    sheet: sheetOf(site),
    areas: inOrder(site.areas).map((area) => ({
      id: area.name,
      title: area.title ?? area.name,
      ...(area.levelM === undefined ? {} : { levelM: area.levelM }),
      mark: mark(area.name),
    })),
    rooms: inOrder(site.areas).flatMap((area) =>
      area.rooms.map((room) => ({
        id: memberKey(area.name, room.name),
        areaId: area.name,
        title: room.title ?? room.name,
        mark: mark(area.name, room.name, part('room', room.name, 'name')),
      })),
    ),
    devices: inOrder(site.devices).map((device) => deviceOf(site, device)),
    boards: inOrder(site.boards).map((board) => boardOf(site, board)),
    runs,
    branches: branchesOf(site),
    networks: networksOf(site),
    findings: findings.filter(isShown).map((finding) => sceneFinding(site, finding, runs)),
  };
}

/** The words of the sheet's title: what the site says of itself. */
export function sheetOf(site: Site): SceneTitle {
  const { settings } = site;
  const counted = (count: number, word: string, plural = `${word}s`) =>
    `${count} ${count === 1 ? word : plural}`;
  return {
    title: settings?.title ?? settings?.name ?? 'Site without a name',
    subtitle: [
      counted(site.devices.size, 'device'),
      counted(site.buses.size, 'bus', 'buses'),
      counted(site.feeds.size, 'feed'),
    ].join(' · '),
    ...(settings?.drawing === undefined ? {} : { drawing: settings.drawing }),
    ...(settings?.revision === undefined ? {} : { revision: settings.revision }),
    ...(settings?.owner === undefined ? {} : { owner: settings.owner }),
  };
}

/** Whether a finding has a mark in a picture. */
export function isShown(finding: Finding): boolean {
  return finding.waived === null && finding.severity !== 'hint';
}

/** A mark that leads to a declaration, or to a part of one. */
export function mark(declaration: string, name = declaration, partPath = 'name'): Mark {
  return { place: placeKey(placeOf(declaration, partPath)), name };
}

/** A segment's length; null where nobody knows it. */
export function sceneLength(segment: Segment): SceneLength | null {
  return segment.lengthM === null
    ? null
    : { metres: segment.lengthM, estimated: segment.basis === 'estimated' };
}

function deviceOf(site: Site, device: Device): SceneDevice {
  const equipment = equipmentOf(site, device);
  const room = roomOf(site, device);
  const supervision = supervisionOf(site, device);
  return {
    id: device.name,
    tag: device.name,
    title: device.title ?? equipment?.title ?? device.equipment,
    role: equipment?.role ?? 'other',
    ...(room === undefined ? {} : { areaId: room.area.name, roomId: room.key }),
    existing: device.existing,
    addresses: device.addresses.map((line) =>
      line.port === undefined ? String(line.address) : `${line.port} ${line.address}`,
    ),
    ...(supervision === undefined ? {} : { finds: supervision.units.length }),
    mark: mark(device.name),
  };
}

function boardOf(site: Site, board: Board): SceneBoard {
  const room = roomOf(site, board);
  return {
    id: board.name,
    tag: board.name,
    title: board.title ?? '',
    ...(room === undefined ? {} : { areaId: room.area.name }),
    existing: board.existing,
    ways: board.ways.map((way) => ({
      id: way.name,
      tag: way.name,
      text: wayText(way),
      existing: way.existing,
      mark: mark(board.name, memberKey(board.name, way.name), part('way', way.name, 'name')),
    })),
    mark: mark(board.name),
  };
}

function wayText(way: Way): string {
  const voltage =
    way.voltage === undefined
      ? ''
      : `${formatNumber(way.voltage.volts)} V${way.threePhase ? ' 3~' : ''}`;
  const rating =
    way.ratedA === undefined
      ? ''
      : `${formatNumber(way.ratedA)} A${way.curve === undefined ? '' : ` ${way.curve}`}`;
  return [voltage, rating].filter((text) => text !== '').join(' · ');
}

/** A run with the landings whose device is known; the others are findings of the text. */
function runOf(site: Site, run: Bus | Feed): SceneRun {
  const missing = run.kind === 'bus' ? missingTerminators(site, run) : new Set<number>();
  const landings: SceneLanding[] = [];
  const ids = new Map<number | 'outlet' | 'second-outlet', string>();
  const addEnd = (end: 'outlet' | 'second-outlet', from: Feed['from'] | undefined) => {
    const owner = from && ownerOf(site, from.owner);
    if (from === undefined || owner === undefined) {
      return;
    }
    ids.set(end, end);
    landings.push({
      id: end,
      owner,
      member: from.member,
      terminator: 'none',
      bonded: false,
      mark: mark(run.name, memberKey(from.owner, from.member), end === 'outlet' ? 'from' : 'and'),
    });
  };
  if (run.kind === 'feed') {
    addEnd('outlet', run.from);
  }
  for (const landing of run.landings) {
    const owner = ownerOf(site, landing.device);
    if (owner === undefined) {
      continue;
    }
    const id = String(landing.index);
    ids.set(landing.index, id);
    landings.push({
      id,
      owner,
      member: landing.member,
      terminator: landing.terminated ? 'fitted' : missing.has(landing.index) ? 'missing' : 'none',
      bonded: landing.bonded,
      mark: mark(run.name, memberKey(landing.device, landing.member), part('land', landing.index)),
    });
  }
  if (run.kind === 'feed') {
    addEnd('second-outlet', run.and);
  }
  const busType = run.kind === 'bus' ? site.busTypes.get(run.busType) : undefined;
  return {
    id: run.name,
    kind: run.kind,
    shape:
      run.kind === 'bus'
        ? run.ring === undefined
          ? (busType?.shape ?? 'chain')
          : 'ring'
        : 'chain',
    existing: run.existing,
    title: [
      run.title ?? run.name,
      run.kind === 'bus' ? run.busType : `from ${memberKey(run.from.owner, run.from.member)}`,
      run.cable,
    ]
      .filter((text) => text !== undefined)
      .join(', '),
    landings,
    segments: segmentsOf(site, run).flatMap((segment) => sceneSegment(run, segment, ids)),
    mark: mark(run.name),
  };
}

function sceneSegment(
  run: Bus | Feed,
  segment: Segment,
  ids: ReadonlyMap<number | 'outlet' | 'second-outlet', string>,
): SceneSegment[] {
  const from = ids.get(segment.from);
  const to = ids.get(segment.to);
  if (from === undefined || to === undefined || from === to) {
    return [];
  }
  const landing = typeof segment.to === 'number' ? run.landings[segment.to] : undefined;
  return [
    {
      id: `${from}-${to}`,
      from,
      to,
      kind: segment.closesRing ? 'ring' : landing?.spur === undefined ? 'main' : 'spur',
      length: sceneLength(segment),
      existing: segment.existing,
      mark: { place: placeKey(segment.at), name: run.name },
    },
  ];
}

function missingTerminators(site: Site, bus: Bus): ReadonlySet<number> {
  return new Set(
    terminationOf(site, bus)
      .missing.filter((end) => end.bus === bus)
      .map((end) => end.landing.index),
  );
}

function ownerOf(site: Site, name: string): SceneLanding['owner'] | undefined {
  return site.devices.has(name)
    ? { kind: 'device', id: name }
    : site.boards.has(name)
      ? { kind: 'board', id: name }
      : undefined;
}

/** Ways and outlets with the inlets and boards that lines feed straight from them. */
function branchesOf(site: Site): SceneBranch[] {
  const keys = [...new Set([...site.inletLinesFrom.keys(), ...site.boardsFrom.keys()])].sort(
    compareNames,
  );
  return keys.flatMap((key) => {
    const cut = key.lastIndexOf('.');
    const ownerName = key.slice(0, cut);
    const owner = ownerOf(site, ownerName);
    if (owner === undefined) {
      return [];
    }
    const taps = [
      ...(site.inletLinesFrom.get(key) ?? []).map(({ device, line }) => ({
        owner: { kind: 'device' as const, id: device.name },
        member: line.inlet,
        mark: mark(device.name, memberKey(device.name, line.inlet), part('inlet', line.index)),
      })),
      ...(site.boardsFrom.get(key) ?? []).map((board) => ({
        owner: { kind: 'board' as const, id: board.name },
        member: 'incoming',
        mark: mark(board.name, board.name, 'from'),
      })),
    ];
    const member = key.slice(cut + 1);
    return [
      {
        id: key,
        owner,
        member,
        taps,
        mark:
          owner.kind === 'board'
            ? mark(ownerName, key, part('way', member, 'name'))
            : mark(ownerName, key),
      },
    ];
  });
}

function networksOf(site: Site): SceneNetwork[] {
  return inOrder(site.networks).map((network) => ({
    id: network.name,
    prefix: network.prefix ?? '',
    title: network.title ?? network.name,
    hosts: network.hosts
      .filter((host) => site.devices.has(host.device))
      .map((host) => ({
        deviceId: host.device,
        lan: host.lan,
        address: host.address ?? 'dhcp',
        mark: mark(network.name, memberKey(host.device, host.lan), part('host', host.index)),
      })),
    mark: mark(network.name),
  }));
}

function sceneFinding(site: Site, finding: Finding, runs: readonly SceneRun[]): SceneFinding {
  return {
    severity: finding.severity,
    rule: finding.rule,
    subject: finding.subject,
    message: messageOf(finding),
    mark: { place: placeKey(finding.at), name: finding.subject },
    at: anchorOf(site, finding, runs),
  };
}

function anchorOf(site: Site, finding: Finding, runs: readonly SceneRun[]): SceneAnchor {
  const { declaration, part: path } = finding.at;
  const run = runs.find((one) => one.id === declaration);
  if (run !== undefined) {
    const landing = /^land\/(\d+)/u.exec(path)?.[1];
    const isLength = path.endsWith('/length');
    const segment = run.segments.find((one) => one.to === landing && one.kind !== 'ring');
    if (isLength && segment !== undefined) {
      return { kind: 'segment', runId: run.id, id: segment.id };
    }
    const landed = run.landings.find((one) => one.id === landing);
    return landed === undefined
      ? { kind: 'run', id: run.id }
      : { kind: landed.owner.kind, id: landed.owner.id };
  }
  switch (site.byName.get(declaration)?.record.kind) {
    case 'device':
      return { kind: 'device', id: declaration };
    case 'board':
      return { kind: 'board', id: declaration };
    case 'area':
      return { kind: 'area', id: declaration };
    case 'network':
      return { kind: 'network', id: declaration };
    default:
      return { kind: 'sheet' };
  }
}

function inOrder<Value>(records: ReadonlyMap<string, Value>): Value[] {
  return [...records]
    .sort(([one], [other]) => compareNames(one, other))
    .map(([, record]) => record);
}
