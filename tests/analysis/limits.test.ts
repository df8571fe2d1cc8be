import { describe, expect, it } from 'vitest';
import {
  annexGDropV,
  conductorLengths,
  largestApparentPowerVA,
  phaseVoltageV,
  solveApparentPowerLoad,
  threePhaseCurrentA,
} from '../../src/analysis/electrical/alternating.js';
import {
  class2Rating,
  gaugeAmpacity,
  installationDropPercent,
  isExtraLowVoltage,
  nextTransformerRatingVA,
  sizeAmpacity,
  withstandTimeS,
} from '../../src/analysis/electrical/limits.js';
import { voltageAt } from '../../src/analysis/electrical/solve-network.js';
import { chainNetwork, operatingPointOf } from '../support/networks.js';

describe('alternating current', () => {
  const line = { sourceVoltageV: 24, resistanceOhm: 0.798, reactanceOhm: 0.0048, powerFactor: 0.8 };

  it('carries at most 200.10 VA on the line of B6, and nothing above', () => {
    const largestVA = largestApparentPowerVA(line);
    expect(largestVA).toBeCloseTo(200.1, 1);
    const at = (factor: number): string =>
      solveApparentPowerLoad({ ...line, apparentPowerVA: largestVA * factor }).kind;
    expect(at(0.999999)).toBe('operating-point');
    expect(at(1.000001)).toBe('no-operating-point');
  });

  it('agrees with the network solver at power factor 1 without reactance', () => {
    const point = solveApparentPowerLoad({
      sourceVoltageV: 24,
      resistanceOhm: 1.064,
      reactanceOhm: 0,
      apparentPowerVA: 48,
      powerFactor: 1,
    });
    const network = operatingPointOf(chainNetwork([1.064], [['P', 48]], [24]));
    expect(point.kind === 'operating-point' && point.voltageV).toBeCloseTo(
      voltageAt(network, 'n1')!,
      12,
    );
    expect(point).toMatchObject({ angleDeg: 0 });
  });

  it('counts one conductor length in a balanced three-phase run, two else (IEC 60364-5-52 annex G)', () => {
    expect((['direct', 'single-phase', 'three-phase'] as const).map(conductorLengths)).toEqual([
      2, 2, 1,
    ]);
    const input = { lengthM: 30, areaMm2: 2.5, currentA: 10, powerFactor: 0.8 };
    expect(annexGDropV({ ...input, run: 'single-phase' })).toBeCloseTo(
      2 * annexGDropV({ ...input, run: 'three-phase' }),
      12,
    );
    expect(phaseVoltageV(400)).toBeCloseTo(230.94, 2);
    expect(threePhaseCurrentA(12_471, 400)).toBeCloseTo(18, 3);
  });
});

describe('limits', () => {
  it('of voltage drop grow with the length up to half a per cent (IEC 60364-5-52 table G.52.1)', () => {
    expect(installationDropPercent('other', 'public', 100)).toBe(5);
    expect(installationDropPercent('other', 'public', 150)).toBeCloseTo(5.25, 12);
    expect(installationDropPercent('lighting', 'public', 300)).toBe(3.5);
    expect(installationDropPercent('other', 'private', 20)).toBe(8);
  });

  it('of Class 2 sources follow voltage and kind (B8)', () => {
    expect(class2Rating(24, 'AC')).toEqual({ apparentPowerVA: 100, currentA: 100 / 24 });
    expect(class2Rating(28, 'DC')!.currentA).toBeCloseTo(3.571, 3);
    expect(class2Rating(12, 'AC')).toEqual({ apparentPowerVA: 60, currentA: 5 });
    expect(class2Rating(48, 'AC')).toEqual({ apparentPowerVA: 0.24, currentA: 0.005 });
    expect(class2Rating(48, 'DC')!.currentA).toBeCloseTo(2.083, 3);
    expect(class2Rating(230, 'AC')).toBeUndefined();
  });

  it('of extra-low voltage are 50 V AC and 120 V DC (IEC 61140)', () => {
    expect([isExtraLowVoltage(50, 'AC'), isExtraLowVoltage(50.1, 'AC')]).toEqual([true, false]);
    expect([isExtraLowVoltage(120, 'DC'), isExtraLowVoltage(121, 'DC')]).toEqual([true, false]);
  });

  it('of conductors are known for some sizes, with how surely (B9)', () => {
    expect(gaugeAmpacity(18)).toEqual({
      currentA: 7,
      source: { text: 'NEC 240.4(D)', sureness: 'published' },
    });
    expect(sizeAmpacity(1)).toMatchObject({ currentA: 10.1, source: { sureness: 'from-memory' } });
    expect([gaugeAmpacity(24), sizeAmpacity(0.5)]).toEqual([undefined, undefined]);
  });

  it('of short circuits follow the adiabatic equation (B9: 1.3225 s and 0.4761 s)', () => {
    expect(withstandTimeS(1, 100)).toBeCloseTo(1.3225, 9);
    expect(withstandTimeS(1.5, 250)).toBeCloseTo(0.4761, 9);
  });

  it('of transformers step up to the next usual rating (B7: 156.25 VA needs 160 VA)', () => {
    expect(nextTransformerRatingVA(125 * 1.25)).toBe(160);
    expect(nextTransformerRatingVA(160)).toBe(160);
    expect(nextTransformerRatingVA(631)).toBeUndefined();
  });
});
