/**
 * Parallel tracks of a channel or gutter: which line runs on which track.
 *
 * The same code serves both directions. Along the track a line covers an interval; at some places of it
 * lines leave to the one side (`before`, towards lower tracks: up in a channel, left in a gutter) or to
 * the other (`after`). Tracks are first put into an order with few crossings, then shared by lines that
 * do not meet.
 */

export type LeaveSide = 'before' | 'after';

export interface Leaving {
  readonly at: number;
  readonly side: LeaveSide;
}

export interface TrackItem {
  /** What the item needs of its track; items whose needs touch never share one. */
  readonly low: number;
  readonly high: number;
  /** From where to where its line really runs: inside `low` and `high`. */
  readonly from: number;
  readonly to: number;
  readonly leavings: readonly Leaving[];
}

export interface Tracks {
  /** Track of each item, counted from 0 at the `before` side. */
  readonly trackOf: readonly number[];
  readonly count: number;
}

/**
 * Gives each item a track.
 *
 * @param clearance Distance along the track that two items on one track keep.
 * @param settle The side towards which items move where several tracks are possible.
 */
export function assignTracks(
  items: readonly TrackItem[],
  clearance: number,
  settle: LeaveSide,
): Tracks {
  const order = orderOf(items, clearance);
  return settle === 'before' ? stacked(items, order, clearance) : mirrored(items, order, clearance);
}

/** How many lines cross where `first` runs on the lower track of the two. */
function crossings(first: TrackItem, second: TrackItem): number {
  let count = 0;
  for (const leaving of first.leavings) {
    if (leaving.side === 'after' && leaving.at > second.from && leaving.at < second.to) count++;
  }
  for (const leaving of second.leavings) {
    if (leaving.side === 'before' && leaving.at > first.from && leaving.at < first.to) count++;
  }
  return count;
}

function meet(one: TrackItem, other: TrackItem, clearance: number): boolean {
  return one.low <= other.high + clearance && other.low <= one.high + clearance;
}

/** Insertion where it costs least, short lines first; then each item is taken out and put back while that helps. */
function orderOf(items: readonly TrackItem[], clearance: number): number[] {
  const count = items.length;
  // gain[a * count + b]: crossings with a before b, less those with b before a.
  const gain = new Int16Array(count * count);
  items.forEach((one, a) => {
    for (let b = a + 1; b < count; b++) {
      const other = items[b];
      if (!other || !meet(one, other, clearance)) continue;
      const difference = crossings(one, other) - crossings(other, one);
      gain[a * count + b] = difference;
      gain[b * count + a] = -difference;
    }
  });
  const byLength = items
    .map((item, index) => ({ index, length: item.high - item.low }))
    .sort((one, other) => one.length - other.length || one.index - other.index);
  const order: number[] = [];
  for (const { index } of byLength) order.splice(bestPosition(order, index, gain, count), 0, index);
  for (let pass = 0; pass < 4; pass++) {
    let moved = false;
    for (const { index } of byLength) {
      const from = order.indexOf(index);
      order.splice(from, 1);
      const to = bestPosition(order, index, gain, count, from);
      order.splice(to, 0, index);
      moved ||= to !== from;
    }
    if (!moved) break;
  }
  return order;
}

/** The position in an order at which an item costs least; `keep` is preferred among equals, else the last one. */
function bestPosition(
  order: readonly number[],
  item: number,
  gain: Int16Array,
  count: number,
  keep?: number,
): number {
  // Cost relative to standing first: moving past an item trades "item before it" for "it before item".
  let cost = 0;
  let best = 0;
  let bestCost = 0;
  for (let position = 1; position <= order.length; position++) {
    const passed = order[position - 1] ?? 0;
    cost += gain[passed * count + item] ?? 0;
    if (cost < bestCost || (cost === bestCost && (position === keep || best !== keep))) {
      best = position;
      bestCost = cost;
    }
  }
  return best;
}

function stacked(items: readonly TrackItem[], order: readonly number[], clearance: number): Tracks {
  const trackOf = Array<number>(items.length).fill(0);
  let count = 0;
  order.forEach((index, position) => {
    const item = items[index];
    if (!item) return;
    let track = 0;
    for (let earlier = 0; earlier < position; earlier++) {
      const other = order[earlier] ?? 0;
      const otherItem = items[other];
      if (otherItem && meet(item, otherItem, clearance)) {
        track = Math.max(track, (trackOf[other] ?? 0) + 1);
      }
    }
    trackOf[index] = track;
    count = Math.max(count, track + 1);
  });
  return { trackOf, count };
}

function mirrored(
  items: readonly TrackItem[],
  order: readonly number[],
  clearance: number,
): Tracks {
  const { trackOf, count } = stacked(items, [...order].reverse(), clearance);
  return { trackOf: trackOf.map((track) => count - 1 - track), count };
}
