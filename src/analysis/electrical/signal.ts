/**
 * Direct-current arithmetic of a balanced two-wire line after TIA/EIA-485-A: bias, signal at the
 * far end, resistance seen by a meter.
 *
 * The pair is one circuit between its two wires, so a section counts with the resistance of both.
 * Receivers are taken as 12 kohm per unit load across the pair; with 12 kohm from each wire to
 * common the voltages come out higher, so the simple convention is on the safe side.
 */
import type { Load, Network, NetworkNode, NetworkSource } from './network.js';
import { solveNetwork } from './solve-network.js';
import { electricalTexts } from './texts.js';

/** Resistance in ohm of one unit load (TIA/EIA-485-A). */
export const UNIT_LOAD_OHM = 12_000;

/** Unit loads that a driver must be able to carry (TIA/EIA-485-A). */
export const MAXIMUM_UNIT_LOADS = 32;

/** A receiver must know the state of the line at this differential voltage in V (TIA/EIA-485-A). */
export const RECEIVER_THRESHOLD_V = 0.2;

/** Least differential voltage in V of a driver into 54 ohm (TIA/EIA-485-A). */
export const DRIVER_OUTPUT_V = 1.5;

/** A terminator across the pair. One with a capacitor in series is open for direct current. */
export type LineTerminator =
  | { readonly kind: 'resistor'; readonly resistanceOhm: number }
  | { readonly kind: 'resistor-capacitor'; readonly resistanceOhm: number };

/** A pull-up on one wire and an equal pull-down on the other. */
export interface LineBias {
  readonly resistanceEachOhm: number;
  readonly supplyV: number;
}

/** A place on the line: a device, a junction, an end. */
export interface LinePoint {
  readonly id: string;
  readonly unitLoads: number;
  readonly terminators: readonly LineTerminator[];
  readonly biases: readonly LineBias[];
}

/** The cable between two points, with the resistance of both wires. */
export interface LineSection {
  readonly from: string;
  readonly to: string;
  readonly loopResistanceOhm: number;
}

/** A line: a chain with or without stubs. Every point is joined to every other. */
export interface Line {
  readonly points: readonly LinePoint[];
  readonly sections: readonly LineSection[];
}

/** Differential voltages in V in the order of the points, or the reason why there are none. */
export type LineVoltages =
  | {
      readonly known: true;
      readonly points: readonly { readonly id: string; readonly voltageV: number }[];
      /** The point with the least voltage, the first of several. */
      readonly worst: { readonly id: string; readonly voltageV: number };
    }
  | { readonly known: false; readonly reason: string };

/** A resistance in ohm, or the reason why there is none. */
export type LineResistance =
  | { readonly known: true; readonly resistanceOhm: number }
  | { readonly known: false; readonly reason: string };

/** The sum of the unit loads; at most 32, whatever the number of devices. */
export function unitLoadSum(line: Line): number {
  return line.points.reduce((sum, point) => sum + point.unitLoads, 0);
}

/** The voltage along the line while nobody talks, from all its biases. */
export function idleVoltages(line: Line): LineVoltages {
  const biases = line.points.flatMap((point) =>
    point.biases.map((bias, index) => ({
      id: `${point.id} bias ${index + 1}`,
      node: point.id,
      voltageV: bias.supplyV,
      resistanceOhm: 2 * bias.resistanceEachOhm,
    })),
  );
  return biases.length === 0
    ? { known: false, reason: electricalTexts.noBias }
    : lineVoltages(networkOf(line, loadsWithReceivers, biases));
}

/**
 * The voltage along the line while the driver at a point holds `driverV`, with terminators and
 * receivers but without the bias, whose sign may help or harm.
 */
export function signalVoltages(
  line: Line,
  driverPoint: string,
  driverV: number = DRIVER_OUTPUT_V,
): LineVoltages {
  if (!line.points.some((point) => point.id === driverPoint)) {
    return { known: false, reason: electricalTexts.pointUnknown(driverPoint) };
  }
  const driver = { id: 'driver', node: driverPoint, voltageV: driverV, resistanceOhm: 0 };
  return lineVoltages(networkOf(line, loadsWithReceivers, [driver]));
}

/**
 * The resistance in ohm that a meter reads between the wires at a point with everything switched
 * off: terminators and cable, without receivers and bias.
 */
export function meterResistance(line: Line, atPoint: string): LineResistance {
  if (!line.points.some((point) => point.id === atPoint)) {
    return { known: false, reason: electricalTexts.pointUnknown(atPoint) };
  }
  const meter = { id: 'meter', node: atPoint, voltageV: 1, resistanceOhm: 0 };
  const solution = solveNetwork(networkOf(line, terminatorLoads, [meter]));
  if (solution.kind !== 'operating-point') {
    return { known: false, reason: electricalTexts.lineNotSolvable };
  }
  const currentA = solution.sources[0]!.currentA;
  return currentA > 0
    ? { known: true, resistanceOhm: 1 / currentA }
    : { known: false, reason: electricalTexts.nothingAcrossPair };
}

/**
 * The largest bias resistance in ohm in each wire that still gives `idleV`, on a line without
 * resistance: R = R_L (Vcc/V − 1)/2. Infinity where nothing loads the line.
 */
export function largestBiasResistanceOhm(
  unitLoads: number,
  terminators: readonly LineTerminator[],
  supplyV: number,
  idleV: number,
): number {
  const loadS =
    unitLoads / UNIT_LOAD_OHM +
    resistors(terminators).reduce((sum, { resistanceOhm }) => sum + 1 / resistanceOhm, 0);
  return (supplyV / idleV - 1) / (2 * loadS);
}

/** What part of a stub's rise time its signal may take along it (the usual data-sheet rule). */
export const STUB_SHARE_OF_RISE_TIME = 0.1;

/** Speed of light in vacuum, m/s (exact by definition). */
export const SPEED_OF_LIGHT_M_PER_S = 299_792_458;

/**
 * The longest stub in m for a driver's rise time: L = 0.1 t_r v.
 *
 * `velocityFactor` is the part of the speed of light at which the cable carries a signal. The text
 * beside this rule usually speaks of the way there and back, the equation has no factor 2; the
 * equation is used.
 */
export function longestStubM(riseTimeS: number, velocityFactor: number): number {
  return STUB_SHARE_OF_RISE_TIME * riseTimeS * velocityFactor * SPEED_OF_LIGHT_M_PER_S;
}

/** The longest line in m for a data rate: min(1200, 1e8 / baud) (rule of thumb for TIA/EIA-485). */
export function longestLineM(baud: number): number {
  return Math.min(1200, 1e8 / baud);
}

function networkOf(
  line: Line,
  loadsOf: (point: LinePoint) => readonly Load[],
  sources: readonly NetworkSource[],
): Network {
  return {
    nodes: line.points.map((point): NetworkNode => ({ id: point.id, loads: loadsOf(point) })),
    branches: line.sections.map((section, index) => ({ id: `section ${index + 1}`, ...section })),
    sources,
  };
}

function loadsWithReceivers(point: LinePoint): readonly Load[] {
  const receivers: readonly Load[] =
    point.unitLoads > 0
      ? [{ kind: 'resistive', resistanceOhm: UNIT_LOAD_OHM / point.unitLoads }]
      : [];
  return [...terminatorLoads(point), ...receivers];
}

function terminatorLoads(point: LinePoint): readonly Load[] {
  return resistors(point.terminators).map(({ resistanceOhm }) => ({
    kind: 'resistive',
    resistanceOhm,
  }));
}

function resistors(terminators: readonly LineTerminator[]): readonly LineTerminator[] {
  return terminators.filter((terminator) => terminator.kind === 'resistor');
}

function lineVoltages(network: Network): LineVoltages {
  const solution = solveNetwork(network);
  if (solution.kind !== 'operating-point') {
    return { known: false, reason: electricalTexts.lineNotSolvable };
  }
  const points = solution.nodes.map(({ id, voltageV }) => ({ id, voltageV }));
  const worst = points.reduce((least, point) => (point.voltageV < least.voltageV ? point : least));
  return { known: true, points, worst };
}
