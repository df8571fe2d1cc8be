/** A computed figure of a bus, or what is missing to compute it. */
import type { Basis, Term } from '../../model/finding.js';

/** A figure with its working. */
export interface KnownFigure {
  readonly known: true;
  readonly value: number;
  /** `assumed` or `estimated` where something in it is; else `computed`. */
  readonly basis: Extract<Basis, 'computed' | 'estimated' | 'assumed'>;
  readonly terms: readonly Term[];
}

/** A figure that nobody can compute, with the line of text that would change that. */
export interface UnknownFigure {
  readonly known: false;
  readonly needs: string;
}

export type Figure = KnownFigure | UnknownFigure;

/** The weaker of what two parts of a figure rest on. */
export function weakerBasis(
  one: KnownFigure['basis'],
  other: KnownFigure['basis'],
): KnownFigure['basis'] {
  const order = ['computed', 'estimated', 'assumed'] as const;
  return order[Math.max(order.indexOf(one), order.indexOf(other))]!;
}
