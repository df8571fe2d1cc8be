/** Every word that a drawing adds to what the site's own text says. */
import type { SceneLength, SceneRole, SceneSeen, SceneSeverity } from './scene/scene.js';

export const TEXTS = {
  existing: 'existing',
  finds: (count: number) => `finds ${count}`,
  addresses: (addresses: readonly string[]) => `addr ${addresses.join(', ')}`,
  untitled: 'Site without a name',
  topology: 'Control topology',
  terminals: 'Terminal wiring',
  power: 'Power',
  addressMap: 'IP addresses',
  drawnAbove: 'drawn above',
  unfed: 'Not fed',
  unfedAbout: 'inlets without a way or outlet',
  suppliedWith: (name: string, volts: string) => `in ${name}: ${volts}`,
  poweredFrom: (ports: readonly string[]) => `powered from ${ports.join(', ')}`,
  continued: 'continued',
  marginLeft: (percent: string) => `margin ${percent} %`,
  columns: { inlet: 'inlet', load: 'load', voltage: 'voltage', least: 'least', margin: 'margin' },
  nodeKinds: {
    board: 'board',
    way: 'way',
    supply: 'supply',
    feed: 'feed',
    bus: 'powered bus',
    unfed: 'not fed',
  },
  unknown: '?',
  profile: {
    title: (kind: string, name: string) => `Voltage along ${kind} ${name}`,
    across: 'distance along the cable',
    up: 'voltage',
    least: 'least',
  },
  ip: {
    subnet: (range: string, count: number) =>
      count === 1 ? `host address ${range}` : `${formatCount(count)} host addresses, ${range}`,
    cell: (count: number) => (count === 1 ? '' : `A field is ${formatCount(count)} addresses.`),
    free: 'free',
    pool: 'pool',
    router: 'router',
    laptop: 'laptop',
    network: 'network address',
    broadcast: 'broadcast address',
    dhcp: 'from the pool',
    unread: 'The prefix is missing or cannot be read.',
    counts: (used: number, pool: number, free: number) =>
      `${formatCount(used)} used · ${formatCount(pool)} in pools · ${formatCount(free)} free`,
    vlan: (vlan: number) => `VLAN ${vlan}`,
  },
  runKinds: { bus: 'bus', feed: 'feed' },
  cableNotStated: 'cable not stated',
  board: 'Distribution board',
  incoming: 'incoming',
  isolator: (name: string) => `isolator ${name}`,
  counts: {
    devices: (count: number) => counted(count, 'device', 'devices') || 'no devices',
    buses: (count: number) => counted(count, 'bus', 'buses') || 'no buses',
    feeds: (count: number) => counted(count, 'feed', 'feeds'),
    ways: (count: number) => counted(count, 'way', 'ways') || 'no ways',
    supplies: (count: number) => counted(count, 'supply', 'supplies') || 'no supplies',
    networks: (count: number) => counted(count, 'network', 'networks') || 'no networks',
    strips: (count: number) =>
      counted(count, 'terminal strip', 'terminal strips') || 'nothing landed',
    noFindings: 'no findings',
  },
  unplaced: 'No area stated',
  level: (levelM: number) =>
    `${levelM < 0 ? '−' : levelM > 0 ? '+' : '±'}${Math.abs(levelM).toFixed(2)} m`,
  lengthUnknown: '? m',
  ring: 'ring',
  towards: (tag: string) => `→ ${tag}`,
  legend: 'Legend',
  findings: 'Findings',
  noFindings: 'No findings.',
  severity: { error: 'Error', warning: 'Warning', hint: 'Hint' } satisfies Record<
    SceneSeverity,
    string
  >,
  legendItems: {
    bus: 'bus: own colour, dash and name; a line goes in and out at each landing',
    local: 'link inside a room',
    feed: 'feed from an outlet',
    branch: 'supply from a way, by all inlets on the line',
    ip: 'IP network',
    fitted: 'terminator fitted',
    missing: 'terminator missing',
    bonded: 'screen connected to earth',
    estimated: '≈ length estimated from the rooms',
    flag: 'line continues at the named device',
    error: 'error, numbered as below',
    warning: 'warning',
    hint: 'hint',
    'seen-found': 'seen as expected',
    'seen-missing': 'missing, or seen otherwise',
    'seen-open': 'not looked at yet',
    cable: 'cable round its cores',
    screen: 'screen, bare',
    cover: 'cover over exposed live terminals',
    coverMissing: 'cover missing',
    spare: 'cut back and insulated',
    coreMissing: 'terminals without a core',
    loadNormal: 'load against the rating',
    loadNear: 'above 80 % of the rating',
    loadOver: 'above the rating',
    limit: 'least voltage allowed',
    used: 'used',
    router: 'router',
    laptop: 'laptop for commissioning',
    pool: 'pool',
    free: 'free',
    reserved: 'network or broadcast address',
  },
  seen: {
    found: 'seen as expected',
    missing: 'missing or seen otherwise',
    open: 'not looked at yet',
  } satisfies Record<SceneSeen, string>,
  position: (kind: 'bus' | 'feed', name: string, position: number, count: number) =>
    `${kind} ${name} position ${position} of ${count}`,
  findingCounts: (count: Readonly<Record<SceneSeverity, number>>) =>
    [
      counted(count.error, 'error', 'errors'),
      counted(count.warning, 'warning', 'warnings'),
      counted(count.hint, 'hint', 'hints'),
    ]
      .filter((part) => part !== '')
      .join(', '),
  wire: (run: string, from: string, to: string, length: string) =>
    `${run}: ${from} to ${to}, ${length}`,
  trunk: (name: string) => name,
  symbol: {
    'terminator-fitted': (run: string, device: string) => `${run}: terminator fitted at ${device}`,
    'terminator-missing': (run: string, device: string) =>
      `${run}: terminator missing at ${device}`,
    bond: (run: string, device: string) => `${run}: screen connected to earth at ${device}`,
  },
  screen: 'screen',
  spare: 'spare',
  noCore: 'no core',
  covered: 'covered',
  coverMissing: 'cover missing',
  cableKinds: { spur: 'spur', ring: 'ring', main: '' },
  continues: (direction: 'to' | 'from', tag: string, row: number) =>
    `${direction} ${tag}, row ${row}`,
  drawingNumber: (drawing: string) => `Drawing ${drawing}`,
  revision: (revision: string) => `Revision ${revision}`,
  caution:
    'Isolate, lock and prove dead before touching a terminal. Local codes and the equipment’s own instructions come first; work on mains is for licensed people only.',
  nothing: 'There is nothing to draw yet.',
} as const;

export const ROLE_NAMES: Readonly<Record<SceneRole, string>> = {
  'indoor-unit': 'indoor unit',
  'outdoor-unit': 'outdoor unit',
  'room-controller': 'room controller',
  'zone-controller': 'zone controller',
  'site-controller': 'site controller',
  gateway: 'gateway',
  supply: 'supply',
  junction: 'junction',
  repeater: 'repeater',
  terminator: 'terminator',
  switch: 'network switch',
  meter: 'meter',
  sensor: 'sensor',
  other: 'other device',
};

/** Names of the colour codes of IEC 60757, in the order in which the legend shows them. */
export const COLOUR_NAMES: Readonly<Record<string, string>> = {
  BK: 'black',
  BN: 'brown',
  RD: 'red',
  OG: 'orange',
  YE: 'yellow',
  GN: 'green',
  BU: 'blue',
  VT: 'violet',
  GY: 'grey',
  WH: 'white',
  PK: 'pink',
  GD: 'gold',
  TQ: 'turquoise',
  SR: 'silver',
  GNYE: 'green-yellow: protective conductor only',
};

/** A length as it stands beside a line: `18 m`, `≈ 14.5 m`. */
export function lengthText(length: SceneLength | null): string {
  if (length === null) return TEXTS.lengthUnknown;
  const metres = Number(length.metres.toFixed(1));
  return `${length.estimated ? '≈ ' : ''}${metres} m`;
}

function formatCount(count: number): string {
  return String(count).replace(/\B(?=(\d{3})+$)/gu, '\u00A0');
}

function counted(count: number, one: string, many: string): string {
  return count === 0 ? '' : `${count} ${count === 1 ? one : many}`;
}
