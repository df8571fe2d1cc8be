/**
 * Why a site was seen otherwise than it is written: the faults that explain what was seen, ranked, and
 * the look that would tell most about those that remain.
 *
 * A fault explains an observation where what it predicts agrees within the meter's tolerance. Faults
 * that nothing on the site tells apart form one group.
 */
import type { Site } from '../../model/site.js';
import { seenOn, sightIn } from './evidence.js';
import type { AnyObserved, Evidence } from './evidence.js';
import { faultKey, LIKELIHOOD } from './fault.js';
import type { Fault } from './fault.js';
import { sightText } from './look.js';
import type { Look, Sight } from './look.js';
import { nextLookOf } from './next-look.js';
import type { NextLook } from './next-look.js';
import { possibleFaults } from './possible-faults.js';
import { predictorOf } from './predictor.js';
import type { Picture, Predictor } from './predictor.js';

/** One fault, or two that stand together, with what they make of the observations. */
export interface Candidate {
  readonly faults: readonly Fault[];
  /** Those of the pictures it may give that explain most. */
  readonly pictures: readonly Picture[];
  readonly explained: readonly AnyObserved[];
  readonly contradicted: readonly AnyObserved[];
  /** Relative; see {@link LIKELIHOOD}. Lower where readings lie at the edge of the tolerance. */
  readonly likelihood: number;
}

/** Candidates that nothing on the site tells apart. */
export interface CandidateGroup {
  readonly candidates: readonly Candidate[];
  readonly explained: readonly AnyObserved[];
  readonly contradicted: readonly AnyObserved[];
  /** The sum of its candidates', as a part of 1 over all groups that explain as much. */
  readonly share: number;
}

export type Verdict =
  /** Nobody recorded anything that can be compared. */
  | 'nothing-seen'
  | 'as-expected'
  /** `single`, `pair`: so many faults explain everything. */
  | 'single'
  | 'pair'
  /** Neither one fault nor two explain everything; the groups explain most. */
  | 'unexplained';

export interface Diagnosis {
  readonly verdict: Verdict;
  readonly evidence: readonly AnyObserved[];
  /** Those of the evidence that the site as written contradicts. */
  readonly deviating: readonly AnyObserved[];
  /** Observations that no prediction is made for. */
  readonly unused: readonly AnyObserved[];
  /** The best first. */
  readonly groups: readonly CandidateGroup[];
  /** Undefined where no look tells the groups apart. */
  readonly next: NextLook | undefined;
}

/** `predictor` may be that of the same site with other observations: nothing in it hangs on them. */
export function diagnosisOf(site: Site, predictor: Predictor = predictorOf(site)): Diagnosis {
  const { evidence, unused, settled } = seenOn(site, predictor.looks);
  const intact = weigh(predictor, evidence, [], new Map());
  const common = {
    evidence: evidence.map(({ observed }) => observed),
    deviating: intact.contradicted,
    unused,
  };
  if (evidence.length === 0 || intact.contradicted.length === 0) {
    const verdict = evidence.length === 0 ? 'nothing-seen' : 'as-expected';
    return { ...common, verdict, groups: [], next: undefined };
  }
  const singles = candidatesOf(predictor, evidence, possibleFaults(site).map(one));
  const complete = singles.filter(({ contradicted }) => contradicted.length === 0);
  if (complete.length > 0) {
    return finish('single', complete);
  }
  const pairs = candidatesOf(
    predictor,
    evidence,
    pairsWorthTrying(predictor, evidence, singles),
  ).filter(({ contradicted }) => contradicted.length === 0);
  return pairs.length > 0
    ? finish('pair', pairs)
    : finish('unexplained', best(singles, intact.explained.length));

  function finish(verdict: Verdict, candidates: readonly Candidate[]): Diagnosis {
    const groups = grouped(candidates);
    return { ...common, verdict, groups, next: nextLookOf(predictor, groups, settled) };
  }
}

function one(fault: Fault): readonly Fault[] {
  return [fault];
}

function candidatesOf(
  predictor: Predictor,
  evidence: readonly Evidence[],
  all: readonly (readonly Fault[])[],
): readonly Candidate[] {
  return all.map((faults) => candidateOf(predictor, evidence, faults));
}

/** Of the pictures that faults may give, those that explain most speak for them. */
function candidateOf(
  predictor: Predictor,
  evidence: readonly Evidence[],
  faults: readonly Fault[],
): Candidate {
  const weighed = predictor
    .pictures(faults)
    .map((picture) => weigh(predictor, evidence, faults, picture));
  const most = Math.max(...weighed.map(({ explained }) => explained.length));
  const kept = weighed.filter(({ explained }) => explained.length === most);
  return { ...kept[0]!, pictures: kept.flatMap(({ pictures }) => pictures) };
}

function weigh(
  predictor: Predictor,
  evidence: readonly Evidence[],
  faults: readonly Fault[],
  picture: Picture,
): Candidate {
  const explained: AnyObserved[] = [];
  const contradicted: AnyObserved[] = [];
  let misfit = 0;
  for (const { look, observed, distance } of evidence) {
    const intact = predictor.intact(look);
    const off = distance(
      sightIn(picture, (key) => predictor.intact(key), look),
      intact,
    );
    if (off <= AT_TOLERANCE) {
      explained.push(observed);
      misfit += (off * DEVIATIONS_IN_TOLERANCE) ** 2 / 2;
    } else {
      contradicted.push(observed);
    }
  }
  const prior = faults.reduce((product, { kind }) => product * LIKELIHOOD[kind], 1);
  return {
    faults,
    pictures: [picture],
    explained,
    contradicted,
    likelihood: prior * Math.exp(-misfit),
  };
}

/** A reading at the very edge of the tolerance is within it. */
const AT_TOLERANCE = 1 + 1e-9;

/** A tolerance is taken for two standard deviations (common practice: nineteen of twenty readings lie in it). */
const DEVIATIONS_IN_TOLERANCE = 2;

/** The candidates that explain most, where that is more than the site without a fault explains. */
function best(candidates: readonly Candidate[], intact: number): readonly Candidate[] {
  const most = Math.max(0, ...candidates.map(({ explained }) => explained.length));
  return most <= intact ? [] : candidates.filter(({ explained }) => explained.length === most);
}

/**
 * Pairs of which each fault changes something that was seen otherwise than written, and which together
 * change all of it. Faults that change it alike are tried by one of them first.
 */
function pairsWorthTrying(
  predictor: Predictor,
  evidence: readonly Evidence[],
  singles: readonly Candidate[],
): readonly (readonly Fault[])[] {
  const intact = weigh(predictor, evidence, [], new Map());
  const isDeviating = new Set(intact.contradicted);
  const deviating = [
    ...new Set(
      evidence.filter(({ observed }) => isDeviating.has(observed)).map(({ look }) => look),
    ),
  ];
  const seen = [...new Set(evidence.map(({ look }) => look))];
  const kinds = new Map<string, Kind>();
  for (const { faults, pictures } of singles) {
    const changed = new Set(
      deviating.filter((look) => pictures.some((picture) => picture.has(look))),
    );
    if (changed.size > 0) {
      const key = pictures.map((picture) => pictureText(picture, seen)).join('\u0002');
      const kind = kinds.get(key) ?? { changed, faults: [] };
      kind.faults.push(faults[0]!);
      kinds.set(key, kind);
    }
  }
  const all = [...kinds.values()];
  const found: (readonly Fault[])[] = [];
  for (const [index, kind] of all.entries()) {
    for (const other of all.slice(index)) {
      const covers = deviating.every((look) => kind.changed.has(look) || other.changed.has(look));
      if (covers && explainsAll(predictor, evidence, [kind.faults[0]!, other.faults.at(-1)!])) {
        found.push(...pairsOf(kind, other));
      }
    }
    if (found.length > MOST_PAIRS) {
      break;
    }
  }
  return found.slice(0, MOST_PAIRS);
}

/** Beyond this many pairs nobody reads on: more observations are needed. */
const MOST_PAIRS = 2000;

interface Kind {
  readonly changed: ReadonlySet<string>;
  readonly faults: Fault[];
}

function pairsOf(kind: Kind, other: Kind): readonly (readonly Fault[])[] {
  return kind === other
    ? kind.faults.flatMap((first, index) =>
        kind.faults.slice(index + 1).map((second) => [first, second]),
      )
    : kind.faults.flatMap((first) => other.faults.map((second) => [first, second]));
}

function explainsAll(
  predictor: Predictor,
  evidence: readonly Evidence[],
  faults: readonly Fault[],
): boolean {
  return candidateOf(predictor, evidence, faults).contradicted.length === 0;
}

/** By what they give on the whole site; the likeliest group first, within it the likeliest candidate. */
function grouped(candidates: readonly Candidate[]): readonly CandidateGroup[] {
  const byPicture = new Map<string, Candidate[]>();
  for (const candidate of candidates) {
    const key = candidateText(candidate);
    const group = byPicture.get(key);
    if (group === undefined) {
      byPicture.set(key, [candidate]);
    } else {
      group.push(candidate);
    }
  }
  const total = candidates.reduce((sum, { likelihood }) => sum + likelihood, 0);
  return [...byPicture.values()]
    .map((group): CandidateGroup => {
      const sorted = [...group].sort(
        (left, right) =>
          right.likelihood - left.likelihood || (keyOf(left) < keyOf(right) ? -1 : 1),
      );
      const { explained, contradicted } = sorted[0]!;
      const sum = group.reduce((all, { likelihood }) => all + likelihood, 0);
      return {
        candidates: sorted,
        explained,
        contradicted,
        share: total > 0 ? sum / total : 1 / candidates.length,
      };
    })
    .sort(
      (left, right) =>
        right.share - left.share ||
        (keyOf(left.candidates[0]!) < keyOf(right.candidates[0]!) ? -1 : 1),
    );
}

function keyOf({ faults }: Candidate): string {
  return faults.map(faultKey).join(' ');
}

/** What people can tell of a candidate: the same for candidates that no look tells apart. */
export function candidateText({ pictures }: Pick<Candidate, 'pictures'>): string {
  return [...new Set(pictures.map((picture) => pictureText(picture)))].sort().join('\u0002');
}

function pictureText(picture: Picture, looks: Iterable<string> = picture.keys()): string {
  return [...looks]
    .flatMap((look) => {
      const sight = picture.get(look);
      return sight === undefined ? [] : [`${look}=${sightText(sight)}`];
    })
    .sort()
    .join('\u0001');
}

export type { Fault } from './fault.js';
export type { Look, NextLook, Sight };
