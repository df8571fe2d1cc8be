import { describe, expect, it } from 'vitest';
import { gaugeResistance, loopResistanceOhm } from '../../src/analysis/electrical/conductors.js';
import {
  idleVoltages,
  longestLineM,
  longestStubM,
  MAXIMUM_UNIT_LOADS,
  meterResistance,
  RECEIVER_THRESHOLD_V,
  signalVoltages,
  UNIT_LOAD_OHM,
  unitLoadSum,
} from '../../src/analysis/electrical/signal.js';
import type { Line, LinePoint, LineTerminator } from '../../src/analysis/electrical/signal.js';

const R120: LineTerminator = { kind: 'resistor', resistanceOhm: 120 };
const BIAS_560 = { resistanceEachOhm: 560, supplyV: 5 };
const AWG_24 = gaugeResistance(24)!.ohmPerKm;

/** A chain of evenly spaced points on AWG 24. */
function chain(lengthM: number, points: readonly Partial<LinePoint>[]): Line {
  const full = points.map((point, index) => ({
    id: `p${index}`,
    unitLoads: 0,
    terminators: [],
    biases: [],
    ...point,
  }));
  const hopM = lengthM / (points.length - 1);
  return {
    points: full,
    sections: full.slice(1).map((point, index) => ({
      from: full[index]!.id,
      to: point.id,
      loopResistanceOhm: loopResistanceOhm(AWG_24, hopM),
    })),
  };
}

function ends(lengthM: number, head: Partial<LinePoint>, far: Partial<LinePoint>): Line {
  return chain(lengthM, [head, far]);
}

function idleAt(line: Line): readonly number[] {
  const idle = idleVoltages(line);
  return idle.known ? idle.points.map((point) => point.voltageV) : [];
}

describe('unit loads', () => {
  it('are added up, not counted: 62 devices of 1, 1/8 and 1/4 make 18 (TIA/EIA-485-A)', () => {
    const points = [
      ...Array.from({ length: 10 }, () => ({ unitLoads: 1 })),
      ...Array.from({ length: 40 }, () => ({ unitLoads: 1 / 8 })),
      ...Array.from({ length: 12 }, () => ({ unitLoads: 1 / 4 })),
    ];
    expect(unitLoadSum(chain(100, points))).toBe(18);
    expect(unitLoadSum(chain(100, points))).toBeLessThan(MAXIMUM_UNIT_LOADS);
  });

  it('of 32 make 375 ohm, and 51.72 ohm with two terminators: the 54 ohm test load', () => {
    const parallelOhm = 1 / (32 / UNIT_LOAD_OHM + 2 / 120);
    expect(UNIT_LOAD_OHM / 32).toBe(375);
    expect(parallelOhm).toBeCloseTo(51.72, 2);
  });
});

describe('idle voltage', () => {
  it('falls along the line: 560 ohm at the head of 1000 m AWG 24 fail at the far end (ngspice)', () => {
    const line = ends(1000, { terminators: [R120], biases: [BIAS_560] }, { terminators: [R120] });
    const [near, far] = idleAt(line);
    expect(near).toBeCloseTo(0.351705, 5);
    expect(far).toBeCloseTo(0.146327, 5);
    expect(near).toBeGreaterThan(RECEIVER_THRESHOLD_V);
    const idle = idleVoltages(line);
    expect(idle.known && idle.worst).toEqual({ id: 'p1', voltageV: far });
  });

  it('is 0.31610 V and 0.18575 V at the ends of 500 m (ngspice)', () => {
    const line = ends(500, { terminators: [R120], biases: [BIAS_560] }, { terminators: [R120] });
    const [near, far] = idleAt(line);
    expect(near).toBeCloseTo(0.3160995, 5);
    expect(far).toBeCloseTo(0.185747, 5);
  });

  it('does not see a terminator with a capacitor (C2: 1.25418 V with 32 unit loads)', () => {
    const ac: LineTerminator = { kind: 'resistor-capacitor', resistanceOhm: 120 };
    const line = ends(
      0,
      { unitLoads: 32, terminators: [ac], biases: [BIAS_560] },
      { terminators: [ac] },
    );
    expect(idleAt(line)[0]).toBeCloseTo(1.25418, 5);
  });

  it('is raised by a second bias set to that of a missing terminator (I2: 0.484 V)', () => {
    const line = ends(
      0,
      { terminators: [R120], biases: [BIAS_560] },
      { terminators: [R120], biases: [BIAS_560] },
    );
    expect(idleAt(line)[0]).toBeCloseTo(0.48387, 5);
  });

  it('is not defined without a bias', () => {
    expect(idleVoltages(ends(10, { terminators: [R120] }, {}))).toMatchObject({ known: false });
  });
});

describe('signal at the far end', () => {
  it('loses a little to 32 receivers along 1000 m AWG 24 (C3: 0.54734 V, ngspice)', () => {
    const receivers = Array.from({ length: 31 }, (_, index) => ({
      unitLoads: 1,
      terminators: index === 30 ? [R120] : [],
    }));
    const line = chain(1000, [{ unitLoads: 1, terminators: [R120] }, ...receivers]);
    const signal = signalVoltages(line, 'p0');
    expect(signal.known && signal.worst.id).toBe('p31');
    expect(signal.known && signal.worst.voltageV).toBeCloseTo(0.54734, 4);
  });

  it('is unknown for a driver that is not on the line, and for a line in two pieces', () => {
    const line = ends(10, {}, {});
    expect(signalVoltages(line, 'p7').known).toBe(false);
    expect(signalVoltages({ ...line, sections: [] }, 'p0').known).toBe(false);
  });
});

describe('meter reading with everything off', () => {
  const reading = (line: Line): number | string => {
    const result = meterResistance(line, 'p0');
    return result.known ? result.resistanceOhm : result.reason;
  };

  it('tells which terminator is missing (I2, 500 m AWG 24)', () => {
    expect(reading(ends(500, { terminators: [R120] }, {}))).toBeCloseTo(120, 9);
    expect(reading(ends(500, {}, { terminators: [R120] }))).toBeCloseTo(204.2, 1);
    expect(reading(ends(500, { terminators: [R120] }, { terminators: [R120] }))).toBeCloseTo(
      75.58,
      2,
    );
    expect(reading(ends(500, {}, {}))).toContain('open');
  });

  it('shows a third terminator as 40 ohm and a shorted far end as 49.5 ohm (I2)', () => {
    expect(
      reading(ends(0.001, { terminators: [R120, R120] }, { terminators: [R120] })),
    ).toBeCloseTo(40, 2);
    const short: LineTerminator = { kind: 'resistor', resistanceOhm: 1e-6 };
    expect(reading(ends(500, { terminators: [R120] }, { terminators: [short] }))).toBeCloseTo(
      49.5,
      1,
    );
  });

  it('leaves receivers and bias out, which are not defined without supply', () => {
    const line = ends(
      0,
      { unitLoads: 16, terminators: [R120], biases: [BIAS_560] },
      { unitLoads: 16, terminators: [R120] },
    );
    expect(reading(line)).toBeCloseTo(60, 9);
    expect(meterResistance(line, 'p9').known).toBe(false);
  });
});

describe('rules of thumb', () => {
  it('limit stubs by the rise time (C4, 0.66 c)', () => {
    expect(longestStubM(10e-9, 0.66)).toBeCloseTo(0.198, 3);
    expect(longestStubM(100e-9, 0.66)).toBeCloseTo(1.979, 3);
    expect(longestStubM(500e-9, 0.66)).toBeCloseTo(9.893, 3);
  });

  it('limit the line by the rate (C5)', () => {
    expect([9600, 76_800, 100_000, 115_200, 500_000, 10e6].map(longestLineM)).toEqual([
      1200,
      1200,
      1000,
      expect.closeTo(868, 0),
      200,
      10,
    ]);
  });
});
