/** Where two texts differ, found by what they start and end with alike. */

export interface ChangedWindow {
  /** The offset up to which both are alike. */
  readonly start: number;
  /** The offset in the first text from which both are alike. */
  readonly endBefore: number;
}

export function changedWindow(before: string, after: string): ChangedWindow {
  const most = Math.min(before.length, after.length);
  const start = alike(most, (from, length) =>
    length === 1
      ? before.charCodeAt(from) === after.charCodeAt(from)
      : before.slice(from, from + length) === after.slice(from, from + length),
  );
  const end = alike(most - start, (from, length) => {
    const one = before.length - from - length;
    const other = after.length - from - length;
    return length === 1
      ? before.charCodeAt(one) === after.charCodeAt(other)
      : before.slice(one, one + length) === after.slice(other, other + length);
  });
  return { start, endBefore: before.length - end };
}

/** Long stretches are compared at once, which is many times faster than letter by letter. */
const stretches = [1 << 16, 1 << 12, 1 << 8, 1 << 4, 1];

/** How far two texts are alike, `most` at most. `isAlike`: whether they are for a length from an offset on. */
function alike(most: number, isAlike: (from: number, length: number) => boolean): number {
  let length = 0;
  for (const stretch of stretches) {
    while (length + stretch <= most && isAlike(length, stretch)) {
      length += stretch;
    }
  }
  return length;
}
