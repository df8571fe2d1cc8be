/**
 * Resistance of copper conductors: IEC 60228 by table, AWG by formula, with the temperature.
 *
 * Two temperature rules are in use. Physics and the NEC take 0.00393 per kelvin at 20 °C; the
 * correction table printed with IEC 60228 follows 250/(230 + t). They differ by about 0.3 % at
 * 75 °C; the first one is used here.
 */
import { sizeText } from '../../model/quantity.js';
import type { ConductorSize } from '../../model/quantity.js';
import { term, unknown, worked } from '../working.js';
import type { Source, Worked } from '../working.js';
import { electricalTexts } from './texts.js';

/** Temperature coefficient of annealed copper at 20 °C, per kelvin (100 % IACS; NBS Handbook 100). */
export const COPPER_ALPHA_20 = 0.00393;

/** Resistivity of annealed copper at 20 °C, ohm mm2/m (100 % IACS, 58 MS/m; NBS Handbook 100). */
export const COPPER_RESISTIVITY_20 = 0.017241;

/** The conductor classes that are kept: 1 solid, 2 stranded, 5 flexible. */
export const CONDUCTOR_CLASSES = [1, 2, 5] as const;

/** One of {@link CONDUCTOR_CLASSES}. */
export type ConductorClass = (typeof CONDUCTOR_CLASSES)[number];

/** A resistance per length together with the temperature at which it holds. */
export interface ReferenceResistance {
  readonly ohmPerKm: number;
  readonly temperatureC: number;
}

/** A conductor as a cable states it. */
export interface Conductor {
  readonly size: ConductorSize;
  /** IEC 60228 class; left out where the cable states none. Not used with a gauge. */
  readonly conductorClass?: number;
}

/** The class that is assumed where none is stated, because it is the worse case at control sizes. */
export const ASSUMED_CONDUCTOR_CLASS: ConductorClass = 5;

/** Source of the table. */
export const IEC_60228: Source = {
  text: 'IEC 60228:2004 tables 1 to 3, plain annealed copper, maximum at 20 °C (read in reprints of the tables)',
  sureness: 'published',
};

/** Source of the gauge formula. */
export const AWG_FORMULA: Source = {
  text: 'ASTM B258 diameter formula with 0.017241 ohm mm2/m (formula from memory; results meet NEC chapter 9 table 8 within 0.5 %)',
  sureness: 'published',
};

/** Maximum resistance in ohm/km at 20 °C of plain copper, by class and size in mm2. */
const IEC_60228_OHM_PER_KM: Readonly<Record<ConductorClass, ReadonlyMap<number, number>>> = {
  1: new Map([
    [0.5, 36.0],
    [0.75, 24.5],
    [1, 18.1],
    [1.5, 12.1],
    [2.5, 7.41],
    [4, 4.61],
    [6, 3.08],
    [10, 1.83],
    [16, 1.15],
  ]),
  2: new Map([
    [0.5, 36.0],
    [0.75, 24.5],
    [1, 18.1],
    [1.5, 12.1],
    [2.5, 7.41],
    [4, 4.61],
    [6, 3.08],
    [10, 1.83],
    [16, 1.15],
    [25, 0.727],
    [35, 0.524],
    [50, 0.387],
    [70, 0.268],
    [95, 0.193],
    [120, 0.153],
  ]),
  5: new Map([
    [0.5, 39.0],
    [0.75, 26.0],
    [1, 19.5],
    [1.5, 13.3],
    [2.5, 7.98],
    [4, 4.95],
    [6, 3.3],
    [10, 1.91],
    [16, 1.21],
    [25, 0.78],
    [35, 0.554],
    [50, 0.386],
    [70, 0.272],
    [95, 0.206],
    [120, 0.161],
  ]),
};

/**
 * The tabulated resistance of a size, or undefined where the table has no such size or class.
 * Never interpolates.
 */
export function tabulatedResistance(
  sizeMm2: number,
  conductorClass: number,
): ReferenceResistance | undefined {
  const column = columnOf(conductorClass);
  const ohmPerKm = column?.get(sizeMm2);
  return ohmPerKm === undefined ? undefined : { ohmPerKm, temperatureC: 20 };
}

/** The sizes in mm2 that the table has for a class, ascending; empty for a class that is not kept. */
export function tabulatedSizesMm2(conductorClass: number): readonly number[] {
  return [...(columnOf(conductorClass)?.keys() ?? [])];
}

/** Diameter in mm of a solid gauge wire. `gauge` 0 is 1/0, −1 is 2/0, −2 is 3/0, −3 is 4/0. */
export function gaugeDiameterMm(gauge: number): number {
  return 0.127 * 92 ** ((36 - gauge) / 39);
}

/** Cross-section in mm2 of a solid gauge wire. */
export function gaugeAreaMm2(gauge: number): number {
  return (Math.PI / 4) * gaugeDiameterMm(gauge) ** 2;
}

/** Resistance of a solid copper gauge wire, or undefined where the number is no gauge. */
export function gaugeResistance(gauge: number): ReferenceResistance | undefined {
  if (!Number.isInteger(gauge) || gauge < -3 || gauge > 40) {
    return undefined;
  }
  return { ohmPerKm: (1000 * COPPER_RESISTIVITY_20) / gaugeAreaMm2(gauge), temperatureC: 20 };
}

/** Factor from the resistance at 20 °C to the one at `temperatureC`: 1 + 0.00393 (t − 20). */
export function temperatureFactor(temperatureC: number): number {
  return 1 + COPPER_ALPHA_20 * (temperatureC - 20);
}

/** A resistance per length moved to another temperature, whatever temperature it is stored at. */
export function atTemperature(
  resistance: ReferenceResistance,
  temperatureC: number,
): ReferenceResistance {
  const factor = temperatureFactor(temperatureC) / temperatureFactor(resistance.temperatureC);
  return { ohmPerKm: resistance.ohmPerKm * factor, temperatureC };
}

/** Resistance of one conductor in ohm/km at a temperature, with its working. */
export function conductorResistance(conductor: Conductor, temperatureC: number): Worked {
  if (!isTemperature(temperatureC)) {
    return unknown(electricalTexts.temperatureNotKnown);
  }
  const reference = referenceResistance(conductor);
  if (typeof reference === 'string') {
    return unknown(reference);
  }
  const { resistance, source, assumptions } = reference;
  return worked(atTemperature(resistance, temperatureC).ohmPerKm, 'ohm/km', {
    formula: 'r = r20 (1 + alpha (t − 20))',
    terms: [
      ...sizeTerms(conductor),
      term('r20', resistance.ohmPerKm, 'ohm/km', 'computed'),
      term('alpha', COPPER_ALPHA_20, '1/K', 'computed'),
      term('t', temperatureC, 'C'),
    ],
    source,
    assumptions,
  });
}

/**
 * Resistance in ohm of a run out and back at a temperature: R = 2 L r / 1000.
 *
 * `lengthM` is the one-way route length.
 */
export function loopResistance(
  conductor: Conductor,
  lengthM: number,
  temperatureC: number,
): Worked {
  if (!Number.isFinite(lengthM) || lengthM < 0) {
    return unknown(electricalTexts.lengthNotKnown);
  }
  const perLength = conductorResistance(conductor, temperatureC);
  if (!perLength.known) {
    return perLength;
  }
  return worked(loopResistanceOhm(perLength.value, lengthM), 'ohm', {
    formula: 'R = 2 L r20 (1 + alpha (t − 20)) / 1000',
    terms: [term('L', lengthM, 'm'), ...perLength.working.terms],
    source: perLength.working.source,
    assumptions: [...perLength.working.assumptions, electricalTexts.twoWays],
  });
}

/** Out-and-back resistance in ohm of a one-way length in m at ohm/km of one conductor. */
export function loopResistanceOhm(ohmPerKm: number, lengthM: number): number {
  return (2 * lengthM * ohmPerKm) / 1000;
}

function columnOf(conductorClass: number): ReadonlyMap<number, number> | undefined {
  return isConductorClass(conductorClass) ? IEC_60228_OHM_PER_KM[conductorClass] : undefined;
}

function isConductorClass(conductorClass: number): conductorClass is ConductorClass {
  return CONDUCTOR_CLASSES.some((known) => known === conductorClass);
}

/** Copper neither melts nor leaves the straight part of its curve between these bounds. */
function isTemperature(temperatureC: number): boolean {
  return temperatureC >= -50 && temperatureC <= 250;
}

interface FoundResistance {
  readonly resistance: ReferenceResistance;
  readonly source: Source;
  readonly assumptions: readonly string[];
}

/** The stored resistance of a conductor, or the sentence that says why there is none. */
function referenceResistance(conductor: Conductor): FoundResistance | string {
  const { size, conductorClass } = conductor;
  if (size.mm2 === undefined) {
    const resistance = gaugeResistance(size.awg);
    return resistance === undefined
      ? electricalTexts.gaugeNotKnown(size.awg)
      : { resistance, source: AWG_FORMULA, assumptions: [electricalTexts.solidGauge] };
  }
  const usedClass = conductorClass ?? ASSUMED_CONDUCTOR_CLASS;
  const sizesMm2 = tabulatedSizesMm2(usedClass);
  if (sizesMm2.length === 0) {
    return electricalTexts.classNotInTable(usedClass);
  }
  const resistance = tabulatedResistance(size.mm2, usedClass);
  if (resistance === undefined) {
    return electricalTexts.sizeNotInTable(size.mm2, usedClass, sizesMm2);
  }
  const assumptions = conductorClass === undefined ? [electricalTexts.classAssumed] : [];
  return { resistance, source: IEC_60228, assumptions };
}

function sizeTerms(conductor: Conductor) {
  const sizeTerm = term('conductor', sizeText(conductor.size), '');
  if (conductor.size.mm2 === undefined) {
    return [sizeTerm];
  }
  return conductor.conductorClass === undefined
    ? [sizeTerm, term('class', ASSUMED_CONDUCTOR_CLASS, '', 'assumed')]
    : [sizeTerm, term('class', conductor.conductorClass, '')];
}
