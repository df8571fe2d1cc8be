/** How much cable to cut for each run, and how to cut the runs from reels so that none is joined. */

/** Cable beyond the length of the run, for stripping, dressing and a second try. Common practice. */
export const CUT_ALLOWANCE = { percent: 5, leastM: 1, stepM: 0.5 } as const;

export interface Cut {
  /** The cable's name. */
  readonly id: string;
  readonly cutM: number;
}

export interface Reel {
  readonly reelM: number;
  readonly cuts: readonly Cut[];
  /** What is left at the end. */
  readonly restM: number;
}

export interface CutPlan {
  readonly reels: readonly Reel[];
  /** Runs that are longer than a reel: ordered as lengths of their own. */
  readonly tooLong: readonly Cut[];
}

/**
 * The length in metres to cut for a run: 5 % and at least 1 m more, rounded up to half a metre.
 *
 * A run that just fits a reel takes the whole reel and not two of them.
 */
export function cutLengthM(lengthM: number, reelM: number | undefined): number {
  const { percent, leastM, stepM } = CUT_ALLOWANCE;
  const wantedM = Math.max(lengthM * (1 + percent / 100), lengthM + leastM);
  // The small number keeps 10.5000000001 from becoming 11.
  const cutM = Math.ceil(wantedM / stepM - 1e-9) * stepM;
  return reelM !== undefined && lengthM <= reelM && cutM > reelM ? reelM : cutM;
}

/** Up to this many runs no plan takes fewer reels than the one that is given. */
export const EXACT_CUTS = 12;

/**
 * Cuts runs from reels of one length: longest first, each from the first reel that still has
 * enough (first-fit decreasing), and once more from the fullest that has (best-fit decreasing);
 * the plan with fewer reels counts. Up to twelve runs every division among reels is looked at as
 * well, and counts where it takes fewer. Ties go by the order of the given list.
 */
export function cutFromReels(cuts: readonly Cut[], reelM: number): CutPlan {
  const fitting = cuts.filter((cut) => cut.cutM <= reelM);
  const longestFirst = [...fitting].sort((one, other) => other.cutM - one.cutM);
  const first = fill(longestFirst, reelM, (rests, cutM) => rests.findIndex((rest) => rest >= cutM));
  const best = fill(longestFirst, reelM, fullestThatTakes);
  const quick = best.length < first.length ? best : first;
  const totalM = fitting.reduce((sum, cut) => sum + cut.cutM, 0);
  const mayBeFewer = fitting.length <= EXACT_CUTS && quick.length > Math.ceil(totalM / reelM);
  const fewest = mayBeFewer ? fewestReels(longestFirst, reelM) : quick;
  return {
    reels: fewest.length < quick.length ? fewest : quick,
    tooLong: cuts.filter((cut) => cut.cutM > reelM),
  };
}

type Choose = (restsM: readonly number[], cutM: number) => number;

function fill(cuts: readonly Cut[], reelM: number, choose: Choose): readonly Reel[] {
  const restsM: number[] = [];
  const onReel: Cut[][] = [];
  for (const cut of cuts) {
    const chosen = choose(restsM, cut.cutM);
    const reel = chosen < 0 ? restsM.length : chosen;
    if (reel === restsM.length) {
      restsM.push(reelM);
      onReel.push([]);
    }
    restsM[reel]! -= cut.cutM;
    onReel[reel]!.push(cut);
  }
  return onReel.map((taken, index) => ({ reelM, cuts: taken, restM: restsM[index]! }));
}

/** Cuts laid out one after the other: how many reels they take, and how much of the last one. */
interface Taken {
  readonly reels: number;
  readonly lastM: number;
  /** Which cut came last; −1 before the first. */
  readonly cut: number;
}

/**
 * The division with the fewest reels. For each set of cuts the best way to lay it out one after the
 * other is kept: fewest reels, and of those the one that leaves most on the last (2^cuts steps).
 */
function fewestReels(cuts: readonly Cut[], reelM: number): readonly Reel[] {
  const best: Taken[] = [{ reels: 0, lastM: reelM, cut: -1 }];
  for (let set = 1; set < 1 << cuts.length; set += 1) {
    let least: Taken | undefined;
    cuts.forEach(({ cutM }, cut) => {
      const before = (set >> cut) & 1 ? best[set ^ (1 << cut)] : undefined;
      if (before === undefined) {
        return;
      }
      const fits = before.lastM + cutM <= reelM;
      const reels = fits ? before.reels : before.reels + 1;
      const lastM = fits ? before.lastM + cutM : cutM;
      if (
        least === undefined ||
        reels < least.reels ||
        (reels === least.reels && lastM < least.lastM)
      ) {
        least = { reels, lastM, cut };
      }
    });
    best.push(least!);
  }
  const onReel: Cut[][] = [];
  for (let set = best.length - 1; set > 0;) {
    const { reels, cut } = best[set]!;
    (onReel[reels - 1] ??= []).push(cuts[cut]!);
    set ^= 1 << cut;
  }
  return onReel.map((taken) => {
    const longestFirst = cuts.filter((cut) => taken.includes(cut));
    const usedM = longestFirst.reduce((sum, cut) => sum + cut.cutM, 0);
    return { reelM, cuts: longestFirst, restM: reelM - usedM };
  });
}

function fullestThatTakes(restsM: readonly number[], cutM: number): number {
  let chosen = -1;
  restsM.forEach((rest, index) => {
    if (rest >= cutM && (chosen < 0 || rest < restsM[chosen]!)) {
      chosen = index;
    }
  });
  return chosen;
}
