/** Power over network cables: the published classes, budgets, and what is not known. */
import { describe, expect, it } from 'vitest';
import { factOf, factsOf } from '../../src/analysis/facts.js';
import { gaugeResistance } from '../../src/analysis/electrical/conductors.js';
import { poeClassOf } from '../../src/analysis/electrical/poe-classes.js';
import vectors from '../reference/vectors.json' with { type: 'json' };
import { siteOf } from '../support/site.js';

interface ClassVector {
  readonly id: string;
  readonly inputs: { readonly vs: number; readonly r: number; readonly p: number };
  readonly expect: { readonly v: number | null; readonly pSource?: number };
  readonly tol: number;
}

const classVectors = (vectors as unknown as readonly ClassVector[]).filter(({ id }) =>
  id.startsWith('B2-poe'),
);

/** A switch with a socket of each class and a camera of one, on a cable of the given resistance. */
function siteText(options: {
  readonly given: number;
  readonly taken: number;
  readonly lengthM: number;
  readonly host?: string;
}): string {
  const { given, taken, lengthM } = options;
  const line = options.host ?? `from SW-1.p1 using Data ${lengthM} m`;
  return `site S { conductor-temperature 20 C }
cable Data { cores 8 x 24 AWG }
equipment Switch { role switch  inlet supply 230 VAC 0.1 A terminals L, N, PE  lan p1 { gives class ${given} }  lan p2 { gives class ${given} }  lan p9  poe-budget 40 W }
equipment Camera { role other  lan lan { takes class ${taken} } }
board DB { way W1 230 VAC 6 A curve B }
device SW-1 : Switch { inlet supply from DB.W1 }
device C-1 : Camera
network N 10.0.0.0/24 {
  host C-1.lan 10.0.0.3 ${line}
  laptop 10.0.0.9
}
`;
}

/** The length of two or four pairs of 24 AWG that have a resistance at 20 °C. */
function lengthOfM(ohm: number, pairs: 2 | 4): number {
  return (1000 * ohm * (pairs === 4 ? 2 : 1)) / gaugeResistance(24)!.ohmPerKm;
}

describe('the classes of IEEE 802.3', () => {
  it('are all among the reference values', () => {
    expect(classVectors.map(({ id }) => id)).toHaveLength(8);
  });

  for (const { id, inputs, expect: expected, tol } of classVectors) {
    it(`${id}: socket at its least voltage, device at its class power`, () => {
      const classNumber = Number(/(\d)$/u.exec(id)![1]);
      const poeClass = poeClassOf(classNumber)!;
      expect(poeClass).toMatchObject({
        sourceMinimumV: inputs.vs,
        channelOhm: inputs.r,
        deviceW: inputs.p,
      });
      const lengthM = lengthOfM(inputs.r, poeClass.pairs);
      const { site } = siteOf(
        siteText({ given: classNumber, taken: classNumber, lengthM: Number(lengthM.toFixed(9)) }),
      );
      const voltage = factOf(site, 'C-1.lan', 'voltage')!;
      expect(Math.abs((voltage.value as number) / expected.v! - 1)).toBeLessThanOrEqual(tol);
      const current = voltage.terms.find(({ name }) => name === 'I to C-1.lan')!.value as number;
      // What the socket gives then is its class power within 0.3 %, as published.
      expect(Math.abs((current * inputs.vs) / poeClass.sourceW - 1)).toBeLessThan(0.003);
      // And the least voltage of the device is what the standard's own cable leaves.
      expect(voltage.value as number).toBeGreaterThan(voltage.limit! * 0.998);
    });
  }
});

describe('the budget of a switch', () => {
  const text = `cable Data { cores 8 x 24 AWG }
equipment Switch { role switch  inlet supply 230 VAC 0.1 A terminals L, N, PE  lan p1 { gives class 4 }  lan p2 { gives class 4 }  lan p3 { gives class 2 }  lan p9  poe-budget 60 W }
equipment Big { role other  lan lan { takes class 4 } }
equipment Small { role other  lan lan { takes class 1 } }
equipment Any { role other  lan lan { takes class 0 } }
board DB { way W1 230 VAC 6 A curve B }
device SW-1 : Switch { inlet supply from DB.W1 }
device A : Big
device B : Small
device C : Any
device D : Big
network N 10.0.0.0/24 {
  host A.lan 10.0.0.3 from SW-1.p1 using Data 20 m
  host B.lan 10.0.0.4 from SW-1.p2 using Data 20 m
  host C.lan 10.0.0.5 from SW-1.p3 using Data 20 m
  host D.lan 10.0.0.6 from SW-1.p9 using Data 20 m
  laptop 10.0.0.9
}
`;

  it('carries the power of the classes at the sockets, not what the devices take', () => {
    const { site } = siteOf(text);
    // 30 W and 4 W as taken; the socket of class 2 holds no more than its 7 W ready.
    expect(factOf(site, 'SW-1', 'load')).toMatchObject({ value: 41, unit: 'W', limit: 60 });
    expect(factOf(site, 'SW-1', 'spare')).toMatchObject({ value: 19, unit: 'W' });
    expect(factOf(site, 'SW-1', 'load')?.terms.map(({ name, value }) => [name, value])).toEqual([
      ['A.lan', 30],
      ['B.lan', 4],
      ['C.lan', 7],
    ]);
  });

  it('comes to the way that feeds the switch where it is more than the stated figure', () => {
    const { site } = siteOf(text);
    // 41 W through 230 V are more than the stated 0.1 A.
    expect(factOf(site, 'DB.W1', 'load')?.value).toBeCloseTo(41 / 230, 12);
  });

  it('has an unknown spare where no budget is stated, and none at a switch that gives nothing', () => {
    const { site } = siteOf(text.replace('  poe-budget 60 W', ''));
    expect(factOf(site, 'SW-1', 'spare')).toMatchObject({
      value: null,
      needs: 'equipment Switch { poe-budget 60 W }',
    });
    const plain = siteOf(text.replaceAll(/\{ gives class \d \}/gu, ''));
    expect(factsOf(plain.site, 'SW-1').map(({ fact }) => fact)).not.toContain('load');
  });
});

describe('the voltage at a powered device', () => {
  it('is counted hot, and from the rooms where no length is stated', () => {
    const { site } = siteOf(
      siteText({ given: 3, taken: 3, lengthM: 0, host: 'from SW-1.p1 using Data' })
        .replace('device SW-1 : Switch {', 'device SW-1 : Switch in A {')
        .replace('device C-1 : Camera', 'device C-1 : Camera in B')
        .replace('conductor-temperature 20 C', 'conductor-temperature 60 C')
        .concat('area L level 0 m { room A at 0 m, 0 m  room B at 30 m, 10 m }\n'),
    );
    const voltage = factOf(site, 'C-1.lan', 'voltage');
    // 44 m of 24 AWG: each way two conductors side by side.
    const ohm = 44 * (gaugeResistance(24)!.ohmPerKm / 1000) * (1 + 0.00393 * 40);
    expect(voltage?.value).toBeCloseTo((44 + Math.sqrt(44 ** 2 - 4 * 12.95 * ohm)) / 2, 8);
    expect(voltage?.basis).toBe('estimated');
  });

  it('is unknown without length, cable or cores, and says what is missing', () => {
    const needsOf = (host: string, cores = '8 x 24 AWG', taken = 3): unknown => {
      const text = siteText({ given: 8, taken, lengthM: 1, host });
      const { site } = siteOf(text.replace('8 x 24 AWG', cores));
      const voltage = factOf(site, 'C-1.lan', 'voltage');
      expect(voltage?.value).toBeNull();
      return voltage?.needs;
    };
    const whole = 'host C-1.lan … from SW-1.p1 using CABLE 10 m';
    expect(needsOf('from SW-1.p1 using Data')).toBe(whole);
    expect(needsOf('from SW-1.p1')).toBe(whole);
    // Four pairs have eight cores.
    expect(needsOf('from SW-1.p1 using Data 10 m', '4 x 24 AWG', 6)).toContain('cores 8 x 24 AWG');
    expect(needsOf('from SW-1.p1 using Data 10 m', '8 x 0.2 mm2')).toContain('cores 8 x 24 AWG');
  });

  it('is not told where the socket does not suffice or gives nothing', () => {
    const facts = (given: number, taken: number, host?: string): readonly string[] => {
      const { site } = siteOf(
        siteText({ given, taken, lengthM: 10, ...(host === undefined ? {} : { host }) }),
      );
      return factsOf(site, 'C-1.lan').map(({ fact }) => fact);
    };
    expect(facts(3, 4)).toEqual([]);
    expect(facts(3, 3, 'from SW-1.p9 using Data 10 m')).toEqual([]);
    expect(facts(3, 0)).toEqual(['voltage']);
  });

  it('has no operating point on a cable that is far too long', () => {
    const { site } = siteOf(siteText({ given: 4, taken: 4, lengthM: 400 }));
    const voltage = factOf(site, 'C-1.lan', 'voltage');
    expect(voltage).toMatchObject({ value: null, basis: 'computed' });
    expect(voltage?.terms[0]).toMatchObject({ name: 'operating point', value: 'none' });
  });
});
