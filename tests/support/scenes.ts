/** Invented sites of any size for the tests of the drawings: seeded, so that a failure can be repeated. */
import type {
  Mark,
  SceneAnchor,
  SceneArea,
  SceneBoard,
  SceneBranch,
  SceneDevice,
  SceneFinding,
  SceneHost,
  SceneLanding,
  SceneNetwork,
  SceneRole,
  SceneRoom,
  SceneRun,
  SceneSegment,
  SceneSeverity,
  SceneShape,
  SceneTap,
  SceneWay,
  TopologyScene,
} from '../../src/drawing/scene/scene.js';
import { randomFrom } from './random.js';

const ROOM_NAMES = [
  'Reading',
  'Studio',
  'Foyer',
  'Café',
  'Workshop',
  'Gallery',
  'Office',
  'Store',
  'Meeting',
  'Hall',
];

export interface SceneWishes {
  /** Left out: drawn by the seed. */
  readonly floors?: number;
  readonly findings?: number;
  readonly withPower?: boolean;
  readonly title?: string;
}

/** A site with about the wished number of devices; the same seed gives the same site. */
export function randomScene(
  seed: number,
  devices: number,
  wishes: SceneWishes = {},
): TopologyScene {
  return new SceneMaker(seed, devices, wishes).make();
}

class SceneMaker {
  private readonly random: () => number;
  private readonly areas: SceneArea[] = [];
  private readonly rooms: SceneRoom[] = [];
  private readonly devices: SceneDevice[] = [];
  private readonly boards: SceneBoard[] = [];
  private readonly runs: SceneRun[] = [];
  private readonly branches: SceneBranch[] = [];
  private readonly taps = new Map<string, SceneTap[]>();
  private readonly waysOfBoard = new Map<string, SceneWay[]>();
  private readonly hosts: SceneHost[] = [];
  private readonly floors: number;

  constructor(
    seed: number,
    private readonly wanted: number,
    private readonly wishes: SceneWishes,
  ) {
    this.random = randomFrom(seed).next;
    this.floors =
      wishes.floors ??
      Math.max(1, Math.min(14, Math.round(Math.sqrt(wanted) * (0.35 + 0.4 * this.random()))));
  }

  make(): TopologyScene {
    for (let floor = this.floors; floor >= 0; floor--) {
      const isRoof = floor === this.floors;
      this.areas.push({
        id: `L${floor}`,
        title: isRoof ? 'Roof' : floor === 0 ? 'Ground floor' : `Level ${floor}`,
        levelM: floor * 3.6,
        mark: mark(`L${floor}`),
      });
    }
    const roof = this.room(this.floors, 'Plant');
    const comms = this.room(0, 'Comms');
    const gateway = this.device('SG-1', 'gateway', 0, comms, { title: 'Site gateway' });
    this.host(gateway, '10.40.8.20');
    if (this.wanted >= 20) {
      const network = this.device('SW-1', 'switch', 0, comms, { title: 'Network switch' });
      this.host(network, '10.40.8.2');
    }
    if (this.power()) for (let floor = 0; floor <= this.floors; floor++) this.board(floor);

    const outdoorCount = Math.max(1, Math.round(this.wanted / 24));
    const outdoor: SceneDevice[] = [];
    for (let index = 1; index <= outdoorCount; index++) {
      outdoor.push(
        this.device(`OU-${index}`, 'outdoor-unit', this.floors, roof, {
          title: `Outdoor unit ${14 + Math.floor(this.random() * 4) * 7} kW`,
          addresses: [`${index}`],
        }),
      );
    }
    for (const unit of outdoor) this.feedFromBoard(unit, 'mains');
    this.siteLinks(gateway, outdoor);
    let number = 0;
    for (const unit of outdoor) {
      number++;
      const left = this.wanted - this.devices.length;
      const shares = outdoor.length - number + 1;
      if (left > 0) this.fieldBus(number, unit, Math.max(1, Math.round(left / shares)));
    }
    for (const [boardId, ways] of this.waysOfBoard) {
      const index = this.boards.findIndex((board) => board.id === boardId);
      const board = this.boards[index];
      if (board) this.boards[index] = { ...board, ways };
    }
    for (const [key, taps] of this.taps) {
      const [boardId = '', way = ''] = key.split('.');
      this.branches.push({
        id: `branch ${key}`,
        owner: { kind: 'board', id: boardId },
        member: way,
        taps,
        mark: mark(key),
      });
    }
    const networks: SceneNetwork[] = [
      {
        id: 'controls',
        prefix: '10.40.8.0/24',
        title: '',
        hosts: this.hosts,
        mark: mark('controls'),
      },
    ];
    const findings = this.findings();
    return {
      view: 'topology',
      sheet: {
        title: this.wishes.title ?? 'Generated building',
        subtitle: `Control topology · ${this.devices.length} devices · ${this.runs.filter((run) => run.kind === 'bus').length} buses`,
        drawing: 'G-C-100',
        revision: 'A',
        owner: 'Estates office',
      },
      areas: this.areas,
      rooms: this.rooms,
      devices: this.devices,
      boards: this.boards,
      runs: this.runs,
      branches: this.branches,
      networks,
      findings,
    };
  }

  private power(): boolean {
    return this.wishes.withPower ?? true;
  }

  private siteLinks(gateway: SceneDevice, outdoor: readonly SceneDevice[]): void {
    const perLink = 16;
    for (let start = 0; start < outdoor.length; start += perLink) {
      const members = outdoor.slice(start, start + perLink);
      this.run(`site-${1 + start / perLink}`, 'bus', 'chain', [
        { device: gateway, member: 'site' },
        ...members.map((device) => ({ device, member: 'site' })),
      ]);
    }
  }

  private fieldBus(number: number, head: SceneDevice, count: number): void {
    const floor = Math.max(
      0,
      this.floors -
        1 -
        Math.floor(((number - 1) * this.floors) / Math.max(1, Math.round(this.wanted / 24))),
    );
    const members: { device: SceneDevice; member: string; spur?: boolean }[] = [
      { device: head, member: 'field' },
    ];
    const pending: (() => void)[] = [];
    let made = 0;
    let at = floor;
    let room: SceneRoom | undefined;
    let inRoom = 0;
    let unit = 0;
    while (made < count) {
      if (this.random() < 0.06 && at > 0) {
        at--;
        room = undefined;
      }
      if (!room || inRoom <= 0) {
        room = this.room(at, `${this.pick(ROOM_NAMES)} ${at}.${this.rooms.length}`);
        inRoom = 1 + Math.floor(this.random() * 3);
      }
      inRoom--;
      unit++;
      const isExisting = this.random() < 0.06;
      const device = this.device(
        `FC-${number}-${String(unit).padStart(2, '0')}`,
        'indoor-unit',
        at,
        room,
        {
          title: this.pick(['Four-way cassette 3.6 kW', 'Wall unit 2.2 kW', 'Ducted unit 7.1 kW']),
          addresses: [`${unit + 1}`],
          existing: isExisting,
        },
      );
      made++;
      members.push({ device, member: 'field', spur: this.random() < 0.05 });
      this.feedFromBoard(device, 'mains');
      if (this.random() < 0.55 && made < count) {
        made++;
        const partners = [device];
        const shared = this.random() < 0.25 ? members.at(-2)?.device : undefined;
        if (shared && shared.role === 'indoor-unit' && shared.roomId === device.roomId)
          partners.unshift(shared);
        const controller = this.device(
          `RC-${number}-${String(unit).padStart(2, '0')}`,
          'room-controller',
          at,
          room,
          {
            title: 'Wall controller',
            finds: partners.length,
          },
        );
        const asFirst = this.random() < 0.4;
        const landed = partners.map((one) => ({ device: one, member: 'room' }));
        const own = { device: controller, member: 'link' };
        let extra: { device: SceneDevice; member: string }[] = [];
        if (this.random() < 0.08 && made < count) {
          made++;
          extra = [
            {
              device: this.device(
                `RS-${number}-${String(unit).padStart(2, '0')}`,
                'sensor',
                at,
                room,
                { title: 'Room sensor' },
              ),
              member: 'link',
            },
          ];
        }
        const name = `room-${number}-${unit}`;
        pending.push(() =>
          this.run(
            name,
            'bus',
            'chain',
            asFirst ? [own, ...landed, ...extra] : [...landed, own, ...extra],
          ),
        );
      }
    }
    const zoneRoom = this.room(at, `Riser ${at}.${this.rooms.length}`);
    const zone = this.device(`ZC-${number}`, 'zone-controller', at, zoneRoom, {
      title: 'Touch panel',
      addresses: ['60'],
      finds: unit,
    });
    members.push({ device: zone, member: 'field' });
    const shape: SceneShape =
      this.random() < 0.06 ? 'ring' : members.some((member) => member.spur) ? 'tree' : 'chain';
    this.run(`field-${number}`, 'bus', shape, members);
    for (const make of pending) make();
    if (this.power()) {
      const supply = this.device(`PS-${number}`, 'supply', at, zoneRoom, { title: '24 V supply' });
      this.feedFromBoard(supply, 'primary');
      this.run(`F-${number}`, 'feed', 'chain', [
        { device: supply, member: 'out' },
        { device: zone, member: 'supply' },
      ]);
    }
  }

  private run(
    name: string,
    kind: 'bus' | 'feed',
    shape: SceneShape,
    members: readonly { device: SceneDevice; member: string; spur?: boolean }[],
  ): void {
    const ends = new Set([0, members.length - 1]);
    const needsEnds = kind === 'bus' && !name.startsWith('room') && shape !== 'ring';
    const bondAt = kind === 'bus' && !name.startsWith('room') ? 0 : -1;
    const landings = members.map((member, index): SceneLanding => ({
      id: `${name}/${index}`,
      owner: { kind: 'device', id: member.device.id },
      member: member.member,
      terminator:
        needsEnds && ends.has(index) ? (this.random() < 0.9 ? 'fitted' : 'missing') : 'none',
      bonded: index === bondAt,
      mark: mark(`${name}/${index}`, member.device.tag),
    }));
    const segments: SceneSegment[] = [];
    let trunk = 0;
    for (let index = 1; index < members.length; index++) {
      const isSpur = members[index]?.spur === true && index < members.length - 1 && index > 1;
      segments.push(this.segment(name, trunk, index, isSpur ? 'spur' : 'main'));
      if (!isSpur) trunk = index;
    }
    if (shape === 'ring' && members.length > 2) segments.push(this.segment(name, trunk, 0, 'ring'));
    this.runs.push({
      id: name,
      kind,
      shape,
      existing: false,
      title: kind === 'bus' ? 'Equipment link on screened pair' : 'Feed on two cores',
      landings,
      segments,
      mark: mark(name),
    });
  }

  private segment(
    name: string,
    from: number,
    to: number,
    kind: SceneSegment['kind'],
  ): SceneSegment {
    const estimated = this.random() < 0.2;
    const metres =
      kind === 'spur' ? 1 + Math.floor(this.random() * 4) : 3 + Math.floor(this.random() * 40);
    return {
      id: `${from}-${to}`,
      from: `${name}/${from}`,
      to: `${name}/${to}`,
      kind,
      length:
        this.random() < 0.03 ? null : { metres: estimated ? metres + 0.5 : metres, estimated },
      existing: this.random() < 0.05,
      mark: mark(`${name}/${from}-${to}`, name),
    };
  }

  private board(floor: number): void {
    const id = `DB-${floor}`;
    const room = this.room(floor, 'Electrical');
    this.boards.push({
      id,
      tag: id,
      title: 'Distribution board',
      areaId: room.areaId,
      existing: floor === 0,
      ways: [],
      mark: mark(id),
    });
    this.waysOfBoard.set(id, []);
  }

  /** Six inlets to a way. */
  private feedFromBoard(device: SceneDevice, inlet: string): void {
    if (!this.power()) return;
    const boardId = `DB-${(device.areaId ?? 'L0').slice(1)}`;
    const ways = this.waysOfBoard.get(boardId);
    if (!ways) return;
    let way = ways.at(-1);
    let taps = way && this.taps.get(`${boardId}.${way.tag}`);
    if (!way || !taps || taps.length >= 6) {
      const tag = `W${ways.length + 1}`;
      way = {
        id: `${boardId}.${tag}`,
        tag,
        text: '230 V · 6 A B',
        existing: false,
        mark: mark(`${boardId}.${tag}`),
      };
      ways.push(way);
      taps = [];
      this.taps.set(`${boardId}.${tag}`, taps);
    }
    taps.push({
      owner: { kind: 'device', id: device.id },
      member: inlet,
      mark: mark(`${device.id}.${inlet}`),
    });
  }

  private host(device: SceneDevice, address: string): void {
    this.hosts.push({ deviceId: device.id, lan: 'lan', address, mark: mark(`${device.id}.lan`) });
  }

  private room(floor: number, title: string): SceneRoom {
    const id = `L${floor}.${title}`;
    const known = this.rooms.find((room) => room.id === id);
    if (known) return known;
    const room = { id, areaId: `L${floor}`, title, mark: mark(id, title) };
    this.rooms.push(room);
    return room;
  }

  private device(
    tag: string,
    role: SceneRole,
    floor: number,
    room: SceneRoom,
    more: { title: string; addresses?: readonly string[]; existing?: boolean; finds?: number },
  ): SceneDevice {
    const device: SceneDevice = {
      id: tag,
      tag,
      title: more.title,
      role,
      areaId: `L${floor}`,
      roomId: room.id,
      existing: more.existing ?? false,
      addresses: more.addresses ?? [],
      ...(more.finds === undefined ? {} : { finds: more.finds }),
      mark: mark(tag),
    };
    this.devices.push(device);
    return device;
  }

  private findings(): SceneFinding[] {
    const count = this.wishes.findings ?? Math.round(this.random() * 6);
    const found: SceneFinding[] = [];
    for (let index = 0; index < count; index++) {
      const severity = this.pick<SceneSeverity>(['error', 'warning', 'warning', 'hint']);
      const chance = this.random();
      let at: SceneAnchor = { kind: 'sheet' };
      let subject = 'site';
      if (chance < 0.55) {
        const device = this.pick(this.devices);
        at = { kind: 'device', id: device.id };
        subject = device.tag;
      } else if (chance < 0.8) {
        const run = this.pick(this.runs);
        const segment = this.pick(run.segments);
        at = { kind: 'segment', runId: run.id, id: segment.id };
        subject = run.id;
      } else if (chance < 0.95) {
        const run = this.pick(this.runs);
        at = { kind: 'run', id: run.id };
        subject = run.id;
      }
      found.push({
        key: String(index),
        severity,
        rule: this.pick([
          'bus-too-long',
          'terminator-missing',
          'address-missing',
          'supply-missing',
        ]),
        subject,
        message: `Invented finding ${index + 1}: 214 m where at most 200 m are allowed. Shorten the run or divide it.`,
        mark: mark(`finding ${index}`, subject),
        at,
      });
    }
    return found;
  }

  private pick<Item>(items: readonly Item[]): Item {
    const item = items[Math.floor(this.random() * items.length)];
    if (item === undefined) throw new Error('Nothing to pick from.');
    return item;
  }
}

export function mark(place: string, name = place): Mark {
  return { place, name };
}

/** The same scene with its lists in another order; landings keep theirs, since they are the wiring. */
export function shuffled(scene: TopologyScene, seed: number): TopologyScene {
  const random = randomFrom(seed).next;
  const mix = <Item>(items: readonly Item[]): Item[] => {
    const mixed = [...items];
    for (let index = mixed.length - 1; index > 0; index--) {
      const other = Math.floor(random() * (index + 1));
      [mixed[index], mixed[other]] = [mixed[other]!, mixed[index]!];
    }
    return mixed;
  };
  return {
    ...scene,
    areas: mix(scene.areas),
    rooms: mix(scene.rooms),
    devices: mix(scene.devices),
    boards: mix(scene.boards),
    runs: mix(scene.runs),
    branches: mix(scene.branches).map((branch) => ({ ...branch, taps: mix(branch.taps) })),
    networks: mix(scene.networks).map((network) => ({ ...network, hosts: mix(network.hosts) })),
    findings: mix(scene.findings),
  };
}
