/** Random buses as plain records, and slow computations of the same values to compare with. */
import fc from 'fast-check';
import type { BusType, Cable, Equipment, Port } from '../../src/model/equipment.js';
import type { Declaration, Device } from '../../src/model/records.js';
import { buildSite, nameOf } from '../../src/model/site.js';
import type { Site } from '../../src/model/site.js';
import type { Bus, Landing } from '../../src/model/wiring.js';

/** One landing of a random bus: where it hangs and over how much cable. */
export interface RandomLanding {
  /** What its cable comes from, as a share of the landings before it. */
  readonly fromShare: number;
  readonly asSpur: boolean;
  readonly lengthM: number;
}

export const randomLanding: fc.Arbitrary<RandomLanding> = fc.record({
  fromShare: fc.double({ min: 0, max: 0.999, noNaN: true }),
  asSpur: fc.boolean(),
  lengthM: fc.integer({ min: 0, max: 200 }),
});

export const linkType: BusType = {
  kind: 'bustype',
  name: 'Link',
  polarised: false,
  shape: 'free',
  lengthLimitM: {},
};

export const pair: Cable = {
  kind: 'cable',
  name: 'Pair',
  cores: { count: 2, size: { mm2: 0.75 }, conductorClass: 5 },
  colours: ['BK', 'WH'],
  screened: false,
  twisted: true,
};

/** An equipment with one port named `p` on the link. */
export function equipmentNamed(name: string, port: Partial<Port> = {}): Equipment {
  return {
    kind: 'equipment',
    name,
    role: 'sensor',
    inlets: [],
    outlets: [],
    ports: [{ name: 'p', busType: 'Link', terminals: ['A', 'B'], talksAs: 'responder', ...port }],
    lans: [],
    supervises: [],
    crossings: [],
    cautions: [],
  };
}

export function deviceNamed(name: string, equipment: string): Device {
  return {
    kind: 'device',
    name,
    equipment,
    existing: false,
    main: false,
    addresses: [],
    inletLines: [],
  };
}

export function landingAt(index: number, device: string, rest: Partial<Landing> = {}): Landing {
  return {
    index,
    device,
    member: 'p',
    opensSpur: false,
    terminated: false,
    bonded: false,
    covered: false,
    existing: false,
    ...rest,
  };
}

export function busNamed(name: string, landings: readonly Landing[], rest: Partial<Bus> = {}): Bus {
  return {
    kind: 'bus',
    name,
    busType: 'Link',
    cable: 'Pair',
    existing: false,
    landings,
    ...rest,
  };
}

/** A site of one bus over devices D-0, D-1, … */
export function siteOfBus(
  bus: Bus,
  order: (all: Declaration[]) => Declaration[] = (all) => all,
): Site {
  return siteFrom(
    order([
      linkType,
      pair,
      equipmentNamed('Sensor'),
      ...bus.landings.map(({ device }) => deviceNamed(device, 'Sensor')),
      bus,
    ]),
  );
}

export function siteFrom(records: readonly Declaration[]): Site {
  return buildSite(records.map((record, index) => ({ id: nameOf(record) ?? `d${index}`, record })));
}

/**
 * A bus whose landings hang as drawn: one that is no spur follows the last landing of the main
 * line; a spur leaves any landing before it and holds one landing.
 */
export function randomBus(drawn: readonly RandomLanding[], ringM?: number): Bus {
  let main = 0;
  let spurs = 0;
  const landings = [
    landingAt(0, 'D-0'),
    ...drawn.map(({ fromShare, asSpur, lengthM }, position) => {
      const index = position + 1;
      const from = asSpur ? Math.floor(fromShare * index) : main;
      const landing = landingAt(index, `D-${index}`, {
        from,
        lengthM,
        ...(asSpur ? { spur: spurs++, opensSpur: true } : {}),
      });
      main = asSpur ? main : index;
      return landing;
    }),
  ];
  return busNamed('link', landings, ringM === undefined ? {} : { ring: { lengthM: ringM } });
}

/** All shortest distances by Floyd and Warshall, from the records alone. */
export function allDistancesM(bus: Bus): readonly (readonly number[])[] {
  const count = bus.landings.length;
  const distances = Array.from({ length: count }, (_, one) =>
    Array.from({ length: count }, (__, other) => (one === other ? 0 : Number.POSITIVE_INFINITY)),
  );
  const join = (one: number, other: number, lengthM: number): void => {
    const least = Math.min(distances[one]![other]!, lengthM);
    distances[one]![other] = least;
    distances[other]![one] = least;
  };
  for (const { index, from, lengthM } of bus.landings) {
    if (from !== undefined) {
      join(from, index, lengthM!);
    }
  }
  const last = bus.landings.findLast(({ spur }) => spur === undefined)!.index;
  if (bus.ring !== undefined && last !== 0) {
    join(last, 0, bus.ring.lengthM!);
  }
  for (let over = 0; over < count; over += 1) {
    for (let one = 0; one < count; one += 1) {
      for (let other = 0; other < count; other += 1) {
        const throughM = distances[one]![over]! + distances[over]![other]!;
        if (throughM < distances[one]![other]!) {
          distances[one]![other] = throughM;
        }
      }
    }
  }
  return distances;
}
