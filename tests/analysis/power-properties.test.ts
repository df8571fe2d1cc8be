/** What holds for every site: more load never raises a voltage, and order in the text plays no part. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  factsOfDevicePower,
  factsOfFeed,
  factsOfPoweredBus,
} from '../../src/analysis/power/facts.js';
import { factsOfOutlet, factsOfWay } from '../../src/analysis/power/facts.js';
import { inletStatesOf, voltagesOfBus } from '../../src/analysis/power/voltages.js';
import { isolationOf } from '../../src/analysis/graph/isolation.js';
import type { Fact } from '../../src/model/finding.js';
import type { Declaration } from '../../src/model/records.js';
import { buildSite } from '../../src/model/site.js';
import type { Site } from '../../src/model/site.js';
import { poweredPlans, siteOfPlan } from '../support/powered-sites.js';
import { randomBusCase, randomFeedCase } from '../support/power-sites.js';
import type { PowerCase } from '../support/power-sites.js';
import { randomFrom } from '../support/random.js';
import { memoryFiles } from '../../src/workbench/files.js';
import { Workbench } from '../../src/workbench/workbench.js';

const RUNS = 1000;
const cases: fc.Arbitrary<PowerCase> = fc
  .tuple(fc.nat(), fc.boolean())
  .map(([seed, isBus]) => (isBus ? randomBusCase : randomFeedCase)(randomFrom(seed)));

describe('for every site', () => {
  it('more load never raises a voltage (loads of one power factor)', () => {
    let compared = 0;
    fc.assert(
      fc.property(
        // With several power factors a lagging load can turn the voltage so that others drop less.
        cases.filter(({ isUniform }) => isUniform),
        fc.nat(),
        fc.double({ min: 1.01, max: 3, noNaN: true }),
        ({ text, nodes }, which, growth) => {
          const site = opened(text);
          const subjects = [...nodes.keys()];
          const grown = withMoreLoad(site, subjects[which % subjects.length]!, growth);
          const before = voltagesOf(site);
          const after = voltagesOf(grown);
          for (const subject of subjects) {
            const beforeV = before.get(subject);
            const afterV = after.get(subject);
            // None means here that no operating point is left: the most that more load can do.
            if (beforeV === undefined) {
              expect(afterV).toBeUndefined();
            } else if (afterV !== undefined) {
              expect(afterV).toBeLessThanOrEqual(beforeV * (1 + 1e-9));
              compared += 1;
            }
          }
        },
      ),
      { numRuns: RUNS },
    );
    expect(compared).toBeGreaterThan(RUNS);
  });

  it('facts do not depend on the order of declarations', () => {
    fc.assert(
      fc.property(
        fc.oneof(
          cases.map(({ text }) => opened(text)),
          poweredPlans.map(siteOfPlan),
        ),
        fc.nat(),
        (site, seed) => {
          const shuffled = buildSite(inRandomOrder(site, seed));
          expect(factsOf(shuffled)).toEqual(factsOf(site));
          for (const device of site.devices.values()) {
            expect(isolationOf(shuffled, device)).toEqual(isolationOf(site, device));
          }
        },
      ),
      { numRuns: RUNS },
    );
  });

  it('a site with pieces missing gives facts with gaps, and nothing throws', () => {
    fc.assert(
      fc.property(poweredPlans.map(siteOfPlan), fc.nat(), (site, seed) => {
        const random = randomFrom(seed);
        const left = buildSite(site.entries.filter(() => random.next() < 0.8));
        for (const fact of factsOf(left)) {
          expect(typeof fact.value === 'number' ? Number.isFinite(fact.value) : true).toBe(true);
          expect(fact.value === null || fact.basis !== 'unknown').toBe(true);
        }
      }),
      { numRuns: RUNS },
    );
  });
});

/** The site of a text, without judging it. */
function opened(text: string): Site {
  const open = new Workbench(memoryFiles({ 'site.ferrule': text })).open('site.ferrule');
  if ('failed' in open) {
    throw new Error(`the text did not open:\n${text}`);
  }
  return open.site;
}

function voltagesOf(site: Site): ReadonlyMap<string, number> {
  return new Map([
    ...[...site.buses.values()].flatMap((bus) =>
      voltagesOfBus(site, bus).map((one) => [one.subject, one.voltageV] as const),
    ),
    ...[...site.devices.values()].flatMap((device) =>
      inletStatesOf(site, device).flatMap(({ voltage }) =>
        voltage === undefined ? [] : [[voltage.subject, voltage.voltageV] as const],
      ),
    ),
  ]);
}

/** Every fact about power, by kind and name. */
function factsOf(site: Site): readonly Fact[] {
  const named = <Item extends { readonly name: string }>(items: ReadonlyMap<string, Item>) =>
    [...items.values()].sort((one, other) => (one.name < other.name ? -1 : 1));
  return [
    ...named(site.buses).flatMap((bus) => factsOfPoweredBus(site, bus)),
    ...named(site.feeds).flatMap((feed) => factsOfFeed(site, feed)),
    ...named(site.boards).flatMap((board) =>
      board.ways.flatMap((way) => factsOfWay(site, board, way)),
    ),
    ...named(site.devices).flatMap((device) => [
      ...factsOfDevicePower(site, device),
      ...(site.equipment.get(device.equipment)?.outlets ?? []).flatMap((outlet) =>
        factsOfOutlet(site, device, outlet),
      ),
    ]),
  ];
}

function inRandomOrder(site: Site, seed: number) {
  const random = randomFrom(seed);
  return [...site.entries]
    .map((entry) => ({ entry, key: random.next() }))
    .sort((one, other) => one.key - other.key)
    .map(({ entry }) => entry);
}

/** The figures of one inlet or port are multiplied. */
function withMoreLoad(site: Site, subject: string, growth: number): Site {
  const [device, member] = subject.split('.') as [string, string];
  const name = site.devices.get(device)?.equipment;
  const grow = (figure: number | undefined): number | undefined =>
    figure === undefined ? undefined : figure * growth;
  return buildSite(
    site.entries.map((entry) => {
      const { record } = entry;
      if (record.kind !== 'equipment' || record.name !== name) {
        return entry;
      }
      const changed = {
        ...record,
        inlets: record.inlets.map((inlet) =>
          inlet.name === member
            ? {
                ...inlet,
                currentA: grow(inlet.currentA),
                powerVA: grow(inlet.powerVA),
                powerW: grow(inlet.powerW),
              }
            : inlet,
        ),
        ports: record.ports.map((port) =>
          port.name === member && port.takes !== undefined
            ? {
                ...port,
                takes: {
                  currentA: grow(port.takes.currentA),
                  powerW: grow(port.takes.powerW),
                },
              }
            : port,
        ),
      };
      return { ...entry, record: changed as Declaration };
    }),
  );
}
