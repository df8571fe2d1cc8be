/** Comparing computed values with limits. */

/** Sums of decimal fractions are off by about this part of themselves. */
const ROUNDING = 1e-9;

/** Whether a value is above a limit by more than the rounding of a sum. */
export function isAbove(value: number, limit: number): boolean {
  return value > limit + ROUNDING * Math.max(1, Math.abs(limit));
}

/** A value without the last digits in which sums of decimal fractions go astray. */
export function withoutRounding(value: number): number {
  // Whole numbers of fewer digits have nothing to lose; the 0 makes one of a negative zero.
  return Number.isInteger(value) && Math.abs(value) < 1e12 ? value : Number(value.toPrecision(12));
}
