import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { distancesToNearest } from '../../src/analysis/bus/distances.js';
import { factsOfBus } from '../../src/analysis/bus/facts.js';
import { firstBeyond, geometryOf } from '../../src/analysis/bus/geometry.js';
import { graphOf } from '../../src/analysis/bus/graph.js';
import { terminationOf } from '../../src/analysis/bus/termination.js';
import type { Bus, Landing } from '../../src/model/wiring.js';
import {
  allDistancesM,
  busNamed,
  deviceNamed,
  equipmentNamed,
  landingAt,
  linkType,
  pair,
  randomBus,
  randomLanding,
  siteFrom,
  siteOfBus,
} from '../support/bus-sites.js';

const runs = { numRuns: 1000 };
const landings = fc.array(randomLanding, { minLength: 0, maxLength: 14 });

function geometry(bus: Bus) {
  return geometryOf(siteOfBus(bus), bus);
}

function greatest(distances: readonly (readonly number[])[]): number {
  return Math.max(...distances.flat());
}

describe('the geometry of any bus', () => {
  it('has the farthest pair that trying all pairs gives, in a tree', () => {
    fc.assert(
      fc.property(landings, (drawn) => {
        const bus = randomBus(drawn);
        const all = allDistancesM(bus);
        const { one, other, lengthM } = geometry(bus).farthest!;
        expect(lengthM).toBe(greatest(all));
        expect(all[one]![other]).toBe(lengthM);
      }),
      runs,
    );
  });

  it('has the farthest pair that trying all pairs gives, around a ring with spurs', () => {
    fc.assert(
      fc.property(landings, fc.integer({ min: 0, max: 300 }), (drawn, ringM) => {
        const bus = randomBus(drawn, ringM);
        const all = allDistancesM(bus);
        const { one, other, lengthM } = geometry(bus).farthest!;
        expect(lengthM).toBe(greatest(all));
        expect(all[one]![other]).toBe(lengthM);
      }),
      runs,
    );
  });

  it('measures the way to the nearest of several places as trying all of them does', () => {
    fc.assert(
      fc.property(
        landings,
        fc.integer({ min: 0, max: 300 }),
        fc.array(fc.nat(), { minLength: 1, maxLength: 3 }),
        (drawn, ringM, picks) => {
          const bus = randomBus(drawn, ringM);
          const starts = picks.map((pick) => pick % bus.landings.length);
          const all = allDistancesM(bus);
          expect(distancesToNearest(graphOf(siteOfBus(bus), bus), starts)).toEqual(
            bus.landings.map(({ index }) =>
              Math.min(...starts.map((start) => all[start]![index]!)),
            ),
          );
        },
      ),
      runs,
    );
  });

  it('adds up every cable once', () => {
    fc.assert(
      fc.property(landings, (drawn) => {
        const { total, runningM } = geometry(randomBus(drawn));
        const sumM = drawn.reduce((sum, { lengthM }) => sum + lengthM, 0);
        expect(total).toEqual({ knownM: sumM, estimatedM: 0, unknown: [] });
        expect(runningM.at(-1) ?? 0).toBe(sumM);
        expect([...runningM]).toEqual([...runningM].sort((one, other) => one - other));
      }),
      runs,
    );
  });

  it('never gets shorter by a landing more', () => {
    fc.assert(
      fc.property(landings, randomLanding, (drawn, added) => {
        const before = geometry(randomBus(drawn));
        const after = geometry(randomBus([...drawn, added]));
        expect(after.total.knownM).toBeGreaterThanOrEqual(before.total.knownM);
        expect(after.farthest!.lengthM).toBeGreaterThanOrEqual(before.farthest!.lengthM);
        expect(after.segment.landings.length).toBe(before.segment.landings.length + 1);
      }),
      runs,
    );
  });

  it('does not hang on the order of declarations', () => {
    fc.assert(
      fc.property(
        landings,
        fc.integer({ min: 0, max: 300 }),
        fc.infiniteStream(fc.nat()),
        (drawn, ringM, chance) => {
          const bus = randomBus(drawn, ringM);
          const shuffled = siteOfBus(bus, (all) =>
            all
              .map((record) => ({ record, rank: chance.next().value as number }))
              .sort((one, other) => one.rank - other.rank)
              .map(({ record }) => record),
          );
          expect(factsOfBus(shuffled, bus)).toEqual(factsOfBus(siteOfBus(bus), bus));
        },
      ),
      runs,
    );
  });

  it('finds the first landing beyond a limit on the way', () => {
    fc.assert(
      fc.property(landings, fc.integer({ min: 0, max: 400 }), (drawn, limitM) => {
        const bus = randomBus(drawn);
        const measured = geometry(bus);
        const pair = measured.farthest!;
        const all = allDistancesM(bus);
        const found = firstBeyond(measured, pair, limitM);
        const beyond = bus.landings
          .map(({ index }) => index)
          .filter(
            (index) =>
              all[pair.one]![index]! + all[index]![pair.other]! === pair.lengthM &&
              all[pair.one]![index]! > limitM,
          )
          .map((index) => all[pair.one]![index]!);
        expect(found === undefined).toBe(pair.lengthM <= limitM);
        if (found !== undefined) {
          expect(all[pair.one]![found.position]).toBe(Math.min(...beyond));
        }
      }),
      runs,
    );
  });
});

describe('a bus that junctions cut into several', () => {
  /** A chain of D-0, D-1, … and the same chain cut behind some of its landings. */
  function cutChain(lengths: readonly number[], cuts: readonly boolean[]) {
    const whole = randomBus(lengths.map((lengthM) => ({ fromShare: 0, asSpur: false, lengthM })));
    const buses: Landing[][] = [[landingAt(0, 'D-0')]];
    const junctions: string[] = [];
    lengths.forEach((lengthM, position) => {
      const bus = buses.at(-1)!;
      if (cuts[position]) {
        // The junction takes the place of the cable's middle: all of it before, nothing behind.
        const junction = `J-${junctions.length}`;
        junctions.push(junction);
        bus.push(landingAt(bus.length, junction, { from: bus.length - 1, lengthM }));
        buses.push([
          landingAt(0, junction, { member: 'q' }),
          landingAt(1, `D-${position + 1}`, { from: 0, lengthM: 0 }),
        ]);
      } else {
        bus.push(landingAt(bus.length, `D-${position + 1}`, { from: bus.length - 1, lengthM }));
      }
    });
    const records = buses.map((of, index) => busNamed(`part-${index}`, of));
    const junction = {
      ...equipmentNamed('Junction', { talksAs: 'neither' as const }),
      role: 'junction' as const,
      ports: [
        ...equipmentNamed('Junction', { talksAs: 'neither' as const }).ports,
        { name: 'q', busType: 'Link', terminals: ['C', 'D'], talksAs: 'neither' as const },
      ],
      crossings: [{ how: 'passes' as const, from: 'p', to: 'q', renumbered: false }],
    };
    const site = siteFrom([
      linkType,
      pair,
      equipmentNamed('Sensor'),
      junction,
      ...whole.landings.map(({ device }) => deviceNamed(device, 'Sensor')),
      ...junctions.map((name) => deviceNamed(name, 'Junction')),
      ...records,
    ]);
    return { whole, site, records };
  }

  it('has the lengths, the drops and the shape of the uncut one, whichever part is asked', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 0, max: 100 }), { minLength: 1, maxLength: 10 }),
        fc.array(fc.boolean(), { minLength: 10, maxLength: 10 }),
        (lengths, cuts) => {
          const { whole, site, records } = cutChain(lengths, cuts);
          const uncut = geometry(whole);
          for (const bus of records) {
            const cut = geometryOf(site, bus);
            expect(cut.total.knownM).toBe(uncut.total.knownM);
            expect(cut.farthest!.lengthM).toBe(uncut.farthest!.lengthM);
            expect(cut.shape).toBe('chain');
            expect(
              cut.segment.ports.filter(({ resolved }) => resolved.port.talksAs === 'responder')
                .length,
            ).toBe(whole.landings.length);
            expect(cut.ends.map((node) => cut.graph.nodes[node]![0]!.landing.device)).toEqual([
              'D-0',
              `D-${lengths.length}`,
            ]);
          }
        },
      ),
      runs,
    );
  });
});

describe('terminators of any bus', () => {
  it('are each right, misplaced or too many, and each needed end is covered or reported', () => {
    const terminated = fc.array(fc.boolean(), { minLength: 15, maxLength: 15 });
    const shapes = fc.constantFrom('chain', 'tree', 'free');
    fc.assert(
      fc.property(landings, terminated, shapes, (drawn, flags, shape) => {
        const plain = randomBus(drawn);
        const bus: Bus = {
          ...plain,
          landings: plain.landings.map((one) => ({ ...one, terminated: flags[one.index]! })),
        };
        const site = siteFrom([
          { ...linkType, shape: shape as 'chain', terminate: { where: 'both-ends', ohm: 120 } },
          pair,
          equipmentNamed('Sensor'),
          ...bus.landings.map(({ device }) => deviceNamed(device, 'Sensor')),
          bus,
        ]);
        const { terminators, places, missing, misplaced, duplicate } = terminationOf(site, bus);
        if (drawn.length === 0) {
          expect(places).toEqual([]);
          return;
        }
        const needed = Math.min(2, places.length);
        const right = terminators.length - misplaced.length - duplicate.length;
        expect(right + misplaced.length + missing.length).toBe(needed);
        expect(missing.length > 0 && duplicate.length > 0).toBe(false);
        for (const { end } of misplaced) {
          expect(places).toContain(end.position);
          expect(end.landing.terminated).toBe(false);
        }
      }),
      runs,
    );
  });
});
