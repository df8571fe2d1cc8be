/** Fault currents and the currents at which protective devices let go. */
import { term, unknown, worked } from '../working.js';
import type { Source, Worked, Working } from '../working.js';
import { electricalTexts } from './texts.js';

/** Trip curves of breakers, and the general-purpose fuse. */
export type TripCurve = 'B' | 'C' | 'D' | 'K' | 'Z' | 'gG';

/** Alternating or direct: the same breaker trips at another current. */
export type SupplyKind = 'AC' | 'DC';

/** Between these currents a protective device may or may not let go at once. */
export interface TripBand {
  readonly known: true;
  /** Up to here it certainly does not let go at once. */
  readonly holdsUpToA: number;
  /** From here on it certainly lets go within `withinS`. */
  readonly tripsFromA: number;
  /** 0.1 s for breakers; 5 s for gG fuses. */
  readonly withinS: number;
  readonly working: Working;
}

/** A trip band or the reason why there is none. */
export type TripBandResult = TripBand | { readonly known: false; readonly reason: string };

const OHMS_LAW: Source = { text: "Ohm's law", sureness: 'published' };

/** Lower and upper end of the instantaneous band as multiples of the rated current. */
interface CurveBand {
  readonly holds: number;
  readonly trips: number;
  readonly source: Source;
  readonly assumptions: readonly string[];
}

const BANDS: Readonly<Record<SupplyKind, Readonly<Partial<Record<TripCurve, CurveBand>>>>> = {
  AC: {
    B: band(3, 5, 'IEC 60898-1'),
    C: band(5, 10, 'IEC 60898-1'),
    D: band(10, 20, 'IEC 60898-1'),
    K: band(8, 14, 'IEC 60947-2'),
    Z: band(2, 3, 'IEC 60947-2'),
  },
  DC: {
    B: band(4, 7, 'IEC 60898-2'),
    C: band(7, 15, 'IEC 60898-2'),
    K: band(8, 21, 'IEC 60947-2', [electricalTexts.curveFactorDirect]),
    Z: band(2, 4.5, 'IEC 60947-2', [electricalTexts.curveFactorDirect]),
  },
};

/** Gates of gG fuses: rated A → no melting within 10 s up to, melting within 5 s from. */
const GG_GATES_A: ReadonlyMap<number, readonly [number, number]> = new Map([
  [2, [3.7, 9.2]],
  [4, [7.8, 18.5]],
  [6, [11, 28]],
  [8, [16, 35.2]],
  [10, [22, 46.5]],
  [12, [24, 55.2]],
  [16, [33, 65]],
  [20, [42, 85]],
  [25, [52, 110]],
  [32, [75, 150]],
  [40, [95, 190]],
  [50, [125, 250]],
  [63, [160, 320]],
  [80, [215, 425]],
  [100, [290, 580]],
]);

/**
 * Current in A of a fault without resistance of its own at the end of a loop: V / (R_loop + R_source).
 *
 * `loopResistanceOhm` has to be the hot one: conductors at 70 °C or the stated temperature where
 * that is higher. Unknown where the whole loop has no resistance.
 */
export function faultCurrent(
  sourceVoltageV: number,
  loopResistanceOhm: number,
  sourceResistanceOhm: number,
): Worked {
  const totalOhm = loopResistanceOhm + sourceResistanceOhm;
  if (!(totalOhm > 0)) {
    return unknown(electricalTexts.noLoopResistance);
  }
  return worked(sourceVoltageV / totalOhm, 'A', {
    formula: 'I = V / (R_loop + R_source)',
    terms: [
      term('V', sourceVoltageV, 'V'),
      term('R_loop', loopResistanceOhm, 'ohm', 'computed'),
      term('R_source', sourceResistanceOhm, 'ohm'),
    ],
    source: OHMS_LAW,
    assumptions: [electricalTexts.hotConductor],
  });
}

/** The temperature in °C at which fault currents are taken: 70, or the stated one where higher. */
export function faultTemperatureC(conductorTemperatureC: number): number {
  return Math.max(70, conductorTemperatureC);
}

/** The band in which a device of a rating and curve may or may not let go. All figures from memory. */
export function tripBand(curve: TripCurve, ratedA: number, supply: SupplyKind): TripBandResult {
  if (!(ratedA > 0)) {
    return { known: false, reason: electricalTexts.ratingNotPositive };
  }
  return curve === 'gG' ? fuseBand(ratedA) : breakerBand(curve, ratedA, supply);
}

function breakerBand(
  curve: Exclude<TripCurve, 'gG'>,
  ratedA: number,
  supply: SupplyKind,
): TripBandResult {
  const found = BANDS[supply][curve];
  if (found === undefined) {
    return { known: false, reason: electricalTexts.noDirectCurve(curve) };
  }
  return {
    known: true,
    holdsUpToA: found.holds * ratedA,
    tripsFromA: found.trips * ratedA,
    withinS: 0.1,
    working: {
      formula: `I = ${found.trips} In`,
      terms: [term('In', ratedA, 'A'), term('curve', curve, ''), term('supply', supply, '')],
      source: found.source,
      assumptions: found.assumptions,
    },
  };
}

function fuseBand(ratedA: number): TripBandResult {
  const gates = GG_GATES_A.get(ratedA);
  if (gates === undefined) {
    return { known: false, reason: electricalTexts.ratingNotInTable(ratedA) };
  }
  return {
    known: true,
    holdsUpToA: gates[0],
    tripsFromA: gates[1],
    withinS: 5,
    working: {
      formula: 'I = gate of the rating',
      terms: [term('In', ratedA, 'A'), term('curve', 'gG', '')],
      source: fromMemory('IEC 60269-1 and -2, gates of gG fuse-links'),
      assumptions: [electricalTexts.fuseTime],
    },
  };
}

function band(
  holds: number,
  trips: number,
  standard: string,
  assumptions: readonly string[] = [],
): CurveBand {
  return { holds, trips, source: fromMemory(standard), assumptions };
}

function fromMemory(standard: string): Source {
  return { text: `from memory (${standard}; verify in the standard)`, sureness: 'from-memory' };
}
