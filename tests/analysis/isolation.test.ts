/** What isolates a device, against a search over all paths, and case by case. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { factOf } from '../../src/analysis/facts.js';
import { isolationOf, isolationOfWork } from '../../src/analysis/graph/isolation.js';
import type { Isolation } from '../../src/analysis/graph/isolation.js';
import { buildSite } from '../../src/model/site.js';
import { energySites, searchAllPaths } from '../support/energy-sites.js';
import type { PathResult } from '../support/energy-sites.js';
import { siteOf } from '../support/site.js';

describe('isolation on random sites', () => {
  it('is what a search over all paths from all sources finds, for each device', () => {
    let reached = 0;
    let unlockable = 0;
    let straight = 0;
    fc.assert(
      fc.property(energySites, (site) => {
        for (const device of site.devices.values()) {
          const searched = searchAllPaths(site, [device]);
          expectSame(isolationOf(site, device), searched);
          reached += searched.points.length;
          unlockable += searched.unlockable.length;
          straight += searched.isCyclic ? 0 : 1;
        }
      }),
      { numRuns: 2000 },
    );
    // The sites are worth the search.
    expect(reached).toBeGreaterThan(2000);
    expect(unlockable).toBeGreaterThan(200);
    expect(straight).toBeGreaterThan(1000);
  });

  it('is the same for several enclosures opened together', () => {
    fc.assert(
      fc.property(energySites, (site) => {
        const devices = [...site.devices.values()].slice(0, 2);
        expectSame(isolationOfWork(site, devices), searchAllPaths(site, devices));
      }),
      { numRuns: 1000 },
    );
  });

  it('leaves nothing live: with its points open, no source reaches the device', () => {
    fc.assert(
      fc.property(energySites, (site) => {
        for (const device of site.devices.values()) {
          const isolation = isolationOf(site, device);
          if (isolation.unlockable.length > 0) {
            continue;
          }
          const open = new Set(isolation.points.map((point) => point.name));
          expect(searchAllPaths(withoutPoints(site, open), [device]).points).toEqual([]);
        }
      }),
      { numRuns: 1000 },
    );
  });

  it('does not depend on the order of declarations', () => {
    fc.assert(
      fc.property(energySites, fc.infiniteStream(fc.nat()), (site, numbers) => {
        const shuffled = [...site.entries]
          .map((entry) => ({ entry, key: numbers.next().value as number }))
          .sort((one, other) => one.key - other.key)
          .map(({ entry }) => entry);
        const other = buildSite(shuffled);
        for (const device of site.devices.values()) {
          expect(isolationOf(other, device)).toEqual(isolationOf(site, device));
        }
      }),
      { numRuns: 1000 },
    );
  });
});

const EQUIPMENT = `equipment Supply { role supply  inlet primary 230 VAC 1 A  outlet out 24 VAC 60 VA }
equipment Battery { role supply  inlet primary 230 VAC 1 A  outlet out 24 VAC 60 VA stored }
equipment Panel { role other  inlet supply 24 VAC 10 VA }
equipment Twin { role other  inlet supply 24 VAC 10 VA  inlet second 24 VAC 10 VA optional }
`;

describe('isolation case by case', () => {
  it('is the nearest lockable point; those further up are alternatives', () => {
    const site = siteOf(`${EQUIPMENT}
area A { room R }
board DB-1 { way W9 230 VAC 16 A }
board DB-2 from DB-1.W9 { way W1 230 VAC 6 A }
device PS-1 : Supply { inlet primary from DB-2.W1 }
device P-1 : Panel { inlet supply from PS-1.out }
isolator Q1 on DB-2.W1 in R lockable
isolator Q2 on PS-1.out in R
`).site;
    const isolation = isolationOf(site, site.devices.get('P-1')!);
    expect(names(isolation.points)).toEqual(['Q1']);
    expect(names(isolation.alternatives)).toEqual(['DB-1.W9', 'DB-2.W1']);
    expect(names(isolation.sources)).toEqual(['DB-1']);
    expect(factOf(site, 'P-1', 'isolate-at')).toMatchObject({ value: ['Q1'], basis: 'computed' });
  });

  it('names every source of a device with two inlets, and of a feed with two ends', () => {
    const site = siteOf(`${EQUIPMENT}
board DB-1 { way W1 230 VAC 6 A  way W2 230 VAC 6 A  way W3 230 VAC 6 A }
device PS-1 : Supply { inlet primary from DB-1.W1 }
device PS-2 : Supply { inlet primary from DB-1.W2 }
device PS-3 : Supply { inlet primary from DB-1.W3 }
device T-1 : Twin
feed F-1 from PS-1.out { land T-1.supply 5 m }
feed F-2 from PS-2.out and PS-3.out { land T-1.second 5 m  last 5 m }
`).site;
    expect(factOf(site, 'T-1', 'isolate-at')?.value).toEqual(['DB-1.W1', 'DB-1.W2', 'DB-1.W3']);
    // The feed brings the energy of the one supply back to the terminals of the other.
    expect(factOf(site, 'PS-2', 'isolate-at')?.value).toEqual(['DB-1.W2', 'DB-1.W3']);
  });

  it('is not known where a battery has no lockable point, and says which isolator would do', () => {
    const text = (isolator: string): string => `${EQUIPMENT}
area A { room R }
board DB-1 { way W1 230 VAC 6 A }
device BS-1 : Battery in R { inlet primary from DB-1.W1 }
device P-1 : Panel { inlet supply from BS-1.out }
${isolator}
`;
    const without = siteOf(text(''));
    expect(factOf(without.site, 'P-1', 'isolate-at')).toMatchObject({
      value: null,
      basis: 'unknown',
      needs: 'isolator Q-1 on BS-1.out in ROOM lockable',
    });
    expect(rulesOf(without)).toContain('isolation-unknown');
    const withIsolator = siteOf(text('isolator Q on BS-1.out in R lockable'));
    expect(factOf(withIsolator.site, 'P-1', 'isolate-at')?.value).toEqual(['Q']);
    // The battery's own terminals stay live: a hint says so, and no list of ways pretends otherwise.
    const inside = isolationOf(withIsolator.site, withIsolator.site.devices.get('BS-1')!);
    expect(names(inside.inside)).toEqual(['BS-1.out']);
    expect(
      withIsolator.findings
        .filter(({ finding }) => finding.rule === 'isolation-unknown')
        .map(({ finding }) => [finding.subject, finding.severity]),
    ).toEqual([['BS-1', 'hint']]);
  });

  it('reaches over a powered bus, a junction and a network cable', () => {
    const site = siteOf(`bustype Link { conductors 2 }
equipment Giver { role other  inlet mains 230 VAC 1 A double-insulated  port p : Link as responder { gives 15 VDC } }
equipment Taker { role other  port p : Link as controller { takes 9 mA } }
equipment Joint { role junction  port a : Link  port b : Link  passes a to b }
equipment Switch { role switch  inlet mains 230 VAC 1 A double-insulated  lan p1 { gives class 4 } }
equipment Camera { role other  lan lan { takes class 3 } }
board DB-1 { way W1 230 VAC 6 A  way W2 230 VAC 6 A }
device G-1 : Giver { inlet mains from DB-1.W1 }
device J-1 : Joint
device T-1 : Taker
device SW-1 : Switch { inlet mains from DB-1.W2 }
device C-1 : Camera
bus one : Link { land G-1.p  land J-1.a }
bus two : Link { land J-1.b  land T-1.p }
network N 10.0.0.0/24 { laptop 10.0.0.9  host SW-1.p1 10.0.0.2  host C-1.lan 10.0.0.3 from SW-1.p1 }
`).site;
    expect(factOf(site, 'T-1', 'isolate-at')?.value).toEqual(['DB-1.W1']);
    expect(factOf(site, 'J-1', 'isolate-at')?.value).toEqual(['DB-1.W1']);
    expect(factOf(site, 'C-1', 'isolate-at')?.value).toEqual(['DB-1.W2']);
  });

  it('stays open where the supply of what feeds a device is not stated', () => {
    const site = siteOf(`${EQUIPMENT}
device PS-1 : Supply
device P-1 : Panel { inlet supply from PS-1.out }
`).site;
    expect(factOf(site, 'P-1', 'isolate-at')).toMatchObject({ value: null, basis: 'unknown' });
    expect(isolationOf(site, site.devices.get('P-1')!).unstated).toEqual(['PS-1']);
    // An isolator in between is named, and the list is not called complete for that.
    const behind = siteOf(`${EQUIPMENT}
area A { room R }
device PS-1 : Supply
device P-1 : Panel { inlet supply from PS-1.out }
isolator Q1 on PS-1.out in R lockable
`).site;
    expect(factOf(behind, 'P-1', 'isolate-at')).toMatchObject({
      value: null,
      basis: 'unknown',
      terms: [{ name: 'known so far', value: 'Q1' }],
    });
    // An empty list would say that nothing has to be locked: the supply still is to come.
    expect(factOf(site, 'PS-1', 'isolate-at')).toMatchObject({ value: null, basis: 'unknown' });
  });

  it('takes boards that feed each other as live', () => {
    const site = siteOf(`${EQUIPMENT}
board DB-1 from DB-2.W1 { way W1 230 VAC 6 A }
board DB-2 from DB-1.W1 { way W1 230 VAC 6 A }
device PS-1 : Supply { inlet primary from DB-1.W1 }
`).site;
    expect(factOf(site, 'PS-1', 'isolate-at')?.value).toEqual(['DB-1.W1']);
  });
});

/**
 * Where something feeds itself, a point within the loop may be named although its energy only comes
 * round again, and where nobody states what stands behind a point, it may be live: one more lock is
 * safe, one less would not be.
 */
function expectSame(found: Isolation, searched: PathResult): void {
  const points = sortedNames(found.points);
  const mayBeMore = searched.isCyclic || found.unstated.length > 0;
  expect(mayBeMore ? points.filter((one) => searched.points.includes(one)) : points).toEqual(
    searched.points,
  );
  expect(sortedNames(found.unlockable)).toEqual(searched.unlockable);
}

function names(items: readonly { readonly name: string }[]): readonly string[] {
  return items.map((item) => item.name);
}

function sortedNames(items: readonly { readonly name: string }[]): readonly string[] {
  return [...names(items)].sort();
}

function rulesOf(site: {
  readonly findings: readonly { readonly finding: { readonly rule: string } }[];
}) {
  return site.findings.map(({ finding }) => finding.rule);
}

/** The site with ways and what stands behind isolators taken away. */
function withoutPoints(site: ReturnType<typeof buildSite>, open: ReadonlySet<string>) {
  const cut = new Set(
    [...site.isolators.values()]
      .filter((isolator) => open.has(isolator.name))
      .map((isolator) => `${isolator.on.owner}.${isolator.on.member}`),
  );
  const isOpen = (end: { readonly owner: string; readonly member: string }): boolean =>
    open.has(`${end.owner}.${end.member}`) || cut.has(`${end.owner}.${end.member}`);
  const nowhere = { owner: 'NOWHERE', member: 'NOTHING' };
  return buildSite(
    site.entries.map((entry) => {
      const { record } = entry;
      switch (record.kind) {
        case 'board':
          return record.from !== undefined && isOpen(record.from)
            ? { ...entry, record: { ...record, from: nowhere } }
            : entry;
        case 'device':
          return {
            ...entry,
            record: {
              ...record,
              inletLines: record.inletLines.map((line) =>
                isOpen(line.from) ? { ...line, from: nowhere } : line,
              ),
            },
          };
        case 'feed': {
          const ends = [record.from, ...(record.and === undefined ? [] : [record.and])];
          const left = ends.filter((end) => !isOpen(end));
          return {
            ...entry,
            record: { ...record, from: left[0] ?? nowhere, and: left[1] },
          };
        }
        default:
          return entry;
      }
    }),
  );
}
