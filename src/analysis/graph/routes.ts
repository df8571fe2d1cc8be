/**
 * The shortest way through several places, each once: how a daisy chain is best laid.
 *
 * Up to twelve places by dynamic programming over subsets (Bellman; Held and Karp), so that nothing
 * shorter exists; beyond by local search (two-opt, moving short pieces, kicks) from several starts. Distances are symmetric. No chance is involved: the kicks come from a fixed sequence.
 */

/** Up to this many places the answer is exact. */
export const EXACT_PLACES = 12;

export interface Route {
  /** Places in the order of the way. */
  readonly order: readonly number[];
  /** The sum of the distances along it. */
  readonly length: number;
  /** Whether no shorter way exists. */
  readonly exact: boolean;
}

/** Which places must stand at the ends; the rest is free. */
export interface RouteEnds {
  readonly first?: number;
  readonly last?: number;
}

/** The shortest way found through all places of a square matrix of distances. */
export function shortestRoute(
  distances: readonly (readonly number[])[],
  ends: RouteEnds = {},
): Route {
  return distances.length <= EXACT_PLACES
    ? exactRoute(distances, ends)
    : searchedRoute(distances, ends);
}

/** The shortest way that exists. Time and space grow with 2^places. */
export function exactRoute(
  distances: readonly (readonly number[])[],
  { first, last }: RouteEnds = {},
): Route {
  const count = distances.length;
  if (count === 0) {
    return { order: [], length: 0, exact: true };
  }
  const full = (1 << count) - 1;
  // By set of visited places and by the last one of them: the shortest way, and the place before.
  const best = new Float64Array((full + 1) * count).fill(Number.POSITIVE_INFINITY);
  const before = new Int8Array((full + 1) * count).fill(-1);
  for (let place = 0; place < count; place += 1) {
    if (first === undefined || first === place) {
      best[(1 << place) * count + place] = 0;
    }
  }
  for (let visited = 1; visited <= full; visited += 1) {
    for (let at = 0; at < count; at += 1) {
      const so = best[visited * count + at]!;
      if (so === Number.POSITIVE_INFINITY) {
        continue;
      }
      for (let next = 0; next < count; next += 1) {
        const after = visited | (1 << next);
        if (after === visited || (next === last && after !== full)) {
          continue;
        }
        const through = so + distances[at]![next]!;
        if (through < best[after * count + next]!) {
          best[after * count + next] = through;
          before[after * count + next] = at;
        }
      }
    }
  }
  let end = last ?? 0;
  for (let place = 0; place < count; place += 1) {
    if (last === undefined && best[full * count + place]! < best[full * count + end]!) {
      end = place;
    }
  }
  const order: number[] = [];
  let visited = full;
  for (let at = end; at >= 0;) {
    order.unshift(at);
    const previous = before[visited * count + at]!;
    visited ^= 1 << at;
    at = previous;
  }
  return { order, length: best[full * count + end]!, exact: true };
}

/** A short way found by local search. */
export function searchedRoute(
  distances: readonly (readonly number[])[],
  ends: RouteEnds = {},
): Route {
  if (distances.length < 3) {
    return { ...exactRoute(distances, ends), exact: false };
  }
  const search = new Search(distances, ends);
  const starts = search.starts();
  let best = search.improved(starts[0]!);
  for (const start of starts.slice(1)) {
    const found = search.improved(start);
    best = found.length < best.length ? found : best;
  }
  const kick = sequence();
  const kicks = Math.max(20, Math.min(MOST_KICKS, Math.floor(30_000 / distances.length)));
  let current = best;
  let fruitless = 0;
  for (let round = 0; round < kicks; round += 1) {
    const found = search.improved(search.kicked(current.order, kick));
    fruitless = found.length < current.length - LEAST_GAIN ? 0 : fruitless + 1;
    // An equally short way is taken too: from there others can be reached.
    current = found.length <= current.length ? found : current;
    best = current.length < best.length ? current : best;
    if (fruitless === MOST_FRUITLESS) {
      // This valley is searched; another one may be deeper.
      const settled = search.settled(current.order);
      best = settled.length < best.length ? settled : best;
      current = search.improved(search.shuffled(best.order, kick));
      fruitless = 0;
    }
  }
  return { ...search.settled(best.order), exact: false };
}

/** Kicks of one search at most, and those without gain after which it starts from elsewhere. */
const MOST_KICKS = 400;
const MOST_FRUITLESS = 30;

/** So many places in a row are put in their shortest order at last, exactly. */
const WINDOW = 10;

/** How many places nearest-neighbour ways start from. */
const STARTS = 12;

/** Changes smaller than this are rounding. */
const LEAST_GAIN = 1e-9;

class Search {
  readonly #distances: readonly (readonly number[])[];
  readonly #ends: RouteEnds;
  /** Positions that may be moved, first and one past the last. */
  readonly #from: number;
  readonly #to: number;

  constructor(distances: readonly (readonly number[])[], ends: RouteEnds) {
    this.#distances = distances;
    this.#ends = ends;
    this.#from = ends.first === undefined ? 0 : 1;
    this.#to = distances.length - (ends.last === undefined ? 0 : 1);
  }

  /** Ways that always go on to the nearest place that is left. */
  starts(): readonly (readonly number[])[] {
    const { first, last } = this.#ends;
    const count = this.#distances.length;
    const step = Math.max(1, Math.floor(count / STARTS));
    const heads =
      first === undefined
        ? Array.from({ length: Math.ceil(count / step) }, (_, index) => index * step)
        : [first];
    const allowed = heads.filter((head) => head !== last);
    return allowed.map((head) => this.#nearestFrom(head));
  }

  /** Reverses and moves pieces until nothing gets shorter. */
  improved(start: readonly number[]): Pick<Route, 'order' | 'length'> {
    const order = [...start];
    while (this.#reverse(order) || this.#move(order)) {
      // Each step shortens the way, so that it comes to an end.
    }
    return { order, length: this.#length(order) };
  }

  /** The way with the shortest order of any few places that follow each other. */
  settled(start: readonly number[]): Pick<Route, 'order' | 'length'> {
    let order = start;
    const windows = Math.max(1, order.length - WINDOW + 1);
    for (let low = 0, since = 0; since < windows; low = (low + 1) % windows) {
      const settled = this.#settledFrom(low, order);
      const isShorter = this.#length(settled) < this.#length(order) - LEAST_GAIN;
      since = isShorter ? 0 : since + 1;
      order = isShorter ? settled : order;
    }
    return { order, length: this.#length(order) };
  }

  #settledFrom(low: number, order: readonly number[]): readonly number[] {
    const window = order.slice(low, low + WINDOW);
    const isHead = low === 0;
    const isTail = low + WINDOW >= order.length;
    const distances = window.map((one) => window.map((other) => this.#distances[one]![other]!));
    const route = exactRoute(distances, {
      ...(isHead && this.#ends.first === undefined ? {} : { first: 0 }),
      ...(isTail && this.#ends.last === undefined ? {} : { last: window.length - 1 }),
    });
    const settled = route.order.map((place) => window[place]!);
    return [...order.slice(0, low), ...settled, ...order.slice(low + WINDOW)];
  }

  /** Two neighbouring pieces change places. */
  kicked(order: readonly number[], kick: () => number): readonly number[] {
    const room = this.#to - this.#from;
    if (room < 4) {
      return order;
    }
    const cuts = new Set<number>();
    while (cuts.size < 3) {
      cuts.add(this.#from + (kick() % (room + 1)));
    }
    const [one, two, three] = [...cuts].sort((a, b) => a - b) as [number, number, number];
    return [
      ...order.slice(0, one),
      ...order.slice(two, three),
      ...order.slice(one, two),
      ...order.slice(three),
    ];
  }

  /** All places that may be moved, in an order by chance. */
  shuffled(order: readonly number[], kick: () => number): readonly number[] {
    const mixed = [...order];
    for (let at = this.#to - 1; at > this.#from; at -= 1) {
      const other = this.#from + (kick() % (at - this.#from + 1));
      [mixed[at], mixed[other]] = [mixed[other]!, mixed[at]!];
    }
    return mixed;
  }

  #nearestFrom(head: number): readonly number[] {
    const { last } = this.#ends;
    const left = new Set(this.#distances.keys());
    left.delete(head);
    if (last !== undefined) {
      left.delete(last);
    }
    const order = [head];
    while (left.size > 0) {
      const row = this.#distances[order.at(-1)!]!;
      let nearest = -1;
      for (const place of left) {
        if (nearest < 0 || row[place]! < row[nearest]!) {
          nearest = place;
        }
      }
      left.delete(nearest);
      order.push(nearest);
    }
    return last === undefined ? order : [...order, last];
  }

  #length(order: readonly number[]): number {
    return order.reduce(
      (sum, place, position) =>
        position === 0 ? 0 : sum + this.#distances[order[position - 1]!]![place]!,
      0,
    );
  }

  /** Beyond an end there is nothing to go to. */
  #between(one: number | undefined, other: number | undefined): number {
    return one === undefined || other === undefined ? 0 : this.#distances[one]![other]!;
  }

  #reverse(order: number[]): boolean {
    for (let low = this.#from; low < this.#to - 1; low += 1) {
      for (let high = low + 1; high < this.#to; high += 1) {
        const now =
          this.#between(order[low - 1], order[low]) + this.#between(order[high], order[high + 1]);
        const then =
          this.#between(order[low - 1], order[high]) + this.#between(order[low], order[high + 1]);
        if (then < now - LEAST_GAIN) {
          order.splice(low, high - low + 1, ...order.slice(low, high + 1).reverse());
          return true;
        }
      }
    }
    return false;
  }

  /** Takes a piece of up to three places out and puts it in elsewhere, either way round. */
  #move(order: number[]): boolean {
    for (let size = 1; size <= 3; size += 1) {
      for (let low = this.#from; low + size <= this.#to; low += 1) {
        const piece = order.slice(low, low + size);
        const [head, tail] = [piece[0]!, piece.at(-1)!];
        const [left, right] = [order[low - 1], order[low + size]];
        const gain =
          this.#between(left, head) + this.#between(tail, right) - this.#between(left, right);
        const rest = [...order.slice(0, low), ...order.slice(low + size)];
        for (let at = this.#from; at <= this.#to - size; at += 1) {
          const [one, other] = [rest[at - 1], rest[at]];
          const open = this.#between(one, other);
          const straight = this.#between(one, head) + this.#between(tail, other) - open;
          const turned = this.#between(one, tail) + this.#between(head, other) - open;
          if (Math.min(straight, turned) < gain - LEAST_GAIN) {
            const put = straight <= turned ? piece : [...piece].reverse();
            order.splice(0, order.length, ...rest.slice(0, at), ...put, ...rest.slice(at));
            return true;
          }
        }
      }
    }
    return false;
  }
}

/** Whole numbers that look like chance and are always the same (mulberry32). */
function sequence(): () => number {
  let state = 1;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return (mixed ^ (mixed >>> 14)) >>> 0;
  };
}
