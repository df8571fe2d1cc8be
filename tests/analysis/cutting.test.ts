/** Reels: no run is joined, no reel is overdrawn, few reels are used. Bounds: first-fit decreasing takes at most 11/9 of the best and 6/9 more (published bin-packing result, from memory). */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cutFromReels, cutLengthM } from '../../src/analysis/cabling/cutting.js';
import type { Cut } from '../../src/analysis/cabling/cutting.js';

const cutsOf = (max: number) =>
  fc
    .array(fc.integer({ min: 1, max: 240 }), { maxLength: max })
    .map((halves) => halves.map((half, index): Cut => ({ id: `C-${index}`, cutM: half / 2 })));

describe('cutFromReels', () => {
  it('cuts each run once, whole, from a reel that has enough', () => {
    fc.assert(
      fc.property(cutsOf(60), fc.integer({ min: 50, max: 120 }), (cuts, reelM) => {
        const plan = cutFromReels(cuts, reelM);
        const placed = [...plan.reels.flatMap((reel) => reel.cuts), ...plan.tooLong];
        expect(placed.map((cut) => cut.id).sort()).toEqual(cuts.map((cut) => cut.id).sort());
        for (const reel of plan.reels) {
          expect(reel.restM).toBeGreaterThanOrEqual(0);
          expect(reel.restM).toBe(reelM - sum(reel.cuts));
          expect(reel.cuts.length).toBeGreaterThan(0);
        }
        expect(plan.tooLong.every((cut) => cut.cutM > reelM)).toBe(true);
      }),
      { numRuns: 1000 },
    );
  });

  it('takes at most 11/9 of the fewest reels and 6/9 more', () => {
    fc.assert(
      fc.property(cutsOf(8), (cuts) => {
        const fitting = cuts.filter((cut) => cut.cutM <= 100);
        const best = fewestReels(
          fitting.map((cut) => cut.cutM),
          100,
        );
        const used = cutFromReels(cuts, 100).reels.length;
        expect(used).toBeGreaterThanOrEqual(best);
        expect(used).toBeLessThanOrEqual((11 / 9) * best + 6 / 9);
      }),
      { numRuns: 1000 },
    );
  });

  it.each([
    [[60, 40, 40, 60], 2],
    [[51, 51], 2],
    [[100], 1],
    [[70, 50, 30, 50], 2],
    [[], 0],
  ])('puts %j m on %i reels of 100 m', (lengths, reels) => {
    const cuts = lengths.map((cutM, index) => ({ id: `C-${index}`, cutM }));
    expect(cutFromReels(cuts, 100).reels).toHaveLength(reels);
  });
});

describe('cutLengthM', () => {
  it.each([
    [18, 100, 19],
    [16, 100, 17],
    [40, 100, 42],
    [0, 100, 1],
    [10.8, 100, 12],
    [97, 100, 100],
    [100, 100, 100],
    [100.5, 100, 106],
    [100, undefined, 105],
  ])('cuts %d m from a reel of %s m at %d m', (lengthM, reelM, cutM) => {
    expect(cutLengthM(lengthM, reelM)).toBe(cutM);
  });

  it('is never shorter than the run', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 2000, noNaN: true }), (lengthM) => {
        expect(cutLengthM(lengthM, 305)).toBeGreaterThanOrEqual(lengthM);
      }),
      { numRuns: 1000 },
    );
  });
});

/** By trying every assignment. */
function fewestReels(lengths: readonly number[], reelM: number): number {
  let best = lengths.length;
  const place = (index: number, rests: readonly number[]): void => {
    if (rests.length >= best) {
      return;
    }
    if (index === lengths.length) {
      best = rests.length;
      return;
    }
    rests.forEach((rest, reel) => {
      if (rest >= lengths[index]!) {
        place(index + 1, rests.with(reel, rest - lengths[index]!));
      }
    });
    place(index + 1, [...rests, reelM - lengths[index]!]);
  };
  place(0, []);
  return best;
}

function sum(cuts: readonly Cut[]): number {
  return cuts.reduce((total, cut) => total + cut.cutM, 0);
}
