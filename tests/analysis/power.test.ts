/** Loads, voltages, fault currents and margins of sites: published values and the conventions case by case. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { factOf, factsOf } from '../../src/analysis/facts.js';
import type { Fact } from '../../src/model/finding.js';
import { siteOf } from '../support/site.js';

interface Vector {
  readonly id: string;
  readonly inputs: Record<string, unknown>;
  readonly expect: Record<string, unknown>;
  readonly tol: number;
}

const vectors = new Map(
  (
    JSON.parse(
      readFileSync(new URL('../reference/vectors.json', import.meta.url), 'utf8'),
    ) as readonly Vector[]
  ).map((vector) => [vector.id, vector]),
);

function vector(id: string): Vector {
  const found = vectors.get(id);
  if (found === undefined) {
    throw new Error(`tests/reference/vectors.json has no ${id}`);
  }
  return found;
}

/** A cable of 1.5 mm2 class 5 (13.3 ohm/km) and one of 1.0 mm2 class 5 (19.5 ohm/km: 15 m there and back are 0.585 ohm). */
const CABLES = `cable C15 { cores 2 x 1.5 mm2 class 5 }
cable C10 { cores 2 x 1.0 mm2 class 5 }
`;

function dc(options: {
  readonly temperatureC?: number;
  readonly loads: readonly string[];
}): string {
  return [
    `site S { conductor-temperature ${options.temperatureC ?? 20} C }`,
    CABLES,
    'equipment Source { role supply  outlet out 24 VDC 10 A  outlet low 23.5 VDC 10 A }',
    'device PS-1 : Source',
    ...options.loads.flatMap((load, index) => [
      `equipment E${index + 1} { role other  inlet in 24 VDC ${load} }`,
      `device D${index + 1} : E${index + 1}`,
    ]),
  ].join('\n');
}

describe('published and independently computed values', () => {
  for (const id of ['B1-dc-cc', 'B1-dc-cc-40C']) {
    it(`${id}: one load of constant current`, () => {
      const { inputs, expect: expected, tol } = vector(id);
      const { site } = siteOf(
        `${dc({ temperatureC: inputs.tempC as number, loads: [`${inputs.currentA as number} A`] })}
feed F from PS-1.out using C15 { land D1.in ${inputs.lengthM as number} m }
`,
      );
      expectNear(factOf(site, 'D1.in', 'voltage'), expected.vLoad as number, tol);
      expectNear(factOf(site, 'F', 'voltage-drop'), expected.pct as number, tol);
    });
  }

  for (const id of [
    'B3-chain-cc',
    'B3-chain-cp',
    'B3-chain-cr',
    'B3-chain-mixed',
    'B4-chain-18.5',
  ]) {
    it(`${id}: a chain`, () => {
      const { inputs, expect: expected, tol } = vector(id);
      const loads = (inputs.loads as readonly (readonly [string, number])[]).map(written);
      const hops = inputs.seg as readonly number[];
      const isMixed = id === 'B3-chain-mixed';
      const metres = hops.map((ohm) => (1000 * ohm) / (2 * (isMixed ? 13.3 : 19.5)));
      const { site } = siteOf(
        `${dc({ loads })}
feed F from PS-1.out using ${isMixed ? 'C15' : 'C10'} {
${metres.map((lengthM, index) => `  land D${index + 1}.in ${lengthM.toFixed(6)} m`).join('\n')}
}
`,
      );
      (expected.v as readonly number[]).forEach((volts, index) => {
        expectNear(factOf(site, `D${index + 1}.in`, 'voltage'), volts, tol);
      });
    });
  }

  it('B4: the chain of five collapses at 18.991 W each', () => {
    const chain = (
      watts: number,
    ): string => `${dc({ loads: Array.from({ length: 5 }, () => `${watts} W`) })}
feed F from PS-1.out using C10 {
${[1, 2, 3, 4, 5].map((number) => `  land D${number}.in 15 m`).join('\n')}
}
`;
    const { expect: expected, tol } = vector('B4-chain-critical');
    const critical = expected.pCriticalEach as number;
    expectNear(factOf(siteOf(chain(7.2)).site, 'F', 'collapse-margin'), critical / 7.2, tol);
    const collapsed = siteOf(chain(19));
    expect(factOf(collapsed.site, 'D5.in', 'voltage')?.value).toBeNull();
    expect(collapsed.findings.map(({ finding }) => [finding.rule, finding.subject])).toContainEqual(
      ['voltage-collapse', 'F'],
    );
    expectNear(factOf(collapsed.site, 'F', 'collapse-margin'), critical / 19, tol);
  });

  for (const id of ['B5-two-equal', 'B5-two-unequal', 'B5-two-cp']) {
    it(`${id}: a feed with two outlets`, () => {
      const { inputs, expect: expected, tol } = vector(id);
      const loads = (inputs.loads as readonly (readonly [string, number])[]).map(written);
      const second = inputs.vb === 24 ? 'PS-2.out' : 'PS-2.low';
      const { site } = siteOf(
        `${dc({ loads })}
device PS-2 : Source
feed F from PS-1.out and ${second} using C10 {
${loads.map((_, index) => `  land D${index + 1}.in 15 m`).join('\n')}
  last 15 m
}
`,
      );
      (expected.v as readonly number[]).forEach((volts, index) => {
        expectNear(factOf(site, `D${index + 1}.in`, 'voltage'), volts, tol);
      });
    });
  }

  it('B6-ac-cp: constant VA at power factor 0.8', () => {
    const { inputs, expect: expected, tol } = vector('B6-ac-cp');
    const metres = (1000 * (inputs.r as number)) / (2 * 13.3);
    const { site } = siteOf(`site S { conductor-temperature 20 C }
${CABLES}
equipment Source { role supply  outlet out 24 VAC 60 VA }
equipment Load { role other  inlet in 24 VAC ${inputs.S as number} VA power-factor ${inputs.pf as number} }
device PS-1 : Source
device D1 : Load
feed F from PS-1.out using C15 { land D1.in ${metres.toFixed(6)} m }
`);
    const voltage = factOf(site, 'D1.in', 'voltage');
    expectNear(voltage, expected.v as number, tol);
    expect(termOf(voltage, 'I to D1.in')).toBeCloseTo(expected.i as number, 5);
    expect(termOf(voltage, 'X to D1.in')).toBeCloseTo(inputs.x as number, 12);
    expect(termOf(voltage, 'angle of the voltage')).toBeCloseTo(expected.angleDeg as number, 4);
    // The largest power on this line is 200.10 VA.
    expectNear(factOf(site, 'F', 'collapse-margin'), 200.1 / 30, 1e-4);
    // The supply has to give the VA, not the W.
    expect(factOf(site, 'F', 'load')?.value).toBe(30);
  });

  for (const id of ['B6-iec-230', 'B6-iec-24']) {
    it(`${id}: the formula of the annex, within the little that it leaves out`, () => {
      const { inputs, expect: expected } = vector(id);
      const number = (name: string): number => inputs[name] as number;
      const volts = id === 'B6-iec-230' ? 230 : 24;
      const areaMm2 = number('S');
      // The annex takes 0.0225 ohm mm2/m for service; the same resistance comes from the table when hot.
      const ohmPerKm20 = areaMm2 === 2.5 ? 7.41 : 12.1;
      const hotC = 20 + (22.5 / areaMm2 / ohmPerKm20 - 1) / 0.00393;
      const { site } = siteOf(`site S { conductor-temperature ${hotC.toFixed(9)} C }
cable C { cores 2 x ${areaMm2} mm2 class 2 }
equipment Source { role supply  outlet out ${volts} VAC 5000 VA }
equipment Load { role other  inlet in ${volts} VAC ${number('I')} A power-factor ${number('cos')} }
device PS-1 : Source
device D1 : Load
feed F from PS-1.out using C { land D1.in ${number('L')} m }
`);
      const drop = volts - (factOf(site, 'D1.in', 'voltage')?.value as number);
      // The annex leaves out the part of the drop that stands across the voltage: about w²/2V.
      const sine = Math.sqrt(1 - number('cos') ** 2);
      const resistance = (2 * number('L') * 22.5) / areaMm2 / 1000;
      const reactance = 2 * number('L') * number('lam');
      const across = (resistance * sine - reactance * number('cos')) * number('I');
      const u = expected.u as number;
      const leftOut = volts - Math.sqrt(volts ** 2 - across ** 2);
      expect(drop).toBeCloseTo(u + leftOut, 6);
      expect(leftOut / u).toBeLessThan(0.05);
    });
  }

  it('B6: a balanced three-phase load drops the formula of the annex in each phase', () => {
    const { site } = siteOf(`site S { conductor-temperature 20 C }
cable C { cores 5 x 2.5 mm2 class 2 }
equipment Source { role supply  outlet out 400 VAC three-phase 20 A }
equipment Load { role other  inlet in 400 VAC three-phase 5542.562584 VA power-factor 0.8 draws constant-current }
device PS-1 : Source
device D1 : Load
feed F from PS-1.out using C { land D1.in 60 m }
`);
    const voltage = factOf(site, 'D1.in', 'voltage');
    // 5542.562584 VA are 8 A in each line; of each line one conductor counts (b = 1).
    expect(termOf(voltage, 'I to D1.in')).toBeCloseTo(8, 8);
    const [r, x] = [(60 * 7.41) / 1000, 60 * 0.08e-3];
    const u = (r * 0.8 + x * 0.6) * 8;
    const across = (r * 0.6 - x * 0.8) * 8;
    const phaseV = Math.sqrt((400 / Math.sqrt(3)) ** 2 - across ** 2) - u;
    expectNear(voltage, phaseV * Math.sqrt(3), 1e-9);
  });

  it('shows terms from which a voltage with a power factor can be worked out again', () => {
    const { site } = siteOf(`site S { conductor-temperature 30 C }
${CABLES}
equipment Source { role supply  outlet out 24 VAC 100 VA regulation 8 % }
equipment A { role other  inlet in 24 VAC 20 VA power-factor 0.7 }
equipment B { role other  inlet in 24 VAC 0.6 A power-factor 0.9 }
equipment C { role other  inlet in 24 VAC 10 W draws resistive }
device PS-1 : Source
device D1 : A
device D2 : B
device D3 : C
feed F from PS-1.out using C15 { land D1.in 12 m  land D2.in 20 m  land D3.in 9 m }
`);
    const voltage = factOf(site, 'D3.in', 'voltage')!;
    let [real, imaginary] = [termOf(voltage, 'voltage of PS-1.out'), 0];
    const steps: readonly (readonly [r: string, x: string | undefined, i: string])[] = [
      ['R of PS-1.out', undefined, 'I of PS-1.out'],
      ...['D1.in', 'D2.in', 'D3.in'].map(
        (name) => [`R to ${name}`, `X to ${name}`, `I to ${name}`] as const,
      ),
    ];
    for (const [r, x, i] of steps) {
      const angle = (termOf(voltage, `angle of ${i}`) * Math.PI) / 180;
      const [alongA, acrossA] = [
        termOf(voltage, i) * Math.cos(angle),
        termOf(voltage, i) * Math.sin(angle),
      ];
      const [ohm, reactanceOhm] = [termOf(voltage, r), x === undefined ? 0 : termOf(voltage, x)];
      real -= ohm * alongA - reactanceOhm * acrossA;
      imaginary -= ohm * acrossA + reactanceOhm * alongA;
    }
    expect(Math.hypot(real, imaginary)).toBeCloseTo(voltage.value as number, 8);
    expect(voltage.source).toContain('annex G');
  });

  it('leaves direct current and a power factor of 1 to resistance alone', () => {
    const of = (kind: string, words: string) =>
      factOf(
        siteOf(`${CABLES}
equipment Source { role supply  outlet out 24 ${kind} 4 A }
equipment Load { role other  inlet in 24 ${kind} ${words} }
device PS-1 : Source
device D1 : Load
feed F from PS-1.out using C15 { land D1.in 30 m }
`).site,
        'D1.in',
        'voltage',
      );
    expect(of('VAC', '30 VA power-factor 1')).toEqual(of('VAC', '30 VA'));
    expect(of('VAC', '30 VA')?.value).toBe(of('VDC', '30 W')?.value);
    expect(of('VAC', '30 VA')?.terms.map(({ name }) => name)).not.toContain('X to D1.in');
    // On direct current a power factor says how much of the VA are W, and turns nothing.
    expect(of('VDC', '30 VA power-factor 0.8')?.value).toBe(of('VDC', '24 W')?.value);
  });

  it('B9: 24 V behind 50 m of 1.0 mm2 and 0.05 ohm give 9.757 A at 80 °C', () => {
    const { site } = siteOf(faultSite(80));
    // Computed independently: 24 / (1.95 × (1 + 0.00393 × 60) + 0.05).
    expectNear(factOf(site, 'F', 'fault-current'), 9.757, 1e-4);
    expect(factOf(site, 'F', 'fault-current')?.limit).toBe(28);
  });

  it('takes fault currents at 70 °C at least, whatever temperature the site states', () => {
    const { site } = siteOf(faultSite(20));
    expectNear(factOf(site, 'F', 'fault-current'), 24 / (1.95 * (1 + 0.00393 * 50) + 0.05), 1e-9);
  });

  it('takes with three phases the fault that draws least', () => {
    const fault = (terminals: string, resistanceOhm: number) =>
      factOf(
        siteOf(`cable C { cores 5 x 2.5 mm2 class 2 }
equipment Source { role supply  outlet out 400 VAC three-phase 16 A resistance ${resistanceOhm} ohm protected 16 A curve B }
equipment Load { role other  inlet in 400 VAC three-phase 5 A terminals ${terminals} }
device PS : Source
device D : Load
feed F from PS.out using C { land D.in 80 m }
`).site,
        'F',
        'fault-current',
      );
    const conductor = 0.08 * 7.41 * (1 + 0.00393 * 50);
    // Ohm's law: between two lines twice conductor and source, to a neutral one source only.
    expectNear(fault('L1, L2, L3', 0.05), 400 / (2 * conductor + 0.1), 1e-9);
    expectNear(fault('L1, L2, L3, N, PE', 0.05), 400 / Math.sqrt(3) / (2 * conductor + 0.05), 1e-9);
    expect(fault('L1, L2, L3, PE', 0.05)?.terms).toContainEqual({
      name: 'fault',
      value: 'between a line and the neutral or protective conductor',
      unit: '',
      basis: 'computed',
    });
    // Behind a weak source and a short cable the fault between lines is the smaller one.
    expectNear(fault('L1, L2, L3, N', 9), 400 / (2 * conductor + 18), 1e-9);
    expect(fault('L1, L2, L3, N', 9)?.limit).toBe(80);
  });

  it('D3: a bus that may lose 2 V at 250 mA reaches 300.75 m in 1.5 mm2 (published: 300 m)', () => {
    const bus = (lengthM: number): string => `site S { conductor-temperature 20 C }
${CABLES}
bustype Link { conductors 2  power 16 VDC minimum 14 VDC }
equipment Giver { role supply  port p : Link as neither { gives 16 VDC up to 250 mA } }
equipment Taker { role other  port p : Link as responder { takes 250 mA } }
device G : Giver
device T : Taker
bus b : Link using C15 { land G.p  land T.p ${lengthM} m }
`;
    const rules = (lengthM: number): readonly string[] =>
      siteOf(bus(lengthM)).findings.map(({ finding }) => finding.rule);
    expect(rules(300.7)).not.toContain('bus-power-undervoltage');
    expect(rules(300.8)).toContain('bus-power-undervoltage');
    expect(rules(300)).not.toContain('bus-power-overloaded');
  });
});

describe('loads', () => {
  const supplies = `equipment Ac { role supply  inlet primary 230 VAC 0.5 A  outlet out 24 VAC 100 VA }
equipment Dc { role supply  inlet primary 230 VAC 0.1 A  outlet out 24 VDC 60 W }
equipment LoadVA { role other  inlet in 24 VAC 12 VA }
equipment LoadA { role other  inlet in 24 VAC 0.5 A }
equipment LoadW { role other  inlet in 24 VAC 8 W power-factor 0.8 }
equipment DcA { role other  inlet in 24 VDC 0.5 A }
equipment DcW { role other  inlet in 24 VDC 12 W }
`;

  it('are VA on outlets of alternating current', () => {
    const { site } = siteOf(`${supplies}
board DB { way W1 230 VAC 6 A }
device PS : Ac { inlet primary from DB.W1 }
device A : LoadVA
device B : LoadA
device C : LoadW
feed F from PS.out { land A.in 1 m  land B.in 1 m }
feed G from PS.out { land C.in 1 m }
`);
    // 12 VA, 0.5 A at 24 V, 8 W at power factor 0.8.
    expect(factOf(site, 'F', 'load')).toMatchObject({ value: 24, unit: 'VA' });
    expect(factOf(site, 'G', 'load')).toMatchObject({ value: 10, unit: 'VA' });
    expect(factOf(site, 'PS.out', 'load')).toMatchObject({ value: 34, limit: 100, margin: 0.66 });
    expect(factOf(site, 'PS.out', 'spare')).toMatchObject({ value: 66, unit: 'VA' });
    // The supply counts with its stated 0.5 A: it passes on less.
    expect(factOf(site, 'DB.W1', 'load')).toMatchObject({ value: 0.5, unit: 'A', limit: 6 });
  });

  it('are A on outlets of direct current, and a supply never counts with less than it passes on', () => {
    const { site } = siteOf(`${supplies}
board DB { way W1 230 VAC 6 A }
device PS : Dc { inlet primary from DB.W1 }
device A : DcA
device B : DcW
feed F from PS.out { land A.in 1 m  land B.in 1 m }
`);
    expect(factOf(site, 'PS.out', 'load')).toMatchObject({ value: 1, unit: 'A', limit: 2.5 });
    // 1 A at 24 V is more than 0.1 A at 230 V.
    expect(factOf(site, 'DB.W1', 'load')?.value).toBeCloseTo(24 / 230, 12);
  });

  it('of sub-boards come to the way that feeds them, three-phase ones balanced', () => {
    const { site } = siteOf(`equipment One { role other  inlet in 230 VAC 3 A }
equipment Three { role other  inlet in 400 VAC three-phase 5 A }
board MB { way W1 400 VAC three-phase 32 A  way W2 230 VAC 16 A }
board DB from MB.W1 { way W1 230 VAC 10 A  way W2 400 VAC three-phase 16 A }
board SB from MB.W2 { way W1 230 VAC 10 A }
device A : One { inlet in from DB.W1 }
device B : Three { inlet in from DB.W2 }
device C : One { inlet in from SB.W1 }
`);
    expect(factOf(site, 'DB.W2', 'load')?.value).toBe(5);
    expect(factOf(site, 'MB.W1', 'load')?.value).toBeCloseTo(5 + 690 / (Math.sqrt(3) * 400), 10);
    expect(factOf(site, 'MB.W2', 'load')?.value).toBe(3);
  });

  it('count what a giving port passes on to its bus', () => {
    const { site } = siteOf(`bustype Link { conductors 2 }
equipment Giver { role supply  inlet mains 230 VAC 0.01 A  port p : Link as neither { gives 30 VDC up to 1 A } }
equipment Taker { role other  port p : Link as responder { takes 200 mA } }
board DB { way W1 230 VAC 6 A }
device G : Giver { inlet mains from DB.W1 }
device T : Taker
bus b : Link { land G.p  land T.p 5 m }
`);
    expect(factOf(site, 'b', 'load')).toMatchObject({ value: 0.2, unit: 'A', limit: 1 });
    expect(factOf(site, 'DB.W1', 'load')?.value).toBeCloseTo((0.2 * 30) / 230, 12);
  });

  it('are not known where a figure is not stated, and say which line is missing', () => {
    const { site } = siteOf(`equipment Silent { role other  inlet in 230 VAC }
board DB { way W1 230 VAC 6 A }
device A : Silent { inlet in from DB.W1 }
`);
    expect(factOf(site, 'DB.W1', 'load')).toMatchObject({
      value: null,
      basis: 'unknown',
      needs: 'equipment Silent { inlet in 230 VAC 0.5 A }',
    });
    expect(factOf(site, 'DB.W1', 'spare')?.value).toBeNull();
  });

  it('of supplies that feed each other come to an end', () => {
    const { site } =
      siteOf(`equipment Loop { role supply  inlet in 24 VAC 1 VA  outlet out 24 VAC 9 VA }
device A : Loop { inlet in from B.out }
device B : Loop { inlet in from A.out }
`);
    // Each counts with its stated figure; nothing goes round for ever.
    expect(factOf(site, 'A.out', 'load')?.value).toBe(1);
  });

  it('with two sources on a bus only the smallest counts', () => {
    const { site, findings } = siteOf(`bustype Link { conductors 2  sources 2 }
equipment Small { role supply  port p : Link as neither { gives 30 VDC up to 100 mA } }
equipment Big { role supply  port p : Link as neither { gives 30 VDC up to 900 mA } }
equipment Taker { role other  port p : Link as responder { takes 60 mA } }
device S : Small
device B : Big
device T1 : Taker
device T2 : Taker
bus b : Link { land S.p  land B.p 5 m  land T1.p 5 m  land T2.p 5 m }
`);
    expect(factOf(site, 'b', 'load')).toMatchObject({ value: 0.12, limit: 0.1 });
    expect(findings.map(({ finding }) => finding.rule)).toContain('bus-power-overloaded');
  });
});

describe('voltages', () => {
  const far = (
    temperature: string,
    lengthM: number,
  ): string => `site S { limit voltage-drop 50 %${temperature} }
${CABLES}
equipment Source { role supply  outlet out 24 VDC 10 A }
equipment Load { role other  inlet in 24 VDC 1 A tolerance 10 % }
device PS : Source
device D : Load
feed F from PS.out using C15 { land D.in ${lengthM} m }
`;

  it('are judged at 40 °C where the site states no temperature, and say so', () => {
    const { site } = siteOf(far('', 50));
    expect(factOf(site, 'D.in', 'voltage')?.value).toBeCloseTo(
      24 - 2 * 0.05 * 13.3 * (1 + 0.00393 * 20),
      9,
    );
    expect(factOf(site, 'D.in', 'voltage')?.terms).toContainEqual({
      name: 'conductor temperature',
      value: 40,
      unit: 'C',
      basis: 'assumed',
    });
  });

  it('say at which temperature their verdict turns', () => {
    // 2.4 V are lost at 1 + 0.00393 (t − 20) = 2.4 / (2 × 0.0875 × 13.3).
    const turnsAtC = 20 + (2.4 / (2 * 0.0875 * 13.3) - 1) / 0.00393;
    expect(turnsAtC).toBeGreaterThan(20);
    const right = siteOf(far('', 87.5));
    const term = factOf(right.site, 'D.in', 'voltage')?.terms.find(
      ({ name }) => name === 'verdict turns at',
    );
    expect(term?.value).toBeCloseTo(turnsAtC, 1);
    const [found] = right.findings.filter(({ finding }) => finding.rule === 'inlet-undervoltage');
    expect(found?.finding.what).toContain(`turns at ${turnsAtC.toFixed(1)} °C`);
    const cold = siteOf(far('  conductor-temperature 20 C', 87.5));
    expect(cold.findings.map(({ finding }) => finding.rule)).not.toContain('inlet-undervoltage');
  });

  it('are judged with the margin of the inlet, and not at all without a tolerance', () => {
    const { site } = siteOf(far('', 50));
    const fact = factOf(site, 'D.in', 'voltage')!;
    expect(fact.limit).toBe(21.6);
    expect(fact.margin).toBeCloseTo(((fact.value as number) - 21.6) / 21.6, 11);
    const { site: silent, findings } = siteOf(far('', 200).replace(' tolerance 10 %', ''));
    expect(factOf(silent, 'D.in', 'voltage')?.limit).toBeUndefined();
    expect(findings.map(({ finding }) => finding.rule)).not.toContain('inlet-undervoltage');
  });

  it('are not known without a cable or a length, and say which line is missing', () => {
    const { site } = siteOf(far('', 50).replace(' using C15', ''));
    expect(factOf(site, 'D.in', 'voltage')).toMatchObject({
      value: null,
      needs: 'feed F from PS.out using CABLE',
    });
    const { site: unmeasured } = siteOf(far('', 50).replace(' 50 m', ''));
    expect(factOf(unmeasured, 'F', 'voltage-drop')).toMatchObject({
      value: null,
      needs: 'land D.in 10 m',
    });
  });

  it('take an estimated length from the rooms, and are marked so', () => {
    const { site } = siteOf(`${CABLES}
area A level 0 m { room R at 0 m, 0 m  room S at 30 m, 16 m }
equipment Source { role supply  outlet out 24 VDC 10 A }
equipment Load { role other  inlet in 24 VDC 1 A }
device PS : Source in R
device D : Load in S
feed F from PS.out using C15 { land D.in }
`);
    expect(factOf(site, 'D.in', 'voltage')).toMatchObject({ basis: 'estimated' });
    expect(factOf(site, 'D.in', 'voltage')?.value).toBeCloseTo(
      24 - 2 * 0.05 * 13.3 * (1 + 0.00393 * 20),
      9,
    );
  });

  it('follow from their terms by the formula that they name', () => {
    const { site } = siteOf(`${dc({ temperatureC: 40, loads: ['0.3 A', '7 W', '0.2 A'] })}
feed F from PS-1.out using C10 { land D1.in 15 m  land D2.in 20 m { spur 3 m { land D3.in } } }
`);
    for (const subject of ['D1.in', 'D2.in', 'D3.in']) {
      const fact = factOf(site, subject, 'voltage')!;
      expect(fromTerms(fact)).toBeCloseTo(fact.value as number, 9);
    }
  });

  it('have no collapse margin where nothing draws constant power', () => {
    const { site } = siteOf(far('', 50));
    expect(factOf(site, 'F', 'collapse-margin')).toMatchObject({ value: null, basis: 'computed' });
  });

  it('of an inlet line are known where its cable and length are', () => {
    const { site } = siteOf(`${CABLES}
board DB { way W1 230 VAC 6 A }
equipment Load { role other  inlet in 230 VAC 4 A double-insulated }
device D : Load { inlet in from DB.W1 using C15 25 m }
`);
    expect(factOf(site, 'D.in', 'voltage')?.value).toBeCloseTo(
      230 - 4 * 2 * 0.025 * 13.3 * (1 + 0.00393 * 20),
      9,
    );
    expect(factsOf(site, 'D.in')).toHaveLength(1);
  });
});

function faultSite(temperatureC: number): string {
  return `site S { conductor-temperature ${temperatureC} C }
${CABLES}
equipment Source { role supply  outlet out 24 VDC 4 A resistance 0.05 ohm protected 4 A curve B }
equipment Load { role other  inlet in 24 VDC 0.1 A }
device PS : Source
device D : Load
feed F from PS.out using C10 { land D.in 50 m }
`;
}

/** A load of the reference values in the words of the language. */
function written([kind, value]: readonly [string, number]): string {
  switch (kind) {
    case 'I':
      return `${value} A`;
    case 'P':
      return `${value} W`;
    default:
      return `${576 / value} W draws resistive`;
  }
}

/** V = source voltage − sum of R I, from a fact's own terms. */
function fromTerms(fact: Fact): number {
  const values = new Map(fact.terms.map(({ name, value }) => [name, value as number]));
  let voltageV = [...values].find(([name]) => name.startsWith('voltage of '))![1];
  for (const [name, value] of values) {
    if (name.startsWith('R ')) {
      voltageV -= value * values.get(name.replace(/^R /u, 'I '))!;
    }
  }
  return voltageV;
}

function termOf(fact: Fact | undefined, name: string): number {
  const found = fact?.terms.find((one) => one.name === name)?.value;
  if (typeof found !== 'number') {
    throw new Error(`no number ${name} among ${JSON.stringify(fact?.terms)}`);
  }
  return found;
}

function expectNear(fact: Fact | undefined, value: number, tolerance: number): void {
  expect(typeof fact?.value, JSON.stringify(fact)).toBe('number');
  expect(Math.abs((fact!.value as number) - value) / value).toBeLessThanOrEqual(tolerance);
}
