/** Power over the network cable: the classes of IEEE 802.3. */
import type { Source } from '../working.js';

/** What a class stands for. */
export interface PoeClass {
  readonly number: number;
  /** What the powering socket has to hold ready, in W. */
  readonly sourceW: number;
  /** What the powered device takes at most, in W. */
  readonly deviceW: number;
  /** Least voltage of the powering socket, in V. */
  readonly sourceMinimumV: number;
  /** Least voltage at which the powered device has to work, in V. */
  readonly deviceMinimumV: number;
  /** How surely {@link deviceMinimumV} is known. */
  readonly minimumSureness: 'published' | 'from-memory';
  /** Pairs of the cable that carry the current out and back together. */
  readonly pairs: 2 | 4;
  /** Largest resistance of the channel that the class reckons with, in ohm. */
  readonly channelOhm: number;
}

/** Source of the class powers and voltages. */
export const POE_CLASSES: Source = {
  text: 'IEEE 802.3 clauses 33 and 145, classes (powers and voltages read in reprints of the tables)',
  sureness: 'published',
};

/** Source of the channel resistances, and of the least device voltages of classes 5 and 7. */
export const POE_FROM_MEMORY: Source = {
  text: 'from memory (IEEE 802.3 clauses 33 and 145; verify in the standard)',
  sureness: 'from-memory',
};

const CLASSES: readonly PoeClass[] = [
  poeClass(0, [15.4, 12.95], [44, 37], { pairs: 2, channelOhm: 20 }),
  poeClass(1, [4, 3.84], [44, 37], { pairs: 2, channelOhm: 20 }),
  poeClass(2, [7, 6.49], [44, 37], { pairs: 2, channelOhm: 20 }),
  poeClass(3, [15.4, 12.95], [44, 37], { pairs: 2, channelOhm: 20 }),
  poeClass(4, [30, 25.5], [50, 42.5], { pairs: 2, channelOhm: 12.5 }),
  poeClass(5, [45, 40], [50, 44.3], { pairs: 4, channelOhm: 6.25 }, 'from-memory'),
  poeClass(6, [60, 51], [50, 42.5], { pairs: 4, channelOhm: 6.25 }),
  poeClass(7, [75, 62], [52, 42.9], { pairs: 4, channelOhm: 6.25 }, 'from-memory'),
  poeClass(8, [90, 71.3], [52, 41.1], { pairs: 4, channelOhm: 6.25 }),
];

/** A class by its number, or undefined where there is none. */
export function poeClassOf(number: number): PoeClass | undefined {
  return CLASSES.find((one) => one.number === number);
}

/** Whether a socket of one class has enough for a device of another; 0 counts like 3. */
export function suffices(given: PoeClass, taken: PoeClass): boolean {
  return given.sourceW >= taken.sourceW;
}

/**
 * Resistance in ohm of a cable between socket and device, from that of one conductor: out over half
 * of the conductors in use side by side, back over the other half.
 */
export function poeLoopOhm(pairs: PoeClass['pairs'], ohmPerKm: number, lengthM: number): number {
  return (2 * lengthM * ohmPerKm) / 1000 / (pairs === 4 ? 4 : 2);
}

function poeClass(
  number: number,
  [sourceW, deviceW]: readonly [number, number],
  [sourceMinimumV, deviceMinimumV]: readonly [number, number],
  channel: Pick<PoeClass, 'pairs' | 'channelOhm'>,
  minimumSureness: PoeClass['minimumSureness'] = 'published',
): PoeClass {
  return { number, sourceW, deviceW, sourceMinimumV, deviceMinimumV, minimumSureness, ...channel };
}
