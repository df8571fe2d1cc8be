/** What would do: the next usual supply, the smallest conductor, the longest cable. */
import { describe, expect, it } from 'vitest';
import { nextTransformerRatingVA } from '../../src/analysis/electrical/limits.js';
import type { Finding } from '../../src/model/finding.js';
import { randomFrom, seedOfThisRun } from '../support/random.js';
import { siteOf } from '../support/site.js';

const TABLE_CLASS_5 = [0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120];

function findingOf(text: string, rule: string): Finding | undefined {
  return siteOf(text).findings.find(({ finding }) => finding.rule === rule)?.finding;
}

function factIn(finding: Finding | undefined, name: string): number | undefined {
  const value = finding?.facts.find(({ fact }) => fact === name)?.value;
  return typeof value === 'number' ? value : undefined;
}

/** A supply of 24 V that feeds one load, whose least voltage is `tolerance` below. */
function oneLoad(options: {
  readonly mm2: number;
  readonly lengthM: number;
  readonly load: string;
  readonly kind?: 'VDC' | 'VAC';
  readonly tolerance?: number;
}): string {
  const kind = options.kind ?? 'VDC';
  return `site S { conductor-temperature 20 C }
cable C { cores 2 x ${options.mm2} mm2 class 5 }
equipment Source { role supply  outlet out 24 ${kind} 100 A }
equipment Load { role other  inlet in 24 ${kind} ${options.load}${options.tolerance === undefined ? '' : ` tolerance ${options.tolerance} %`} }
device PS-1 : Source
device D-1 : Load
feed F from PS-1.out using C { land D-1.in ${options.lengthM} m }
`;
}

describe('the next usual supply', () => {
  it('B7: 125 VA with a quarter to spare are 156.25 VA, so 160 VA', () => {
    expect(nextTransformerRatingVA(125 * 1.25)).toBe(160);
    expect([25, 25.1, 320, 631].map((load) => nextTransformerRatingVA(load))).toEqual([
      25,
      40,
      320,
      undefined,
    ]);
  });

  it('is told with an overloaded outlet of alternating current', () => {
    // B7: 12 actuators of 6.5 VA, 4 controllers of 8 VA, 10 room units of 1.5 VA.
    const members = [
      ...Array.from({ length: 12 }, () => 6.5),
      ...Array.from({ length: 4 }, () => 8),
      ...Array.from({ length: 10 }, () => 1.5),
    ];
    const finding = findingOf(
      `equipment Source { role supply  outlet out 24 VAC 100 VA }
device PS-1 : Source
${members.map((va, index) => `equipment E-${index} { role other  inlet in 24 VAC ${va} VA }\ndevice D-${index} : E-${index}\n`).join('')}feed F from PS-1.out {
${members.map((_, index) => `  land D-${index}.in 1 m\n`).join('')}}
`,
      'supply-overloaded',
    );
    expect(factIn(finding, 'load')).toBe(125);
    expect(factIn(finding, 'next-supply')).toBe(160);
    expect(finding?.remedy).toContain('The next usual size of supply for this load is 160 VA.');
  });

  it('is not told of direct current, nor of a load that no usual size carries', () => {
    const text = (
      kind: string,
      load: string,
    ): string => `equipment Source { role supply  outlet out 24 ${kind} 1 A }
equipment Load { role other  inlet in 24 ${kind} ${load} }
device PS-1 : Source
device D-1 : Load
feed F from PS-1.out { land D-1.in 1 m }
`;
    for (const finding of [
      findingOf(text('VDC', '50 W'), 'supply-overloaded'),
      findingOf(text('VAC', '700 VA'), 'supply-overloaded'),
    ]) {
      expect(finding).toBeDefined();
      expect(factIn(finding, 'next-supply')).toBeUndefined();
      expect(finding?.remedy).not.toContain('usual size');
    }
  });
});

describe('the longest cable that passes', () => {
  it('B2: 48 W at no less than 20 V reach 62.66 m in 1.5 mm2 of class 5', () => {
    const text = (lengthM: number): string =>
      oneLoad({ mm2: 1.5, lengthM, load: '48 W', tolerance: 100 / 6 });
    const finding = findingOf(
      text(80).replace(/tolerance [\d.]+ %/u, 'tolerance 16.6666667 %'),
      'inlet-undervoltage',
    );
    expect(factIn(finding, 'longest-cable')).toBe(62.6);
    expect(finding?.remedy).toBe(
      'Use a larger cable (2.5 mm2 or more), shorten the cable to D-1.in to 62.6 m or less, or feed the device from a nearer supply.',
    );
  });

  it('is left out where no length of this piece would do', () => {
    const finding = findingOf(
      `site S { conductor-temperature 20 C }
cable C { cores 2 x 1.5 mm2 class 5 }
equipment Source { role supply  outlet out 24 VDC 100 A }
equipment Load { role other  inlet in 24 VDC 3 A tolerance 10 % }
device PS-1 : Source
device A : Load
device B : Load
feed F from PS-1.out using C { land A.in 40 m  land B.in 1 m }
`,
      'inlet-undervoltage',
    );
    expect(finding?.subject).toBe('A.in');
    // B is beyond help by its own metre.
    const atB = siteOf(
      `site S { conductor-temperature 20 C }
cable C { cores 2 x 1.5 mm2 class 5 }
equipment Source { role supply  outlet out 24 VDC 100 A }
equipment Load { role other  inlet in 24 VDC 3 A tolerance 10 % }
equipment Tough { role other  inlet in 24 VDC 3 A }
device PS-1 : Source
device A : Tough
device B : Load
feed F from PS-1.out using C { land A.in 40 m  land B.in 1 m }
`,
    ).findings.find((one) => one.finding.rule === 'inlet-undervoltage')?.finding;
    expect(atB?.subject).toBe('B.in');
    expect(factIn(atB, 'longest-cable')).toBeUndefined();
    // 6 A over 80 m and 3 A over 2 m may lose 2.4 V: up to 4.938 ohm/km, and 4 mm2 has 4.95.
    expect(atB?.remedy).toBe(
      'Use a larger cable (6 mm2 or more), or feed the device from a nearer supply.',
    );
  });
});

describe('on random lines', () => {
  const seed = seedOfThisRun();

  it(`the told conductor and length pass, and the ones next to them do not, seed ${seed}`, () => {
    const random = randomFrom(seed);
    let sizes = 0;
    let lengths = 0;
    for (let run = 0; run < 150; run += 1) {
      const kind = random.pick(['VDC', 'VAC'] as const);
      const mm2 = random.pick(TABLE_CLASS_5.slice(0, 8));
      const lengthM = random.integer(20, 300);
      const lag = kind === 'VAC' && random.next() < 0.5 ? ' power-factor 0.8' : '';
      const load = `${random.pick(['2 A', '40 VA', '25 W draws resistive', '5 A'])}${lag}`;
      const tolerance = random.pick([5, 10, 15]);
      const fails = (size: number, metres: number): boolean =>
        siteOf(oneLoad({ mm2: size, lengthM: metres, load, kind, tolerance })).findings.some(
          ({ finding }) => ['inlet-undervoltage', 'voltage-collapse'].includes(finding.rule),
        );
      const text = oneLoad({ mm2, lengthM, load, kind, tolerance });
      const finding = findingOf(text, 'inlet-undervoltage');
      const smallest = factIn(finding, 'smallest-conductor');
      if (smallest !== undefined) {
        sizes += 1;
        const told = `${text}${finding!.remedy}`;
        expect(fails(smallest, lengthM), told).toBe(false);
        const before = TABLE_CLASS_5[TABLE_CLASS_5.indexOf(smallest) - 1]!;
        expect(before === mm2 || fails(before, lengthM), told).toBe(true);
      }
      const longest = factIn(finding, 'longest-cable');
      if (longest !== undefined) {
        lengths += 1;
        expect(fails(mm2, longest)).toBe(false);
        expect(fails(mm2, Number((longest + 0.101).toFixed(3)))).toBe(true);
      }
    }
    expect(sizes).toBeGreaterThan(20);
    expect(lengths).toBeGreaterThan(20);
  });
});

describe('the remedies of other rules', () => {
  it('tell a conductor and a length for a drop, a collapse, a blind protection and a bus', () => {
    const drop = findingOf(
      oneLoad({ mm2: 1, lengthM: 40, load: '2 A' }).replace(
        '20 C }',
        '20 C  limit voltage-drop 5 % }',
      ),
      'voltage-drop-excessive',
    );
    // 1.2 V at 2 A are 0.6 ohm: 4.95 ohm/km over 2 x 40 m have 0.396, 7.98 have 0.638.
    expect(factIn(drop, 'smallest-conductor')).toBe(4);
    expect(factIn(drop, 'longest-cable')).toBe(15.3);
    const collapse = findingOf(oneLoad({ mm2: 1, lengthM: 300, load: '40 W' }), 'voltage-collapse');
    // Pmax = 24²/4R: R up to 3.6 ohm.
    expect(factIn(collapse, 'smallest-conductor')).toBe(2.5 + 1.5);
    expect(factIn(collapse, 'longest-cable')).toBe(92.3);
    const blind = findingOf(
      oneLoad({ mm2: 1, lengthM: 50, load: '1 A' }).replace(
        '100 A',
        '4 A resistance 0.05 ohm protected 4 A curve B',
      ),
      'protection-blind',
    );
    // B9: beyond 17.3 m of 1.0 mm2 at 70 °C a B4 may only trip thermally.
    expect(factIn(blind, 'longest-cable')).toBe(17.2);
    expect(factIn(blind, 'smallest-conductor')).toBe(4);
    const bus = findingOf(
      `site S { conductor-temperature 20 C }
cable C { cores 2 x 0.75 mm2 class 5 }
bustype Link { conductors 2  power 16 VDC minimum 14 VDC  cable 0.5 mm2 .. 1.5 mm2 }
equipment Giver { role supply  port p : Link as neither { gives 16 VDC up to 250 mA } }
equipment Taker { role other  port p : Link as responder { takes 250 mA } }
device G : Giver
device T : Taker
bus b : Link using C { land G.p  land T.p 290 m }
`,
      'bus-power-undervoltage',
    );
    // D3: 153.8 m in 0.75 mm2, 300.75 m in 1.5 mm2.
    expect(factIn(bus, 'longest-cable')).toBe(153.8);
    expect(factIn(bus, 'smallest-conductor')).toBe(1.5);
  });

  it('do not go beyond what a bus type allows', () => {
    const bus = findingOf(
      `site S { conductor-temperature 20 C }
cable C { cores 2 x 0.75 mm2 class 5 }
bustype Link { conductors 2  power 16 VDC minimum 14 VDC  cable 0.5 mm2 .. 1 mm2 }
equipment Giver { role supply  port p : Link as neither { gives 16 VDC up to 250 mA } }
equipment Taker { role other  port p : Link as responder { takes 250 mA } }
device G : Giver
device T : Taker
bus b : Link using C { land G.p  land T.p 290 m }
`,
      'bus-power-undervoltage',
    );
    expect(factIn(bus, 'smallest-conductor')).toBeUndefined();
    expect(bus?.remedy).toBe(
      'Shorten the cable to T.p to 153.8 m or less, or put the source in the middle or split the bus: no larger conductor would do.',
    );
  });

  it('tell the gauge where the cable has one, and the conductor for a current', () => {
    const gauge = findingOf(
      oneLoad({ mm2: 1, lengthM: 40, load: '2 A', tolerance: 5 }).replace(
        '2 x 1 mm2 class 5',
        '2 x 18 AWG',
      ),
      'inlet-undervoltage',
    );
    // 1.2 V at 2 A over 80 m: up to 7.5 ohm/km, so 12 AWG (5.2), for 14 AWG has 8.3.
    expect(gauge?.remedy).toContain('(12 AWG or more)');
    const current = findingOf(
      oneLoad({ mm2: 1, lengthM: 2, load: '12 A' }),
      'conductor-undersized',
    );
    // 13.1 A in 1.5 mm2 (from memory), 10.1 A in 1 mm2.
    expect(current?.remedy).toBe(
      'Use a larger cable (1.5 mm2 or more), or move load to another supply.',
    );
    expect(current?.severity).toBe('warning');
  });
});
