/**
 * Random numbers that a seed brings back. A run without a word draws the same cases as the run before,
 * so that what a change breaks shows as the change's doing; `npm run test:random` looks for cases that
 * nobody saw yet, and FERRULE_SEED brings one back.
 */

/** A source of random numbers. */
export interface Random {
  readonly seed: number;
  /** From 0 up to, but not including, 1. */
  next(): number;
  between(low: number, high: number): number;
  /** A whole number, both ends included. */
  integer(low: number, high: number): number;
  pick<T>(choices: readonly T[]): T;
}

/** The seed of a run that names none. */
const USUAL_SEED = 20261127;

/** The seed of this run: the number or the word `new` in FERRULE_SEED, else the usual one. */
export function seedOfThisRun(): number {
  const given = process.env['FERRULE_SEED'] ?? '';
  if (given === 'new') {
    return Math.floor(Math.random() * 2 ** 32);
  }
  const number = given === '' ? Number.NaN : Number(given);
  return Number.isInteger(number) ? number >>> 0 : USUAL_SEED;
}

/** A small generator (mulberry32): good enough to spread test cases, the same everywhere. */
export function randomFrom(seed: number): Random {
  let state = seed >>> 0;
  const next = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
  const integer = (low: number, high: number): number =>
    low + Math.floor(next() * (high - low + 1));
  return {
    seed,
    next,
    integer,
    between: (low, high) => low + next() * (high - low),
    pick: (choices) => choices[integer(0, choices.length - 1)]!,
  };
}
