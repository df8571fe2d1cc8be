/** One slip of a finger, in each notation where a landing stands: it makes one error, and its removal mends it. */

export type Notation = 'ferrule' | 'yaml' | 'typescript';

/**
 * Where a letter is typed in: before the length of a landing in YAML, since a schema knows no names;
 * elsewhere behind the name of a device that is landed.
 */
const SLIPS: Readonly<Record<Notation, RegExp>> = {
  ferrule: /^ +land FC-\d+-\d+(?=\.field)/gmu,
  yaml: /^ +lengthM: (?=\d)/gmu,
  typescript: /^ +\{"device":"FC-\d+-\d+(?=","member":"field")/gmu,
};

/** Offsets, in text order. */
export function slipPlaces(text: string, notation: Notation): readonly number[] {
  return [...text.matchAll(SLIPS[notation])].map(({ index, 0: found }) => index + found.length);
}

export const SLIP = 'x';

export function brokenAt(text: string, offset: number): string {
  return text.slice(0, offset) + SLIP + text.slice(offset);
}
