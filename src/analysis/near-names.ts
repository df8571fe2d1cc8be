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
  // What is farther than the `most` nearest so far need not be measured to the end.
  const distances: number[] = [];
  for (const name of known) {
    const longer = Math.max(name.length, wanted.length);
    const allowed = Math.min(
      longer === 1 ? 0 : Math.max(1, Math.floor(longer / 3)),
      distances[most - 1] ?? Number.POSITIVE_INFINITY,
    );
    if (Math.abs(name.length - wanted.length) > allowed) {
      continue;
    }
    const distance = editDistance(wanted, name.toLowerCase(), allowed);
    if (distance !== undefined) {
      near.push({ name, distance });
      distances.push(distance);
      distances.sort((one, other) => one - other);
      distances.length = Math.min(distances.length, most);
    }
  }
  near.sort((one, other) => one.distance - other.distance || compareNames(one.name, other.name));
  return near.slice(0, most).map((one) => one.name);
}

/**
 * Optimal string alignment distance: insertions, deletions, replacements and swaps of neighbours.
 * Undefined where it is more than allowed; then only the diagonal band of that width is looked at.
 */
export function editDistance(from: string, to: string, allowed: number): number | undefined {
  // What both start and end with costs nothing, and most names of a site differ by a few characters.
  const most = Math.min(from.length, to.length);
  let start = 0;
  while (start < most && from.charCodeAt(start) === to.charCodeAt(start)) {
    start++;
  }
  let end = 0;
  while (
    end < most - start &&
    from.charCodeAt(from.length - 1 - end) === to.charCodeAt(to.length - 1 - end)
  ) {
    end++;
  }
  const [one, other] = [from.length - start - end, to.length - start - end];
  if (one === 0 || other === 0) {
    const distance = one + other;
    return distance > allowed ? undefined : distance;
  }
  // The first and the last characters of what is left differ, so one edit is enough for a single
  // character or for two that are swapped, and for nothing longer.
  if (allowed < 2 && (one > 2 || other > 2)) {
    return undefined;
  }
  return bandedDistance(
    from.slice(start, from.length - end),
    to.slice(start, to.length - end),
    allowed,
  );
}

function bandedDistance(from: string, to: string, allowed: number): number | undefined {
  const width = to.length + 1;
  const far = allowed + 1;
  let beforeLast = new Uint16Array(width).fill(far);
  let last = Uint16Array.from({ length: width }, (_, column) => Math.min(column, far));
  let current = new Uint16Array(width);
  let least = 0;
  for (let row = 1; row <= from.length; row++) {
    const leastBefore = least;
    current.fill(far);
    current[0] = Math.min(row, far);
    least = current[0];
    const end = Math.min(to.length, row + allowed);
    for (let column = Math.max(1, row - allowed); column <= end; column++) {
      const same = from[row - 1] === to[column - 1];
      let best = Math.min(
        last[column]! + 1,
        current[column - 1]! + 1,
        last[column - 1]! + (same ? 0 : 1),
        far,
      );
      const swapped =
        row > 1 &&
        column > 1 &&
        from[row - 1] === to[column - 2] &&
        from[row - 2] === to[column - 1];
      if (swapped) {
        best = Math.min(best, beforeLast[column - 2]! + 1);
      }
      current[column] = best;
      least = Math.min(least, best);
    }
    // A swap reaches back over two rows.
    if (least > allowed && leastBefore > allowed) {
      return undefined;
    }
    [beforeLast, last, current] = [last, current, beforeLast];
  }
  const distance = last[to.length]!;
  return distance > allowed ? undefined : distance;
}
