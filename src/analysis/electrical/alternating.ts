/** Alternating current where resistance alone does not do: power factor, reactance, three phases. */

/** How the conductors of a run share the current. */
export type RunKind = 'direct' | 'single-phase' | 'three-phase';

/** A line with its drop formula's terms. */
export interface LineDropInput {
  readonly run: RunKind;
  readonly lengthM: number;
  readonly areaMm2: number;
  readonly currentA: number;
  readonly powerFactor: number;
}

/** Resistivity of copper in normal service, ohm mm2/m: 1.25 times that at 20 °C (IEC 60364-5-52:2009 annex G). */
export const SERVICE_RESISTIVITY = 0.0225;

/** Reactance of a cable where nothing better is known, ohm/m (IEC 60364-5-52:2009 annex G). */
export const CABLE_REACTANCE_OHM_PER_M = 0.08e-3;

/**
 * How many conductor lengths drop the voltage: 2 out and back; 1 in a balanced three-phase run,
 * whose neutral carries nothing (there the voltage is the one to neutral).
 */
export function conductorLengths(run: RunKind): 1 | 2 {
  return run === 'three-phase' ? 1 : 2;
}

/** Current in A of each phase conductor of a balanced three-phase load, from VA and the line-to-line voltage. */
export function threePhaseCurrentA(apparentPowerVA: number, lineVoltageV: number): number {
  return apparentPowerVA / (Math.sqrt(3) * lineVoltageV);
}

/** Voltage in V between a line and neutral, from the line-to-line voltage. */
export function phaseVoltageV(lineVoltageV: number): number {
  return lineVoltageV / Math.sqrt(3);
}

/**
 * Voltage drop in V of a run: u = b (ρ1 L/S cos φ + λ L sin φ) I.
 *
 * b is 2 for single phase and 1 for three phases (then u is to neutral). IEC 60364-5-52:2009 annex G.
 */
export function annexGDropV(input: LineDropInput): number {
  const { run, lengthM, areaMm2, currentA, powerFactor } = input;
  const sine = Math.sqrt(1 - powerFactor ** 2);
  const resistive = ((SERVICE_RESISTIVITY * lengthM) / areaMm2) * powerFactor;
  const reactive = CABLE_REACTANCE_OHM_PER_M * lengthM * sine;
  return conductorLengths(run) * (resistive + reactive) * currentA;
}

/** One load of constant VA behind a resistance and a reactance. */
export interface ApparentPowerLoad {
  readonly sourceVoltageV: number;
  readonly resistanceOhm: number;
  readonly reactanceOhm: number;
  readonly apparentPowerVA: number;
  /** Lagging, above 0 and at most 1. */
  readonly powerFactor: number;
}

/** Effective values at the load. */
export interface ApparentPowerPoint {
  readonly kind: 'operating-point';
  readonly voltageV: number;
  readonly currentA: number;
  /** By how much the load voltage leads the source voltage, in degrees; a resistive line makes a lagging load lead. */
  readonly angleDeg: number;
}

/**
 * The upper root of V⁴ + V² (2 (P R + Q X) − Vs²) + S² (R² + X²) = 0, or that there is none.
 */
export function solveApparentPowerLoad(
  load: ApparentPowerLoad,
): ApparentPowerPoint | { readonly kind: 'no-operating-point' } {
  const { sourceVoltageV, resistanceOhm, reactanceOhm, apparentPowerVA, powerFactor } = load;
  const activeW = apparentPowerVA * powerFactor;
  const reactiveVar = apparentPowerVA * Math.sqrt(1 - powerFactor ** 2);
  const half = sourceVoltageV ** 2 / 2 - (activeW * resistanceOhm + reactiveVar * reactanceOhm);
  const product = apparentPowerVA ** 2 * (resistanceOhm ** 2 + reactanceOhm ** 2);
  const discriminant = half ** 2 - product;
  if (discriminant < 0 || half <= 0) {
    return { kind: 'no-operating-point' };
  }
  const voltageV = Math.sqrt(half + Math.sqrt(discriminant));
  const inPhaseV = voltageV + (activeW * resistanceOhm + reactiveVar * reactanceOhm) / voltageV;
  const acrossV = (reactiveVar * resistanceOhm - activeW * reactanceOhm) / voltageV;
  return {
    kind: 'operating-point',
    voltageV,
    currentA: apparentPowerVA / voltageV,
    angleDeg: (Math.atan2(acrossV, inPhaseV) * 180) / Math.PI,
  };
}

/** The largest VA that such a line can carry at a power factor: where the two roots meet. */
export function largestApparentPowerVA(line: Omit<ApparentPowerLoad, 'apparentPowerVA'>): number {
  const { sourceVoltageV, resistanceOhm, reactanceOhm, powerFactor } = line;
  const impedanceOhm = Math.hypot(resistanceOhm, reactanceOhm);
  const alongOhm = resistanceOhm * powerFactor + reactanceOhm * Math.sqrt(1 - powerFactor ** 2);
  return sourceVoltageV ** 2 / (2 * (impedanceOhm + alongOhm));
}
