/** The word that somebody probably meant. */

/** The nearest candidate within a third of the word's length (at least one slip), or undefined. */
export function nearest(word: string, candidates: Iterable<string>): string | undefined {
  const wanted = word.toLowerCase();
  const bound = Math.max(1, Math.floor(word.length / 3));
  let best: string | undefined;
  let bestDistance = bound + 1;
  for (const candidate of candidates) {
    if (Math.abs(candidate.length - word.length) > bound) {
      continue;
    }
    const distance = slips(wanted, candidate.toLowerCase(), bestDistance);
    if (distance < bestDistance || (distance === bestDistance && best !== undefined && candidate < best)) {
      best = candidate;
      bestDistance = distance;
    }
  }
  return bestDistance <= bound ? best : undefined;
}

/** Edits between two words, two neighbours swapped counting as one; gives up at `limit`. */
function slips(one: string, other: string, limit: number): number {
  let beforeLast: number[] = [];
  let last = Array.from({ length: other.length + 1 }, (_, column) => column);
  for (let row = 1; row <= one.length; row++) {
    const current = [row];
    let least = row;
    for (let column = 1; column <= other.length; column++) {
      const same = one[row - 1] === other[column - 1] ? 0 : 1;
      let cost = Math.min(last[column]! + 1, current[column - 1]! + 1, last[column - 1]! + same);
      if (row > 1 && column > 1 && one[row - 1] === other[column - 2] && one[row - 2] === other[column - 1]) {
        cost = Math.min(cost, beforeLast[column - 2]! + 1);
      }
      current.push(cost);
      least = Math.min(least, cost);
    }
    if (least >= limit) {
      return limit;
    }
    beforeLast = last;
    last = current;
  }
  return last[other.length]!;
}
