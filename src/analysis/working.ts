import type { Basis, Term } from '../model/finding.js';

/** How surely a figure or formula is known. A limit from memory is never worth more than a warning. */
export type Sureness = 'published' | 'common-practice' | 'from-memory';

/** Where a figure or a formula stands, and how surely. */
export interface Source {
  /** The publication with its clause, or `common practice`, or `from memory (…)`. */
  readonly text: string;
  readonly sureness: Sureness;
}

/** How a value came about: what a person needs to check it with paper and pencil. */
export interface Working {
  /** The formula in the terms' names, such as `R = r20 (1 + 0.00393 (t − 20))`. */
  readonly formula: string;
  readonly terms: readonly Term[];
  readonly source: Source;
  /** What had to be assumed, one sentence each; empty where everything was stated. */
  readonly assumptions: readonly string[];
}

/** A number with its unit and its working. */
export interface WorkedValue {
  readonly known: true;
  readonly value: number;
  readonly unit: string;
  readonly working: Working;
}

/** A value that cannot be given, with the reason as one sentence. */
export interface UnknownValue {
  readonly known: false;
  readonly reason: string;
}

/** A computed value or the reason why there is none. */
export type Worked = WorkedValue | UnknownValue;

/** Builds one term of a working. */
export function term(
  name: string,
  value: number | string,
  unit: string,
  basis: Basis = 'stated',
): Term {
  return { name, value, unit, basis };
}

/** Builds a known value. */
export function worked(value: number, unit: string, working: Working): WorkedValue {
  return { known: true, value, unit, working };
}

/** Builds an unknown value. */
export function unknown(reason: string): UnknownValue {
  return { known: false, reason };
}
