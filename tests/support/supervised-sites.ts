/** Random sites of trunks, zones, relays, repeaters, panels and fan units, for property tests. */
import fc from 'fast-check';
import type { Crossing, Equipment, Port, Supervises } from '../../src/model/equipment.js';
import type { Declaration, Device } from '../../src/model/records.js';
import { buildSite } from '../../src/model/site.js';
import type { Site } from '../../src/model/site.js';
import type { Bus, Landing } from '../../src/model/wiring.js';

/** One device of a random site: where its ports are landed, and its address. */
export interface Planned {
  readonly equipment: 'Fan' | 'Panel' | 'Relay' | 'Renumbering' | 'Repeater';
  /** Bus numbers of its first and second port. */
  readonly first: number;
  readonly second: number;
  readonly address: number | undefined;
}

export const addressRange = { from: 1, to: 12, except: [4] } as const;

/** Up to 16 devices on up to 5 buses. All buses are of one type, so relays may even run in circles. */
export const plannedSites: fc.Arbitrary<readonly Planned[]> = fc.array(
  fc.record({
    equipment: fc.constantFrom(
      'Fan' as const,
      'Fan' as const,
      'Fan' as const,
      'Panel' as const,
      'Relay' as const,
      'Renumbering' as const,
      'Repeater' as const,
    ),
    first: fc.integer({ min: 0, max: 4 }),
    second: fc.integer({ min: 0, max: 4 }),
    address: fc.option(fc.integer({ min: 1, max: 12 }), { nil: undefined }),
  }),
  { minLength: 1, maxLength: 16 },
);

/** The declarations of a planned site: the bus type, equipment, devices D0, D1 … and buses B0, B1 … */
export function declarationsOf(plan: readonly Planned[]): readonly Declaration[] {
  const landings = new Map<number, Landing[]>();
  const land = (bus: number, device: string, member: string): void => {
    const list = landings.get(bus) ?? [];
    list.push(landing(list.length, device, member));
    landings.set(bus, list);
  };
  const devices = plan.map(({ equipment, first, second, address }, index) => {
    land(first, `D${index}`, 'a');
    if (equipment !== 'Fan' && equipment !== 'Panel') {
      land(second, `D${index}`, 'b');
    }
    return device(`D${index}`, equipment, address);
  });
  const buses = [...landings].map(([number, list]) => bus(`B${number}`, list));
  return [
    {
      kind: 'bustype',
      name: 'Link',
      polarised: false,
      lengthLimitM: {},
      addresses: addressRange,
      controllers: 99,
    },
    ...templates,
    ...devices,
    ...buses,
  ];
}

export function siteFrom(declarations: readonly Declaration[]): Site {
  return buildSite(
    declarations.map((record) => ({ id: 'name' in record ? record.name : record.kind, record })),
  );
}

const templates: readonly Equipment[] = [
  equipment('Fan', 'indoor-unit', ['a']),
  equipment('Panel', 'zone-controller', ['a'], [], [{ role: 'indoor-unit', port: 'a' }]),
  equipment('Relay', 'gateway', ['a', 'b'], [crossing('relays')]),
  equipment('Renumbering', 'gateway', ['a', 'b'], [{ ...crossing('relays'), renumbered: true }]),
  equipment('Repeater', 'repeater', ['a', 'b'], [crossing('repeats')]),
];

function crossing(how: Crossing['how']): Crossing {
  return { how, from: 'a', to: 'b', renumbered: false };
}

function equipment(
  name: string,
  role: Equipment['role'],
  ports: readonly string[],
  crossings: readonly Crossing[] = [],
  supervises: readonly Supervises[] = [],
): Equipment {
  return {
    kind: 'equipment',
    name,
    role,
    inlets: [],
    outlets: [],
    ports: ports.map((port): Port => ({
      name: port,
      busType: 'Link',
      terminals: [],
      // A repeater has no address of its own.
      talksAs: name === 'Repeater' ? 'neither' : name === 'Panel' ? 'controller' : 'responder',
    })),
    lans: [],
    supervises,
    crossings,
    cautions: [],
  };
}

function device(name: string, equipmentName: string, address: number | undefined): Device {
  return {
    kind: 'device',
    name,
    equipment: equipmentName,
    existing: false,
    main: false,
    addresses: address === undefined ? [] : [{ index: 0, address }],
    inletLines: [],
  };
}

function bus(name: string, landings: readonly Landing[]): Bus {
  return { kind: 'bus', name, busType: 'Link', existing: false, landings };
}

function landing(index: number, deviceName: string, member: string): Landing {
  return {
    index,
    device: deviceName,
    member,
    ...(index === 0 ? {} : { from: index - 1, lengthM: 1 }),
    opensSpur: false,
    terminated: false,
    bonded: false,
    covered: false,
    existing: false,
  };
}
