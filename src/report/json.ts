/** JSON for other programs: keys in a fixed order, two blanks of indentation, a line break at the end. */

/** Grows when a key goes or changes its meaning; a new key leaves it as it is. */
export const schemaVersion = 1;

/** Digits that a computed number keeps: more than any input has, fewer than binary fractions show. */
const significantDigits = 12;

export function jsonText(value: unknown): string {
  return `${JSON.stringify(value, (_, each) => (typeof each === 'number' ? rounded(each) : each), 2)}\n`;
}

/** Without the last bits of binary arithmetic and without "-0"; what is no number gives null. */
export function rounded(value: number): number | null {
  return Number.isFinite(value) ? Number(value.toPrecision(significantDigits)) + 0 : null;
}
