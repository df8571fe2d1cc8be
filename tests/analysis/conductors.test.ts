import { describe, expect, it } from 'vitest';
import {
  atTemperature,
  conductorResistance,
  gaugeResistance,
  loopResistance,
  tabulatedResistance,
  tabulatedSizesMm2,
  temperatureFactor,
} from '../../src/analysis/electrical/conductors.js';

describe('conductor resistance', () => {
  it('knows larger sizes too (IEC 60228 tables 1 to 3, read in reprints)', () => {
    expect([6, 10, 16].map((mm2) => tabulatedResistance(mm2, 1)?.ohmPerKm)).toEqual([
      3.08, 1.83, 1.15,
    ]);
    expect([6, 10, 16, 25, 50].map((mm2) => tabulatedResistance(mm2, 2)?.ohmPerKm)).toEqual([
      3.08, 1.83, 1.15, 0.727, 0.387,
    ]);
    expect([6, 10, 16, 25, 50].map((mm2) => tabulatedResistance(mm2, 5)?.ohmPerKm)).toEqual([
      3.3, 1.91, 1.21, 0.78, 0.386,
    ]);
  });

  it('falls with the size in every class', () => {
    for (const conductorClass of [1, 2, 5]) {
      const sizes = tabulatedSizesMm2(conductorClass);
      const ohms = sizes.map((mm2) => tabulatedResistance(mm2, conductorClass)!.ohmPerKm);
      expect(ohms).toEqual([...ohms].sort((a, b) => b - a));
      expect(sizes).toEqual([...sizes].sort((a, b) => a - b));
      expect(sizes.length).toBeGreaterThanOrEqual(9);
    }
  });

  it('gives its working: terms, source and what was assumed', () => {
    const stated = conductorResistance({ size: { mm2: 1.5 }, conductorClass: 5 }, 70);
    expect(stated).toEqual({
      known: true,
      value: expect.closeTo(13.3 * 1.1965, 12) as number,
      unit: 'ohm/km',
      working: {
        formula: 'r = r20 (1 + alpha (t − 20))',
        terms: [
          expect.objectContaining({ name: 'conductor', basis: 'stated' }),
          { name: 'class', value: 5, unit: '', basis: 'stated' },
          { name: 'r20', value: 13.3, unit: 'ohm/km', basis: 'computed' },
          { name: 'alpha', value: 0.00393, unit: '1/K', basis: 'computed' },
          { name: 't', value: 70, unit: 'C', basis: 'stated' },
        ],
        source: expect.objectContaining({ sureness: 'published' }) as unknown,
        assumptions: [],
      },
    });
  });

  it('assumes class 5 where none is stated, and says so', () => {
    const assumed = conductorResistance({ size: { mm2: 0.75 } }, 20);
    expect(assumed.known && assumed.value).toBe(26);
    expect(assumed.known && assumed.working.assumptions).toEqual([
      expect.stringContaining('class 5'),
    ]);
    expect(assumed.known && assumed.working.terms[1]).toMatchObject({ basis: 'assumed', value: 5 });
  });

  it('has no value for a size outside the table, never one between two sizes', () => {
    for (const mm2 of [0.34, 0.8, 2, 3, 1.4999, 0, -1, Number.NaN]) {
      const result = conductorResistance({ size: { mm2 }, conductorClass: 5 }, 20);
      expect(result.known).toBe(false);
    }
    const between = conductorResistance({ size: { mm2: 0.8 }, conductorClass: 5 }, 20);
    expect(!between.known && between.reason).toBe(
      '0.8 mm2 is not a size of IEC 60228 class 5, and the table is never interpolated; its sizes here are 0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120 mm2.',
    );
  });

  it('has no value for an unknown class, a number that is no gauge, an impossible temperature or length', () => {
    expect(conductorResistance({ size: { mm2: 1.5 }, conductorClass: 6 }, 20).known).toBe(false);
    expect(conductorResistance({ size: { awg: 18.5 } }, 20).known).toBe(false);
    expect(conductorResistance({ size: { awg: 41 } }, 20).known).toBe(false);
    expect(conductorResistance({ size: { mm2: 1.5 } }, 1000).known).toBe(false);
    expect(conductorResistance({ size: { mm2: 1.5 } }, Number.NaN).known).toBe(false);
    expect(loopResistance({ size: { mm2: 1.5 } }, -1, 20).known).toBe(false);
  });

  it('counts both conductors of a loop, not one (B1: 40 m of 1.5 mm2 class 5 have 1.064 ohm)', () => {
    const loop = loopResistance({ size: { mm2: 1.5 }, conductorClass: 5 }, 40, 20);
    expect(loop.known && loop.value).toBeCloseTo(1.064, 12);
    expect(loop.known && loop.working.terms[0]).toMatchObject({ name: 'L', value: 40, unit: 'm' });
  });

  it('keeps the reference temperature: NEC table 8 at 75 °C meets the gauge formula within 0.5 %', () => {
    // NEC chapter 9 table 8, solid uncoated copper, ohm/kft at 75 °C; 1 kft = 304.8 m.
    const ohmPerKftAt75: readonly (readonly [number, number])[] = [
      [18, 7.77],
      [16, 4.89],
      [14, 3.07],
      [12, 1.93],
      [10, 1.21],
    ];
    for (const [gauge, ohmPerKft] of ohmPerKftAt75) {
      const published = ohmPerKft / 0.3048;
      const { ohmPerKm } = atTemperature(gaugeResistance(gauge)!, 75);
      expect(Math.abs(ohmPerKm - published) / published).toBeLessThan(0.005);
      // Compared without conversion the two would be 21.6 % apart.
      expect(published / gaugeResistance(gauge)!.ohmPerKm).toBeGreaterThan(1.2);
    }
  });

  it('moves a resistance between any two temperatures and back', () => {
    const at75 = { ohmPerKm: 25.5, temperatureC: 75 };
    const at20 = atTemperature(at75, 20);
    expect(at20.ohmPerKm).toBeCloseTo(25.5 / 1.21615, 12);
    expect(atTemperature(at20, 75).ohmPerKm).toBeCloseTo(25.5, 12);
  });

  it('stays within 0.5 % of the correction table printed with IEC 60228, 250/(230 + t)', () => {
    const printed: readonly (readonly [number, number])[] = [
      [5, 1.064],
      [15, 1.02],
      [25, 0.98],
      [30, 0.962],
      [40, 0.926],
      [70, 0.833],
      [75, 0.82],
    ];
    for (const [temperatureC, toTwenty] of printed) {
      expect(Math.abs(temperatureFactor(temperatureC) * toTwenty - 1)).toBeLessThan(0.005);
    }
  });

  it('takes 1/0 to 4/0 as gauges 0 to −3 (4/0 has a diameter of 0.46 inch)', () => {
    const quadrupleZero = conductorResistance({ size: { awg: -3 } }, 20);
    expect(quadrupleZero.known && quadrupleZero.value).toBeCloseTo(17.241 / 107.219, 5);
  });
});
