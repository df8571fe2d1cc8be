import { describe, expect, it } from 'vitest';
import { loopResistance } from '../../src/analysis/electrical/conductors.js';
import {
  faultCurrent,
  faultTemperatureC,
  tripBand,
} from '../../src/analysis/electrical/protection.js';
import type { SupplyKind, TripCurve } from '../../src/analysis/electrical/protection.js';

const MM2_1_CLASS_5 = { size: { mm2: 1 }, conductorClass: 5 };

function faultA(lengthM: number, temperatureC: number): number {
  const loop = loopResistance(MM2_1_CLASS_5, lengthM, temperatureC);
  const fault = loop.known ? faultCurrent(24, loop.value, 0.05) : loop;
  return fault.known ? fault.value : Number.NaN;
}

describe('fault current', () => {
  it('is V / (R_loop + R_source): 12.0 A at 50 m of 1 mm2 class 5, 9.757 A at 80 °C (B9)', () => {
    expect(faultA(50, 20)).toBeCloseTo(12, 9);
    expect(faultA(50, 80)).toBeCloseTo(9.757, 3);
  });

  it('is enough for a B4 breaker on DC up to 20.70 m cold and 17.30 m hot, rounded (B9)', () => {
    const band = tripBand('B', 4, 'DC');
    const tripsFromA = band.known ? band.tripsFromA : Number.NaN;
    expect(tripsFromA).toBe(28);
    expect(faultA(20.69, 20)).toBeGreaterThan(tripsFromA);
    expect(faultA(20.7, 20)).toBeLessThan(tripsFromA);
    expect(faultA(17.29, 70)).toBeGreaterThan(tripsFromA);
    expect(faultA(17.3, 70)).toBeLessThan(tripsFromA);
  });

  it('is taken at 70 °C, or hotter where the conductors are', () => {
    expect(faultTemperatureC(40)).toBe(70);
    expect(faultTemperatureC(90)).toBe(90);
  });

  it('shows its working, and has no value where nothing limits it', () => {
    const fault = faultCurrent(24, 1.95, 0.05);
    expect(fault.known && fault.working.terms.map(({ name }) => name)).toEqual([
      'V',
      'R_loop',
      'R_source',
    ]);
    expect(faultCurrent(24, 0, 0)).toMatchObject({ known: false });
  });
});

describe('trip bands, from memory of IEC 60898-1, 60898-2, 60947-2 and 60269', () => {
  const trips = (curve: TripCurve, supply: SupplyKind): number | undefined => {
    const band = tripBand(curve, 10, supply);
    return band.known ? band.tripsFromA : undefined;
  };

  it('trip for certain at 5, 10, 20, 14 and 3 times the rating on AC', () => {
    expect((['B', 'C', 'D', 'K', 'Z'] as const).map((curve) => trips(curve, 'AC'))).toEqual([
      50, 100, 200, 140, 30,
    ]);
  });

  it('trip later on DC, and are unknown for D', () => {
    expect((['B', 'C', 'D', 'K', 'Z'] as const).map((curve) => trips(curve, 'DC'))).toEqual([
      70,
      150,
      undefined,
      210,
      45,
    ]);
  });

  it('say of every figure that it is from memory, and hold below where they trip', () => {
    for (const curve of ['B', 'C', 'D', 'K', 'Z', 'gG'] as const) {
      for (const supply of ['AC', 'DC'] as const) {
        const band = tripBand(curve, 10, supply);
        if (band.known) {
          expect(band.working.source.sureness).toBe('from-memory');
          expect(band.working.source.text).toContain('from memory');
          expect(band.holdsUpToA).toBeLessThan(band.tripsFromA);
        }
      }
    }
  });

  it('of a gG fuse are those of its rating, within 5 s; other ratings have none', () => {
    expect(tripBand('gG', 16, 'AC')).toMatchObject({ holdsUpToA: 33, tripsFromA: 65, withinS: 5 });
    expect(tripBand('gG', 5, 'AC')).toMatchObject({ known: false });
    expect(tripBand('B', 0, 'AC')).toMatchObject({ known: false });
  });
});
