/** Limits of supplies and conductors that standards fix. */
import type { Source } from '../working.js';
import type { SupplyKind } from './protection.js';

/** Loads that installation standards treat differently. */
export type InstallationLoad = 'lighting' | 'other';

/** Who supplies an installation. */
export type InstallationSupply = 'public' | 'private';

/** Source of {@link installationDropPercent}. */
export const INSTALLATION_DROP: Source = {
  text: 'IEC 60364-5-52:2009 table G.52.1',
  sureness: 'published',
};

/**
 * Largest voltage drop in % from the origin of an installation: 3 or 5 (public supply), 6 or 8
 * (private), and beyond 100 m another 0.005 % a metre, at most 0.5 %. For extra-low-voltage devices
 * their own least voltage rules instead.
 */
export function installationDropPercent(
  load: InstallationLoad,
  supply: InstallationSupply,
  lengthM: number,
): number {
  const base = { public: { lighting: 3, other: 5 }, private: { lighting: 6, other: 8 } };
  const beyondM = Math.max(0, lengthM - 100);
  return base[supply][load] + Math.min(0.5, 0.005 * beyondM);
}

/** Largest rating of a Class 2 source. */
export interface Class2Rating {
  readonly apparentPowerVA: number;
  readonly currentA: number;
}

/** Source of {@link class2Rating}. */
export const CLASS_2: Source = {
  text: 'NEC chapter 9 tables 11(A) and 11(B) (30 V, 100 VA and 5 mA read in reprints; the other cells from memory)',
  sureness: 'from-memory',
};

/**
 * The largest nameplate rating of a Class 2 source at its voltage, or undefined above 150 V:
 * 5 V_max VA and 5 A up to 20 V; 100 VA up to 30 V (direct current: 60 V); 5 mA up to 150 V.
 */
export function class2Rating(voltageV: number, supply: SupplyKind): Class2Rating | undefined {
  const powerLimitedUpToV = supply === 'AC' ? 30 : 60;
  if (!(voltageV > 0) || voltageV > 150) {
    return undefined;
  }
  if (voltageV <= 20) {
    return { apparentPowerVA: 5 * voltageV, currentA: 5 };
  }
  if (voltageV <= powerLimitedUpToV) {
    return { apparentPowerVA: 100, currentA: 100 / voltageV };
  }
  return { apparentPowerVA: 0.005 * voltageV, currentA: 0.005 };
}

/** Source of {@link isExtraLowVoltage}. */
export const EXTRA_LOW_VOLTAGE: Source = {
  text: 'IEC 61140 and IEC 60364-4-41 clause 414: 50 V AC, 120 V ripple-free DC',
  sureness: 'published',
};

/** Whether a voltage is extra-low: at most 50 V AC or 120 V ripple-free DC. */
export function isExtraLowVoltage(voltageV: number, supply: SupplyKind): boolean {
  return voltageV <= (supply === 'AC' ? 50 : 120);
}

/** A current that a conductor may carry. */
export interface Ampacity {
  readonly currentA: number;
  readonly source: Source;
}

/** Overcurrent protection of small gauges (NEC 240.4(D)). */
const GAUGE_AMPACITY_A: ReadonlyMap<number, number> = new Map([
  [18, 7],
  [16, 10],
  [14, 15],
  [12, 20],
  [10, 30],
]);

/** PVC, 40 °C ambient, multi-core cable in conduit or trunking (IEC 60204-1 table 6, method B2). */
const SIZE_AMPACITY_A: ReadonlyMap<number, number> = new Map([
  [0.75, 8.5],
  [1, 10.1],
  [1.5, 13.1],
  [2.5, 17.4],
  [4, 23],
]);

/** The largest overcurrent protection in A of a gauge, or undefined where the article has none. */
export function gaugeAmpacity(gauge: number): Ampacity | undefined {
  const currentA = GAUGE_AMPACITY_A.get(gauge);
  return currentA === undefined
    ? undefined
    : { currentA, source: { text: 'NEC 240.4(D)', sureness: 'published' } };
}

/** The current in A that a size in mm2 may carry in the worst usual place, or undefined where the table has none. */
export function sizeAmpacity(sizeMm2: number): Ampacity | undefined {
  const currentA = SIZE_AMPACITY_A.get(sizeMm2);
  return currentA === undefined
    ? undefined
    : {
        currentA,
        source: {
          text: 'from memory (IEC 60204-1 table 6, PVC, 40 °C, method B2; verify in the standard)',
          sureness: 'from-memory',
        },
      };
}

/** Source of {@link withstandTimeS}. */
export const ADIABATIC: Source = {
  text: 'IEC 60364-4-43 clause 434.5.2: t = (k S / I)², k = 115 for copper with PVC',
  sureness: 'published',
};

/** Time in s that a copper conductor with PVC stands a short-circuit current: t = (115 S / I)². */
export function withstandTimeS(sizeMm2: number, currentA: number): number {
  return ((115 * sizeMm2) / currentA) ** 2;
}

/** Usual ratings of protective devices in A (common practice; from 6 A as IEC 60898-1 prefers, from memory). */
export const PROTECTION_RATINGS_A: readonly number[] = [
  0.5, 1, 1.6, 2, 3, 4, 6, 8, 10, 13, 16, 20, 25, 32, 40, 50, 63, 80, 100, 125,
];

/** Usual ratings of control transformers in VA (common practice). */
export const TRANSFORMER_RATINGS_VA: readonly number[] = [25, 40, 63, 100, 160, 250, 320, 400, 630];

/** The smallest usual transformer for a load, or undefined where none is large enough. */
export function nextTransformerRatingVA(apparentPowerVA: number): number | undefined {
  return TRANSFORMER_RATINGS_VA.find((rating) => rating >= apparentPowerVA);
}
