/** The look that tells most about the candidates that remain. */
import { lookKey } from './look.js';
import type { Look, Sight } from './look.js';
import { sightText } from './look.js';
import type { CandidateGroup } from './diagnosis.js';
import type { Predictor } from './predictor.js';

/** What may be seen, and which groups are left then. */
export interface Outcome {
  readonly sight: Sight;
  /** Indexes of groups. */
  readonly groups: readonly number[];
}

export interface NextLook {
  readonly look: Look;
  readonly outcomes: readonly Outcome[];
  /** Groups that are left afterwards on average, by their shares. */
  readonly expectedLeft: number;
}

/**
 * The look with the largest expected reduction; of several the one that costs least: a display before
 * a page, a page before a meter, extra-low voltage before a line that has to be switched off, mains
 * last. Undefined where no look tells two groups apart.
 */
export function nextLookOf(
  predictor: Predictor,
  groups: readonly CandidateGroup[],
  settled: ReadonlySet<string>,
): NextLook | undefined {
  let best: NextLook | undefined;
  for (const look of worthLooking(predictor, groups)) {
    if (settled.has(lookKey(look))) {
      continue;
    }
    const outcomes = outcomesOf(predictor, groups, look);
    if (outcomes.length < 2) {
      continue;
    }
    const expectedLeft = leftAfter(groups, outcomes);
    const isBetter =
      best === undefined ||
      expectedLeft < best.expectedLeft - 1e-9 ||
      (expectedLeft < best.expectedLeft + 1e-9 && effort(look) < effort(best.look));
    if (isBetter && expectedLeft < groups.length - 1e-9) {
      best = { look, outcomes, expectedLeft };
    }
  }
  return best;
}

/** Only what some group changes can tell groups apart. */
function worthLooking(predictor: Predictor, groups: readonly CandidateGroup[]): readonly Look[] {
  const changed = new Set<string>();
  for (const { candidates } of groups) {
    for (const picture of candidates[0]!.pictures) {
      for (const look of picture.keys()) {
        changed.add(look);
      }
    }
  }
  return predictor.looks.filter((look) => changed.has(lookKey(look)));
}

interface Case {
  readonly group: number;
  readonly sight: Sight;
}

/** Cases that a meter cannot tell apart are one outcome. */
function outcomesOf(
  predictor: Predictor,
  groups: readonly CandidateGroup[],
  look: Look,
): readonly Outcome[] {
  const key = lookKey(look);
  const cases = groups.flatMap(({ candidates }, group) =>
    candidates[0]!.pictures.map((picture): Case => ({
      group,
      sight: picture.get(key) ?? predictor.intact(key),
    })),
  );
  if (cases.some(({ sight }) => sight.kind === 'unknown')) {
    return [];
  }
  const clusters = look.kind === 'units' || look.kind === 'page' ? alike(cases) : close(cases);
  return clusters.map((cluster) => ({
    sight: cluster[0]!.sight,
    groups: [...new Set(cluster.map(({ group }) => group))],
  }));
}

function alike(cases: readonly Case[]): readonly (readonly Case[])[] {
  const clusters = new Map<string, Case[]>();
  for (const one of cases) {
    const key = sightText(one.sight);
    clusters.set(key, [...(clusters.get(key) ?? []), one]);
  }
  return [...clusters.values()];
}

/** Part of a reading by which two must differ at least to be told apart. Common practice. */
const APART = 0.1;

function close(cases: readonly Case[]): readonly (readonly Case[])[] {
  const sorted = [...cases].sort((one, other) => lowOf(one) - lowOf(other));
  const clusters: Case[][] = [];
  let reach = Number.NEGATIVE_INFINITY;
  for (const one of sorted) {
    const low = lowOf(one);
    const margin = APART * Math.abs(low);
    const last = clusters.at(-1);
    if (last === undefined || low - margin > reach) {
      clusters.push([one]);
    } else {
      last.push(one);
    }
    reach = Math.max(reach, highOf(one));
  }
  return clusters;
}

function lowOf({ sight }: Case): number {
  return sight.kind === 'reading' ? sight.low : 0;
}

function highOf({ sight }: Case): number {
  return sight.kind === 'reading' ? sight.high : 0;
}

/** Each outcome is as likely as its groups; a group that may show itself in several stays in each. */
function leftAfter(groups: readonly CandidateGroup[], outcomes: readonly Outcome[]): number {
  const cases = groups.map((_, group) =>
    outcomes.reduce((sum, outcome) => sum + (outcome.groups.includes(group) ? 1 : 0), 0),
  );
  return outcomes.reduce((sum, outcome) => {
    const chance = outcome.groups.reduce(
      (all, group) => all + groups[group]!.share / cases[group]!,
      0,
    );
    return sum + chance * outcome.groups.length;
  }, 0);
}

function effort(look: Look): number {
  return ['units', 'page', 'idle', 'voltage', 'ohm'].indexOf(look.kind);
}
