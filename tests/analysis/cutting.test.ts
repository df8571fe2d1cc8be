/** Reels: no run is joined, no reel is overdrawn, and no more reels are used than first-fit decreasing or, for few runs, than any plan. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cutFromReels, cutLengthM } from '../../src/analysis/cabling/cutting.js';
import type { Cut } from '../../src/analysis/cabling/cutting.js';

const cutsOf = (max: number) =>
  fc
    .array(fc.integer({ min: 1, max: 240 }), { maxLength: max })
    .map((halves) => halves.map((half, index): Cut => ({ id: `C-${index}`, cutM: half / 2 })));

/** Twelve runs of a quarter to a half of a reel: the lengths that longest first divides worst. */
const awkwardCuts = fc
  .array(fc.oneof(fc.integer({ min: 30, max: 110 }), fc.integer({ min: 1, max: 200 })), {
    minLength: 6,
    maxLength: 12,
  })
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

  it('takes as few reels as trying every division does, up to twelve runs', () => {
    let better = 0;
    fc.assert(
      fc.property(awkwardCuts, (cuts) => {
        const lengths = cuts.filter((cut) => cut.cutM <= 100).map((cut) => cut.cutM);
        const used = cutFromReels(cuts, 100).reels.length;
        expect(used).toBe(fewestReels(lengths, 100));
        better += used < firstFitDecreasing(lengths, 100) ? 1 : 0;
      }),
      { numRuns: 1000 },
    );
    // First-fit decreasing alone would not do.
    expect(better).toBeGreaterThan(10);
  });

  it('never takes more reels than first-fit decreasing', () => {
    fc.assert(
      fc.property(cutsOf(80), fc.integer({ min: 50, max: 120 }), (cuts, reelM) => {
        const lengths = cuts.filter((cut) => cut.cutM <= reelM).map((cut) => cut.cutM);
        const used = cutFromReels(cuts, reelM).reels.length;
        expect(used).toBeLessThanOrEqual(firstFitDecreasing(lengths, reelM));
        expect(used).toBeGreaterThanOrEqual(Math.ceil(lengths.reduce((a, b) => a + b, 0) / reelM));
      }),
      { numRuns: 1000 },
    );
  });

  it('finds what only another order gives: six runs on two reels where longest first takes three', () => {
    // Longest first: 44 + 44, then 36 + 32 + 24 leave 20 without room.
    const lengths = [44, 44, 36, 32, 24, 20];
    expect(firstFitDecreasing(lengths, 100)).toBe(3);
    const plan = cutFromReels(
      lengths.map((cutM, index) => ({ id: `C-${index}`, cutM })),
      100,
    );
    expect(plan.reels).toHaveLength(2);
    expect(plan.reels.map((reel) => reel.restM)).toEqual([0, 0]);
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

/** Longest first, each from the first reel with enough left: written apart from the code under test. */
function firstFitDecreasing(lengths: readonly number[], reelM: number): number {
  const rests: number[] = [];
  for (const length of [...lengths].sort((one, other) => other - one)) {
    const reel = rests.findIndex((rest) => rest >= length);
    if (reel < 0) {
      rests.push(reelM - length);
    } else {
      rests[reel]! -= length;
    }
  }
  return rests.length;
}

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
      // Two reels with the same rest are the same choice.
      if (rest >= lengths[index]! && rests.indexOf(rest) === reel) {
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
