/**
 * Cables core by core. Green-yellow for the protective conductor alone, blue for neutral: IEC 60445
 * (from memory). Colour codes: IEC 60757. Identification at both ends: IEC 62491.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bandOf, cablesOfSite } from '../../src/analysis/cabling/cables.js';
import type { SiteCable } from '../../src/analysis/cabling/cables.js';
import { coresOf } from '../../src/analysis/cabling/cores.js';
import type { Site } from '../../src/model/site.js';
import {
  poweredPlans,
  recordsOfPlan,
  siteOfPlan,
  siteOfRecords,
} from '../support/powered-sites.js';
import { siteOf } from '../support/site.js';

const templates = `
bustype Link { conductors 2 polarised }
bustype Three { conductors 3 }
cable Pair { cores 2 x 0.75 mm2 colours BK, WH screened }
cable Four { cores 4 x 0.75 mm2 colours BN, WH, BU, BK }
cable One { cores 1 x 0.75 mm2 colours BK }
cable Power { cores 3 x 1.5 mm2 colours BN, BU, GNYE }
cable Five { cores 5 x 2.5 mm2 colours GNYE, BU, BN, BK, GY }
equipment Unit {
  role indoor-unit
  inlet mains 230 VAC 1 A terminals PE, N, L
  inlet low 24 VDC 1 A terminals V0, V1
  port p : Link terminals A, B as responder
  port t : Three terminals D0, D1, COM as responder
  port s : Link terminals A, B as responder screen S
}
equipment Big {
  role outdoor-unit
  inlet mains 400 VAC three-phase 9 A terminals L1, L2, L3, N, PE
}
equipment Supply {
  role supply
  inlet primary 230 VAC 1 A terminals L, N, PE
  outlet out 24 VDC 4 A terminals "+", "-"
}
board DB { way W1 230 VAC 10 A
           way W2 400 VAC three-phase 16 A
           way W9 230 VAC 20 A }
`;

describe('cores of a mains line', () => {
  it('go by the names of the terminals, green-yellow to PE and blue to N', () => {
    const site = read('device U : Unit { inlet mains from DB.W1 using Power 5 m }');
    expect(rows(site)).toEqual([
      'DB.W1/U GNYE DB.W1.PE PE>PE protective-earth',
      'DB.W1/U BU DB.W1.N N>N conductor',
      'DB.W1/U BN DB.W1.L L>L conductor',
    ]);
  });

  it('take three phases in the order of the cable', () => {
    const site = read('device B : Big { inlet mains from DB.W2 using Five 5 m }');
    expect(rows(site)).toEqual([
      'DB.W2/B BN DB.W2.L1 L1>L1 conductor',
      'DB.W2/B BK DB.W2.L2 L2>L2 conductor',
      'DB.W2/B GY DB.W2.L3 L3>L3 conductor',
      'DB.W2/B BU DB.W2.N N>N conductor',
      'DB.W2/B GNYE DB.W2.PE PE>PE protective-earth',
    ]);
  });

  it('are listed terminal by terminal where no cable is stated', () => {
    const site = read('device U : Unit { inlet mains from DB.W1 }');
    expect(rows(site)).toEqual([
      'DB.W1/U - DB.W1.PE PE>PE core-missing',
      'DB.W1/U - DB.W1.N N>N core-missing',
      'DB.W1/U - DB.W1.L L>L core-missing',
    ]);
  });
});

describe('cores of a feed', () => {
  it('never use green-yellow for anything but PE', () => {
    const site = read(`
device PS : Supply
device U : Unit
feed F from PS.out using Power { land U.low 4 m }`);
    expect(rows(site)).toEqual([
      'F/U BN F.1 +>V0 conductor',
      'F/U BU F.2 ->V1 conductor',
      'F/U GNYE - spare',
    ]);
  });

  it('have a cable of their own to a second outlet', () => {
    const site = read(`
device PS-1 : Supply
device PS-2 : Supply
device U : Unit
feed F from PS-1.out and PS-2.out using Four { land U.low 4 m  last 6 m }`);
    expect(cablesOfSite(site).map(({ id, lengthM }) => `${id} ${lengthM}`)).toEqual([
      'F/U 4',
      'F/PS-2 6',
    ]);
    expect(rows(site).filter((row) => row.startsWith('F/PS-2'))[0]).toBe(
      'F/PS-2 BN F.1 V0>+ conductor',
    );
  });
});

describe('cores of a bus', () => {
  const two = 'device U1 : Unit\ndevice U2 : Unit\ndevice U3 : Unit\n';

  it('leave what is over as spare and follow the screen from end to end', () => {
    const site = read(`${two}bus b : Link using Pair {
      land U1.p bonded
      land U2.p 3 m using Four
      land U3.p 3 m
    }`);
    expect(rows(site)).toEqual([
      'b/U2 BN b.1 A>A conductor',
      'b/U2 WH b.2 B>B conductor',
      'b/U2 BU - spare',
      'b/U2 BK - spare',
      'b/U3 BK b.1 A>A conductor',
      'b/U3 WH b.2 B>B conductor',
      'b/U3 - b.S screen insulated/insulated',
    ]);
  });

  it('bond the screen where the landing says so, and join it through where another one goes on', () => {
    const site = read(`${two}bus b : Link using Pair {
      land U1.p bonded
      land U2.p 3 m
      land U3.s 3 m
    }`);
    expect(rows(site).filter((row) => row.includes('screen'))).toEqual([
      'b/U2 - b.S screen bonded/carried-through',
      'b/U3 - b.S >S screen carried-through/landed',
    ]);
  });

  it('cross where one landing takes its cores in another order', () => {
    const site = read(`${two}bus b : Link using Pair {
      land U1.p
      land U2.p 3 m cores WH, BK
      land U3.p 3 m
    }`);
    expect(rows(site).filter((row) => row.includes('conductor'))).toEqual([
      'b/U2 BK b.1 A>B conductor crossed',
      'b/U2 WH b.2 B>A conductor crossed',
      'b/U3 WH b.2 A>B conductor crossed',
      'b/U3 BK b.1 B>A conductor crossed',
    ]);
  });

  it('are missing where the cable has fewer than the terminals', () => {
    const site = read(`${two}bus b : Three using Pair { land U1.t  land U2.t 3 m }`);
    expect(rows(site)).toEqual([
      'b/U2 BK b.1 D0>D0 conductor',
      'b/U2 WH b.2 D1>D1 conductor',
      'b/U2 - b.3 COM>COM core-missing',
      'b/U2 - b.S screen insulated/insulated',
    ]);
  });

  it('come back to the first landing in a ring', () => {
    const site = read(
      `${two}bus b : Link using Pair { land U1.p  land U2.p 3 m  land U3.p 3 m  ring 5 m }`,
    );
    expect(cablesOfSite(site).map(({ id, closesRing }) => `${id} ${closesRing}`)).toEqual([
      'b/U2 false',
      'b/U3 false',
      'b/U1 true',
    ]);
  });
});

describe('names of cables', () => {
  it('are told apart by the member where a device is reached twice', () => {
    const site = read(`device U : Unit { inlet mains from DB.W1  inlet low from DB.W1 }`);
    expect(cablesOfSite(site).map((cable) => cable.id)).toEqual(['DB.W1/U.mains', 'DB.W1/U.low']);
  });

  it('are unique in any site', () => {
    fc.assert(
      fc.property(poweredPlans, (plan) => {
        const ids = cablesOfSite(siteOfPlan(plan)).map((cable) => cable.id);
        expect(new Set(ids).size).toBe(ids.length);
      }),
      { numRuns: 1000 },
    );
  });

  it('and wire numbers stay when a device is added to a bus', () => {
    fc.assert(
      fc.property(poweredPlans, fc.nat({ max: 9 }), (plan, at) => {
        const records = recordsOfPlan(plan);
        const before = siteOfRecords(records);
        const added = siteOfRecords(
          records.flatMap((record) => {
            if (record.kind === 'device' && record.name === 'FC-0') {
              return [record, { ...record, name: 'FC-90' }];
            }
            if (record.kind !== 'bus' || record.name !== 'field-0') {
              return [record];
            }
            const position = Math.min(at, record.landings.length);
            const one = { ...record.landings[0]!, device: 'FC-90' };
            const landings = record.landings.toSpliced(position, 0, one).map((landing, index) => {
              const { from: _, ...rest } = landing;
              return { ...rest, index, ...(index === 0 ? {} : { from: index - 1 }) };
            });
            return [{ ...record, landings }];
          }),
        );
        const after = numbersById(added);
        for (const [id, numbers] of numbersById(before)) {
          if (after.has(id)) {
            expect(after.get(id)).toEqual(numbers);
          }
        }
        const gone = [...numbersById(before).keys()].filter((id) => !after.has(id));
        // Only the cable that led to what is now the second landing may lose its name.
        expect(gone.length).toBeLessThanOrEqual(1);
      }),
      { numRuns: 1000 },
    );
  });
});

describe('bandOf', () => {
  it.each([
    [{ volts: 50, kind: 'ac' as const }, 'extra-low'],
    [{ volts: 50.1, kind: 'ac' as const }, 'mains'],
    [{ volts: 120, kind: 'dc' as const }, 'extra-low'],
    [{ volts: 121, kind: 'dc' as const }, 'mains'],
    [{ volts: 60 }, 'mains'],
    [undefined, 'unknown'],
  ])('%j is %s (IEC 61140: 50 V AC, 120 V DC)', (voltage, band) => {
    expect(bandOf(voltage)).toBe(band);
  });
});

function read(text: string): Site {
  return siteOf(templates + text).site;
}

function rows(site: Site): string[] {
  return cablesOfSite(site).flatMap((cable) =>
    coresOf(site, cable).map((core) =>
      [
        cable.id,
        core.core === '' ? '-' : core.core,
        core.wireNumber,
        core.kind === 'spare' || (core.fromTerminal === undefined && core.toTerminal === undefined)
          ? core.kind === 'spare'
            ? '-'
            : ''
          : `${core.fromTerminal ?? ''}>${core.toTerminal ?? ''}`,
        core.kind,
        core.fromScreen === undefined ? '' : `${core.fromScreen}/${core.toScreen}`,
        core.crossed ? 'crossed' : '',
      ]
        .filter((text) => text !== '')
        .join(' '),
    ),
  );
}

function numbersById(site: Site): ReadonlyMap<string, readonly string[]> {
  return new Map(
    cablesOfSite(site).map((cable: SiteCable) => [
      cable.id,
      coresOf(site, cable).map((core) => core.wireNumber),
    ]),
  );
}
