/** How facts about power are put together. */
import type { Basis, Fact, Term } from '../../model/finding.js';
import { compareNames } from '../../model/site.js';
import { withoutRounding } from '../bus/limits.js';
import type { Circuit } from './circuit.js';

/** Sorted, so that facts do not depend on the order of the text. */
export function byName<Item extends { readonly subject: string }>(
  items: readonly Item[],
): readonly Item[] {
  return [...items].sort((one, other) => compareNames(one.subject, other.subject));
}

/** Estimated where a length of the circuit is, else computed. */
export function basisOf(circuit: Circuit): Basis {
  return circuit.branches.some((branch) => branch.basis === 'estimated') ? 'estimated' : 'computed';
}

/** Limit and margin of a value that may not be more. */
export function atMost(value: number, limit: number | undefined): Pick<Fact, 'limit' | 'margin'> {
  return withMargin(limit, (known) => known - value);
}

/** Limit and margin of a value that may not be less. */
export function atLeast(value: number, limit: number | undefined): Pick<Fact, 'limit' | 'margin'> {
  return withMargin(limit, (known) => value - known);
}

/** A limit of 0 has no margin. */
function withMargin(
  limit: number | undefined,
  roomTo: (limit: number) => number,
): Pick<Fact, 'limit' | 'margin'> {
  if (limit === undefined) {
    return {};
  }
  const rounded = withoutRounding(limit);
  return limit === 0
    ? { limit: rounded }
    : { limit: rounded, margin: withoutRounding(roomTo(limit) / limit) };
}

/** A term without the digits in which sums go astray. */
export function rounded(one: Term): Term {
  return typeof one.value === 'number' ? { ...one, value: withoutRounding(one.value) } : one;
}

/** A fact without a value, with the line that would make it known; an empty one where no line would. */
export function unknownFact(subject: string, fact: string, unit: string, needs: string): Fact {
  return {
    subject,
    fact,
    value: null,
    unit,
    basis: 'unknown',
    ...(needs === '' ? {} : { needs }),
    terms: [],
  };
}
