/** Scenes that no engineer would build: anything may be joined to anything, names are long, findings pile up. */
import type {
  SceneAnchor,
  SceneBoard,
  SceneBranch,
  SceneCable,
  SceneCore,
  SceneDevice,
  SceneFinding,
  SceneLanding,
  SceneNetwork,
  SceneRole,
  SceneRun,
  SceneSegment,
  SceneStrip,
  SceneTerminal,
  TerminalsScene,
  TopologyScene,
} from '../../src/drawing/scene/scene.js';
import { randomFrom, type Random } from './random.js';
import { mark } from './scenes.js';

const ROLES: readonly SceneRole[] = [
  'indoor-unit',
  'outdoor-unit',
  'room-controller',
  'zone-controller',
  'site-controller',
  'gateway',
  'supply',
  'junction',
  'repeater',
  'terminator',
  'switch',
  'meter',
  'sensor',
  'other',
];

const WORDS = [
  'A',
  'Unit',
  'Très-long-nom-de-matériel',
  'X-1',
  'Ωmega',
  '控制器',
  'W'.repeat(40),
  'i',
];

/** A scene of about the wished number of devices; the same seed gives the same scene. */
export function wildScene(seed: number, devices: number): TopologyScene {
  const random = randomFrom(seed);
  const chance = (share: number) => random.next() < share;
  const areas = Array.from({ length: random.integer(0, 6) }, (_, index) => ({
    id: `area ${index}`,
    title: `${random.pick(WORDS)} ${index}`,
    ...(chance(0.8) ? { levelM: random.integer(-2, 5) * 3 } : {}),
    mark: mark(`area ${index}`),
  }));
  const rooms = areas.flatMap((area) =>
    Array.from({ length: random.integer(0, 4) }, (_, index) => ({
      id: `${area.id} room ${index}`,
      areaId: area.id,
      title: `${random.pick(WORDS)} ${index}`,
      mark: mark(`${area.id} room ${index}`),
    })),
  );
  const place = () => {
    const room = rooms.length > 0 && chance(0.7) ? random.pick(rooms) : undefined;
    if (room) return { areaId: room.areaId, roomId: room.id };
    return areas.length > 0 && chance(0.7) ? { areaId: random.pick(areas).id } : {};
  };
  const sceneDevices = Array.from({ length: devices }, (_, index): SceneDevice => ({
    id: `device ${index}`,
    tag: `${random.pick(WORDS)}-${index}`,
    title: chance(0.8) ? random.pick(WORDS) : '',
    role: random.pick(ROLES),
    ...place(),
    existing: chance(0.2),
    addresses: Array.from({ length: random.integer(0, 3) }, () => `${random.integer(1, 255)}`),
    ...(chance(0.3) ? { finds: random.integer(0, 400) } : {}),
    mark: mark(`device ${index}`),
  }));
  const boards = Array.from({ length: random.integer(0, 4) }, (_, index): SceneBoard => ({
    id: `board ${index}`,
    tag: `DB-${index}`,
    title: random.pick(WORDS),
    ...place(),
    existing: chance(0.2),
    ways: Array.from({ length: random.integer(0, 6) }, (_, way) => ({
      id: `board ${index}.W${way}`,
      tag: `W${way}`,
      text: random.pick(WORDS),
      existing: chance(0.2),
      mark: mark(`board ${index}.W${way}`),
    })),
    mark: mark(`board ${index}`),
  }));
  const owners = [
    ...sceneDevices.map(({ id }) => ({ kind: 'device' as const, id })),
    ...boards.map(({ id }) => ({ kind: 'board' as const, id })),
  ];
  const runs = Array.from({ length: random.integer(0, Math.ceil(devices / 2)) }, (_, index) =>
    wildRun(random, index, owners),
  );
  const branches = Array.from({ length: random.integer(0, 8) }, (_, index): SceneBranch => ({
    id: `branch ${index}`,
    owner: random.pick(owners),
    member: `W${random.integer(0, 6)}`,
    taps: Array.from({ length: random.integer(0, 8) }, (_, tap) => ({
      owner: random.pick(owners),
      member: 'inlet',
      mark: mark(`branch ${index} tap ${tap}`),
    })),
    mark: mark(`DB-x.W${index}`),
  }));
  const networks = Array.from({ length: random.integer(0, 3) }, (_, index): SceneNetwork => ({
    id: `network ${index}`,
    prefix: '10.0.0.0/24',
    title: '',
    hosts: Array.from({ length: random.integer(0, 6) }, (_, host) => ({
      deviceId: random.pick(sceneDevices).id,
      lan: 'lan',
      address: `10.0.${index}.${host}`,
      mark: mark(`network ${index} host ${host}`),
    })),
    mark: mark(`network ${index}`, random.pick(WORDS)),
  }));
  const anchors: (() => SceneAnchor)[] = [
    () => ({ kind: 'device', id: random.pick(sceneDevices).id }),
    () => ({ kind: 'device', id: sceneDevices[0]?.id ?? '' }),
    () => ({ kind: 'sheet' }),
    ...(areas.length > 0 ? [(): SceneAnchor => ({ kind: 'area', id: random.pick(areas).id })] : []),
    ...(boards.length > 0
      ? [(): SceneAnchor => ({ kind: 'board', id: random.pick(boards).id })]
      : []),
    ...(networks.length > 0
      ? [(): SceneAnchor => ({ kind: 'network', id: random.pick(networks).id })]
      : []),
    ...(runs.length > 0
      ? [
          (): SceneAnchor => ({ kind: 'run', id: random.pick(runs).id }),
          (): SceneAnchor => {
            const run = random.pick(runs);
            return { kind: 'segment', runId: run.id, id: run.segments[0]?.id ?? 'none' };
          },
          (): SceneAnchor => {
            const run = random.pick(runs);
            return { kind: 'landing', runId: run.id, id: random.pick(run.landings).id };
          },
        ]
      : []),
  ];
  return {
    view: 'topology',
    sheet: { title: random.pick(WORDS), subtitle: random.pick(WORDS), owner: random.pick(WORDS) },
    areas,
    rooms,
    devices: sceneDevices,
    boards,
    runs,
    branches,
    networks,
    findings: Array.from({ length: random.integer(0, 30) }, (_, index): SceneFinding => ({
      key: String(index),
      severity: random.pick(['error', 'warning', 'hint']),
      rule: random.pick(['bus-too-long', 'name-unknown']),
      subject: random.pick(WORDS),
      message: `${random.pick(WORDS)} ${random.pick(WORDS)} ${random.pick(WORDS)}`,
      mark: mark(`finding ${index}`),
      at: random.pick(anchors)(),
    })),
  };
}

type Owner = SceneLanding['owner'];

/** A tree over random owners, which may come twice, with a ring now and then. */
function wildRun(random: Random, index: number, owners: readonly Owner[]): SceneRun {
  const kind = random.next() < 0.75 ? 'bus' : 'feed';
  const id = `${kind} ${index}`;
  const landings = Array.from({ length: random.integer(1, 9) }, (_, landing): SceneLanding => ({
    id: `${id}/${landing}`,
    owner: random.pick(owners),
    member: random.pick(['field', 'p', 'a-long-port-name']),
    terminator: random.pick(['none', 'none', 'fitted', 'missing']),
    bonded: random.next() < 0.2,
    mark: mark(`${id}/${landing}`),
  }));
  const segments = landings.slice(1).map((landing, at): SceneSegment => ({
    id: `segment ${at}`,
    from: `${id}/${random.next() < 0.7 ? at : random.integer(0, at)}`,
    to: landing.id,
    kind: random.pick(['main', 'main', 'spur']),
    length:
      random.next() < 0.2
        ? null
        : { metres: random.integer(0, 9999) / 7, estimated: random.next() < 0.5 },
    existing: random.next() < 0.2,
    mark: mark(`${id} segment ${at}`),
  }));
  if (landings.length > 2 && random.next() < 0.2) {
    segments.push({
      id: 'ring',
      from: landings.at(-1)?.id ?? '',
      to: landings[0]?.id ?? '',
      kind: 'ring',
      length: null,
      existing: false,
      mark: mark(`${id} ring`),
    });
  }
  return {
    id,
    kind,
    shape: 'free',
    existing: random.next() < 0.2,
    title: random.pick(WORDS),
    landings,
    segments,
    mark: mark(id, random.next() < 0.9 ? id : `${'w'.repeat(30)}${index}`),
  };
}

/** A run over random strips: a tree of cables with cores that land anywhere or nowhere. */
export function wildTerminals(seed: number): TerminalsScene {
  const random = randomFrom(seed);
  const chance = (share: number) => random.next() < share;
  const strips = Array.from({ length: random.integer(1, 14) }, (_, index): SceneStrip => {
    const withScreen = chance(0.6);
    const named = Array.from({ length: random.integer(0, 5) }, (_, terminal): SceneTerminal => ({
      id: `terminal ${terminal}`,
      name: random.pick(['CA', 'CB', 'L1', 'PE', 'A+', '42']),
      kind: random.pick(['signal', 'power', 'protective-earth']),
      screen: 'none',
    }));
    const screen: SceneTerminal = {
      id: 'screen',
      name: chance(0.5) ? 'S' : '',
      kind: 'screen',
      screen: random.pick(['bonded', 'landed', 'carried-through', 'insulated']),
    };
    return {
      id: `strip ${index}`,
      tag: `${random.pick(WORDS)}-${index}`,
      detail: random.pick(WORDS),
      existing: chance(0.2),
      terminals: withScreen ? [...named, screen] : named,
      terminator: random.pick(['none', 'none', 'fitted', 'missing']),
      terminatorText: '120 Ω',
      cover: random.pick(['none', 'none', 'fitted', 'missing']),
      mark: mark(`strip ${index}`),
    };
  });
  const cables = strips.slice(1).map((strip, index): SceneCable => {
    const from = strips[chance(0.7) ? index : random.integer(0, index)];
    return wildCable(random, `cable ${index}`, from ?? strip, strip);
  });
  const first = strips[0];
  const last = strips.at(-1);
  if (first && last && chance(0.2)) cables.push(wildCable(random, 'ring', last, first));
  return {
    view: 'terminals',
    sheet: { title: random.pick(WORDS), subtitle: random.pick(WORDS), drawing: 'D-1' },
    run: 'run',
    strips,
    cables,
    findings: Array.from({ length: random.integer(0, 5) }, (_, index): SceneFinding => ({
      key: String(index),
      severity: random.pick(['error', 'warning', 'hint']),
      rule: 'bus-too-long',
      subject: 'run',
      message: random.pick(WORDS),
      mark: mark(`finding ${index}`),
      at: random.pick<() => SceneAnchor>([
        () => ({ kind: 'sheet' }),
        () => ({ kind: 'landing', runId: 'run', id: random.pick(strips).id }),
        () => ({ kind: 'segment', runId: 'run', id: cables[0]?.id ?? 'none' }),
      ])(),
    })),
  };
}

function wildCable(random: Random, id: string, from: SceneStrip, to: SceneStrip): SceneCable {
  const landed = (strip: SceneStrip) => strip.terminals.filter((one) => one.kind !== 'screen');
  const colours = ['BK', 'WH', 'BU', 'GNYE', '1', 'BK(2)'];
  const used = { from: new Set<string>(), to: new Set<string>() };
  const take = (strip: SceneStrip, end: 'from' | 'to') => {
    const free = landed(strip).filter((one) => !used[end].has(one.id));
    if (free.length === 0 || random.next() < 0.15) return undefined;
    const terminal = free[random.next() < 0.8 ? 0 : random.integer(0, free.length - 1)];
    if (terminal) used[end].add(terminal.id);
    return terminal?.id;
  };
  const cores = Array.from({ length: random.integer(1, 6) }, (_, index): SceneCore => {
    const fromTerminal = take(from, 'from');
    const toTerminal = take(to, 'to');
    const isSpare = fromTerminal === undefined && toTerminal === undefined;
    return {
      id: `${id}/${index}`,
      ...(fromTerminal === undefined ? {} : { fromTerminal }),
      ...(toTerminal === undefined ? {} : { toTerminal }),
      colour: random.pick(colours),
      wireNumber: isSpare ? '' : `run.${index}`,
      kind: isSpare ? 'spare' : random.pick(['signal', 'power', 'missing']),
    };
  });
  const hasScreen = [from, to].some((strip) =>
    strip.terminals.some((one) => one.kind === 'screen'),
  );
  if (hasScreen) {
    const core = { id: `${id}/screen`, colour: '', wireNumber: 'run.S', kind: 'screen' as const };
    cores.push({ ...core, fromTerminal: 'screen', toTerminal: 'screen' });
  }
  return {
    id,
    from: from.id,
    to: to.id,
    name: `run/${to.tag}`,
    construction: random.pick(['2 × 0.75 mm² + screen', 'cable not stated']),
    length:
      random.next() < 0.2
        ? null
        : { metres: random.integer(1, 400), estimated: random.next() < 0.3 },
    kind: random.pick(['main', 'main', 'spur', 'ring']),
    existing: random.next() < 0.2,
    cores,
    mark: mark(id),
  };
}
