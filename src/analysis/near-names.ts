/** Names that a person may have meant, for messages and fixes. */
import { compareNames } from '../model/site.js';

/**
 * The known names nearest to a mistyped one, nearest first, equal ones by name.
 *
 * Letter case is ignored. A name counts as near where at most a third of its characters, or one
 * where there are fewer than three, had to be added, left out, replaced or swapped with the
 * neighbour. Where no character is left as it was, as between two single letters, nothing tells that
 * one was meant by the other.
 */
export function nearNames(mistyped: string, known: Iterable<string>, most = 3): readonly string[] {
  const wanted = mistyped.toLowerCase();
  const near: { readonly name: string; readonly distance: number }[] = [];
  for (const name of known) {
    const longer = Math.max(name.length, wanted.length);
    const allowed = longer === 1 ? 0 : Math.max(1, Math.floor(longer / 3));
    if (Math.abs(name.length - wanted.length) > allowed) {
      continue;
    }
    const distance = editDistance(wanted, name.toLowerCase());
    if (distance <= allowed) {
      near.push({ name, distance });
    }
  }
  near.sort((one, other) => one.distance - other.distance || compareNames(one.name, other.name));
  return near.slice(0, most).map((one) => one.name);
}

/** Optimal string alignment distance: insertions, deletions, replacements and swaps of neighbours. */
export function editDistance(from: string, to: string): number {
  let beforeLast: number[] = [];
  let last = Array.from({ length: to.length + 1 }, (_, index) => index);
  for (let row = 1; row <= from.length; row++) {
    const current = [row];
    for (let column = 1; column <= to.length; column++) {
      const same = from[row - 1] === to[column - 1];
      let best = Math.min(
        last[column]! + 1,
        current[column - 1]! + 1,
        last[column - 1]! + (same ? 0 : 1),
      );
      const swapped =
        row > 1 &&
        column > 1 &&
        from[row - 1] === to[column - 2] &&
        from[row - 2] === to[column - 1];
      if (swapped) {
        best = Math.min(best, beforeLast[column - 2]! + 1);
      }
      current.push(best);
    }
    beforeLast = last;
    last = current;
  }
  return last[to.length]!;
}
