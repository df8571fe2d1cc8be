/**
 * Random sites with boards, isolators, supplies, batteries, feeds and buses, for property tests of
 * schedules and procedures. They are possible to write, not always right: the documents must be
 * safe for both.
 */
import fc from 'fast-check';
import type { Cable, Equipment, Inlet, Outlet, Port } from '../../src/model/equipment.js';
import type { Board, Declaration, Device, InletLine } from '../../src/model/records.js';
import { buildSite } from '../../src/model/site.js';
import type { Site } from '../../src/model/site.js';
import type { Bus, Feed, Landing } from '../../src/model/wiring.js';

/** A random site as numbers; {@link siteOfPlan} makes the records. Indexes are taken modulo what there is. */
export interface PoweredPlan {
  readonly boards: readonly {
    readonly fromWay: number;
    readonly existing: boolean;
    readonly ways: readonly boolean[];
  }[];
  readonly isolators: readonly {
    readonly way: number;
    readonly lockable: boolean;
    readonly existing: boolean;
  }[];
  readonly supplies: readonly {
    readonly way: number;
    readonly stored: boolean;
    readonly existing: boolean;
  }[];
  readonly units: readonly {
    readonly way: number;
    readonly room: number;
    readonly existing: boolean;
    readonly wall: boolean;
    readonly lengthM: number | undefined;
  }[];
  readonly panels: readonly {
    readonly supply: number;
    readonly second: number | undefined;
    readonly room: number;
    readonly existing: boolean;
  }[];
  readonly field: {
    readonly existing: boolean;
    readonly ring: boolean;
    readonly cable: 'Pair' | 'Four' | 'Odd' | undefined;
  };
}

const way = fc.nat({ max: 50 });
const rarely = fc.integer({ min: 0, max: 4 }).map((number) => number === 0);

export const poweredPlans: fc.Arbitrary<PoweredPlan> = fc.record({
  boards: fc.array(
    fc.record({
      fromWay: way,
      existing: fc.boolean(),
      ways: fc.array(fc.boolean(), { minLength: 1, maxLength: 3 }),
    }),
    { minLength: 1, maxLength: 3 },
  ),
  isolators: fc.array(fc.record({ way, lockable: fc.boolean(), existing: fc.boolean() }), {
    maxLength: 3,
  }),
  supplies: fc.array(fc.record({ way, stored: rarely, existing: rarely }), {
    minLength: 1,
    maxLength: 3,
  }),
  units: fc.array(
    fc.record({
      way,
      room: fc.nat({ max: 3 }),
      existing: rarely,
      wall: fc.boolean(),
      lengthM: fc.option(fc.integer({ min: 1, max: 140 }), { nil: undefined }),
    }),
    { minLength: 1, maxLength: 6 },
  ),
  panels: fc.array(
    fc.record({
      supply: fc.nat({ max: 9 }),
      second: fc.option(fc.nat({ max: 9 }), { nil: undefined }),
      room: fc.nat({ max: 3 }),
      existing: rarely,
    }),
    { maxLength: 3 },
  ),
  field: fc.record({
    existing: rarely,
    ring: rarely,
    cable: fc.constantFrom(
      'Pair' as const,
      'Pair' as const,
      'Four' as const,
      'Odd' as const,
      undefined,
    ),
  }),
});

export function siteOfPlan(plan: PoweredPlan): Site {
  return siteOfRecords(recordsOfPlan(plan));
}

export function siteOfRecords(records: readonly Declaration[]): Site {
  return buildSite(
    records.map((record) => ({ id: 'name' in record ? record.name : record.kind, record })),
  );
}

export function recordsOfPlan(plan: PoweredPlan): readonly Declaration[] {
  const boards = boardsOf(plan);
  const ways = boards.flatMap((board) =>
    board.ways.map((one) => ({ owner: board.name, member: one.name })),
  );
  const wayAt = (index: number) => ways[index % ways.length]!;
  const supplies = plan.supplies.map((supply, index) =>
    device(`PS-${index}`, supply.stored ? 'Battery' : 'Supply', `R${index % 2}`, supply.existing, [
      line(0, 'primary', wayAt(supply.way)),
    ]),
  );
  const units = plan.units.map((unit, index) =>
    device(`FC-${index}`, 'Unit', `R${unit.room}`, unit.existing, [
      { ...line(0, 'mains', wayAt(unit.way)), cable: 'Mains' },
    ]),
  );
  const walls = plan.units.flatMap((unit, index) =>
    unit.wall ? [device(`RC-${index}`, 'Wall', `R${unit.room}`, unit.existing, [])] : [],
  );
  const panels = plan.panels.map((panel, index) =>
    device(`ZC-${index}`, 'Panel', `R${panel.room}`, panel.existing, []),
  );
  const feeds = plan.panels.map((panel, index): Feed => {
    const outlet = (number: number) => ({
      owner: `PS-${number % plan.supplies.length}`,
      member: 'out',
    });
    return {
      kind: 'feed',
      name: `F-${index}`,
      from: outlet(panel.supply),
      ...(panel.second === undefined ? {} : { and: outlet(panel.second), lastM: 7 }),
      cable: 'Power',
      existing: panel.existing,
      landings: [{ ...landing(0, `ZC-${index}`, 'supply', undefined), lengthM: 12, covered: true }],
    };
  });
  const onField = [...units.map((unit) => unit.name), ...panels.map((panel) => panel.name)];
  const field: Bus = {
    kind: 'bus',
    name: 'field-0',
    busType: 'Link',
    ...(plan.field.cable === undefined ? {} : { cable: plan.field.cable }),
    existing: plan.field.existing,
    landings: onField.map((name, index) => {
      const lengthM = plan.units[index]?.lengthM;
      return {
        ...landing(index, name, 'field', index === 0 ? undefined : index - 1),
        ...(index === 0 || lengthM === undefined ? {} : { lengthM }),
        terminated: index === 0 || index === onField.length - 1,
        bonded: index === 0,
      };
    }),
    ...(plan.field.ring ? { ring: { lengthM: 9 } } : {}),
  };
  const rooms = plan.units.flatMap((unit, index): Bus[] =>
    unit.wall
      ? [
          {
            kind: 'bus',
            name: `room-${index}`,
            busType: 'Room',
            cable: 'Pair',
            existing: unit.existing,
            landings: [
              landing(0, `FC-${index}`, 'room', undefined),
              { ...landing(1, `RC-${index}`, 'link', 0), lengthM: 4 },
            ],
          },
        ]
      : [],
  );
  return [
    ...templates,
    {
      kind: 'area',
      name: 'Floor',
      levelM: 3,
      rooms: [0, 1, 2, 3].map((number) => ({ name: `R${number}`, atM: { x: 5 * number, y: 2 } })),
    },
    ...boards,
    ...plan.isolators.map((isolator, index): Declaration => ({
      kind: 'isolator',
      name: `Q${index}`,
      on: wayAt(isolator.way),
      room: 'R1',
      lockable: isolator.lockable,
      existing: isolator.existing,
    })),
    ...supplies,
    ...units,
    ...walls,
    ...panels,
    field,
    ...rooms,
    ...feeds,
  ];
}

/** Each board but the first hangs on a way of an earlier one. */
function boardsOf(plan: PoweredPlan): readonly Board[] {
  const boards: Board[] = [];
  for (const [index, board] of plan.boards.entries()) {
    const above = boards.flatMap((one) =>
      one.ways.map((each) => ({ owner: one.name, member: each.name })),
    );
    const from = above[board.fromWay % Math.max(1, above.length)];
    // Every third board is an incomer of its own.
    const fed = from !== undefined && board.fromWay % 3 !== 0;
    boards.push({
      kind: 'board',
      name: `DB-${index}`,
      room: `R${index}`,
      ...(fed ? { from } : {}),
      existing: board.existing,
      ways: board.ways.map((existing, number) => ({
        name: `W${number}`,
        voltage: { volts: 230, kind: 'ac' },
        threePhase: false,
        ratedA: 10,
        existing,
      })),
    });
  }
  return boards;
}

function device(
  name: string,
  equipment: string,
  room: string,
  existing: boolean,
  inletLines: readonly InletLine[],
): Device {
  const number = Number(name.split('-')[1]);
  return {
    kind: 'device',
    name,
    equipment,
    room,
    existing,
    main: false,
    addresses:
      equipment === 'Unit' || equipment === 'Panel'
        ? [{ index: 0, address: equipment === 'Unit' ? number + 1 : number + 40 }]
        : [],
    inletLines,
  };
}

function line(
  index: number,
  inlet: string,
  from: { readonly owner: string; readonly member: string },
): InletLine {
  return { index, inlet, from, covered: false, existing: false };
}

function landing(index: number, name: string, member: string, from: number | undefined): Landing {
  return {
    index,
    device: name,
    member,
    ...(from === undefined ? {} : { from }),
    opensSpur: false,
    terminated: false,
    bonded: false,
    covered: false,
    existing: false,
  };
}

const templates: readonly Declaration[] = [
  {
    kind: 'bustype',
    name: 'Link',
    conductors: 2,
    polarised: true,
    shape: 'chain',
    lengthLimitM: {},
    addresses: { from: 1, to: 64, except: [] },
    controllers: 9,
    terminate: { where: 'both-ends', ohm: 120 },
  },
  {
    kind: 'bustype',
    name: 'Room',
    conductors: 2,
    polarised: true,
    lengthLimitM: {},
    power: { nominal: { volts: 15, kind: 'dc' }, minimumVolts: 11 },
  },
  cable('Pair', 2, ['BK', 'WH'], true),
  cable('Four', 4, ['BN', 'WH', 'BU', 'BK'], true),
  cable('Odd', 1, [], false),
  cable('Power', 2, ['RD', 'BK'], false),
  cable('Mains', 3, ['BN', 'BU', 'GNYE'], false),
  equipment('Unit', 'indoor-unit', {
    inlets: [inlet('mains', 230, ['L', 'N', 'PE'])],
    ports: [
      port('field', 'Link', ['U1', 'U2'], { talksAs: 'responder' }),
      port('room', 'Room', ['W1', 'W2'], {
        gives: { voltage: { volts: 15, kind: 'dc' }, limitA: 0.2 },
      }),
    ],
  }),
  equipment('Wall', 'room-controller', {
    ports: [
      port('link', 'Room', ['W1', 'W2'], { talksAs: 'controller', takes: { currentA: 0.02 } }),
    ],
    supervises: [{ role: 'indoor-unit', port: 'link' }],
  }),
  equipment('Panel', 'zone-controller', {
    inlets: [inlet('supply', 24, ['V0', 'V1'])],
    ports: [port('field', 'Link', ['U1', 'U2'], { talksAs: 'controller' })],
    supervises: [{ role: 'indoor-unit', port: 'field' }],
  }),
  equipment('Supply', 'supply', {
    inlets: [inlet('primary', 230, ['L', 'N', 'PE'])],
    outlets: [outlet(false)],
  }),
  equipment('Battery', 'supply', {
    inlets: [inlet('primary', 230, ['L', 'N', 'PE'])],
    outlets: [outlet(true)],
  }),
];

function equipment(
  name: string,
  role: Equipment['role'],
  parts: Partial<Pick<Equipment, 'inlets' | 'outlets' | 'ports' | 'supervises'>>,
): Equipment {
  return {
    kind: 'equipment',
    name,
    role,
    inlets: [],
    outlets: [],
    ports: [],
    lans: [],
    supervises: [],
    crossings: [],
    cautions: [],
    ...parts,
  };
}

function inlet(name: string, volts: number, terminals: readonly string[]): Inlet {
  return {
    name,
    voltage: { volts, kind: 'ac' },
    threePhase: false,
    powerVA: 10,
    tolerancePercent: 10,
    terminals,
    dedicated: false,
    exposed: false,
    optional: false,
    isolates: false,
    doubleInsulated: false,
  };
}

function outlet(stored: boolean): Outlet {
  return {
    name: 'out',
    voltage: { volts: 24, kind: 'ac' },
    threePhase: false,
    powerVA: 100,
    terminals: ['V0', 'V1'],
    class2: false,
    selv: true,
    pelv: false,
    stored,
    decoupled: false,
  };
}

function port(
  name: string,
  busType: string,
  terminals: readonly string[],
  parts: Partial<Port>,
): Port {
  return { name, busType, terminals, ...parts };
}

function cable(name: string, count: number, colours: readonly string[], screened: boolean): Cable {
  return {
    kind: 'cable',
    name,
    cores: { count, size: { mm2: 0.75 }, conductorClass: 5 },
    colours,
    screened,
    twisted: screened,
    reelM: 100,
  };
}
