/** How each `accept` line of a site fares against the findings. */
import type { Finding, WaivedBy } from '../model/finding.js';
import type { DeclarationId } from '../model/origin.js';
import type { Waiver } from '../model/records.js';
import { compareNames } from '../model/site.js';
import type { RuleFacts } from './raised.js';

/** What became of a waiver. */
export type WaiverVerdict =
  /** It covers these findings. */
  | { readonly kind: 'covers'; readonly findings: readonly Finding[] }
  /** There is nothing that it could cover; `near` are members of its subject on which its rule is raised. */
  | { readonly kind: 'unused'; readonly near: readonly string[] }
  /** It gives no reason or no date, so it accepts nothing. */
  | { readonly kind: 'incomplete'; readonly lacks: readonly ('because' | 'until')[] }
  /** Its `up to` cannot be compared: other unit, or the rule measures nothing. */
  | { readonly kind: 'incomparable'; readonly finding: Finding }
  /** Its day has passed; these findings count again. */
  | { readonly kind: 'expired'; readonly findings: readonly Finding[] }
  /** The measured value is beyond its `up to`: those findings count again, the others stay covered. */
  | {
      readonly kind: 'exceeded';
      readonly findings: readonly Finding[];
      readonly within: readonly Finding[];
    }
  /** It names a rule that cannot be accepted away. */
  | { readonly kind: 'refused' }
  /** It names a rule that does not exist. */
  | { readonly kind: 'unknown-rule' };

/** A waiver with its verdict. */
export interface JudgedWaiver {
  readonly id: DeclarationId;
  readonly waiver: Waiver;
  readonly verdict: WaiverVerdict;
}

/** Every rule by name, those that the language raises included. */
export type RuleBook = ReadonlyMap<string, RuleFacts>;

interface WaiverEntry {
  readonly id: DeclarationId;
  readonly record: Waiver;
}

/** What judging gives: the verdicts in the order of the waivers, and who covers which finding. */
export interface Judgement {
  readonly waivers: readonly JudgedWaiver[];
  readonly coveredBy: ReadonlyMap<Finding, WaivedBy>;
}

/**
 * Compares waivers with findings on a day (ISO date; the day of `until` itself still counts).
 *
 * A finding is covered by the first waiver that can cover it; an expired or exceeded waiver whose
 * findings another one covers has nothing left to say.
 */
export function judgeWaivers(
  waivers: readonly WaiverEntry[],
  findings: readonly Finding[],
  book: RuleBook,
  on: string,
): Judgement {
  const byKey = new Map<string, Finding[]>();
  for (const finding of findings) {
    // Whoever accepts it may name what is wrong, or the declaration that the line stands in.
    for (const name of new Set([finding.subject, finding.at.declaration])) {
      const key = keyOf(finding.rule, name);
      const list = byKey.get(key);
      if (list === undefined) {
        byKey.set(key, [finding]);
      } else {
        list.push(finding);
      }
    }
  }
  const coveredBy = new Map<Finding, WaivedBy>();
  const first = waivers.map(({ id, record }) => {
    const matching = byKey.get(keyOf(record.rule, record.on)) ?? [];
    const near = () => membersRaised(findings, record);
    const verdict = verdictOf(record, matching, near, book, on);
    for (const finding of coveredIn(verdict)) {
      if (!coveredBy.has(finding)) {
        coveredBy.set(finding, waivedByOf(record));
      }
    }
    return { id, waiver: record, verdict };
  });
  return { waivers: first.map((judged) => withoutCovered(judged, coveredBy)), coveredBy };
}

/** Whether a measured value is still within a waiver's `up to`. Undefined where they cannot be compared. */
export function isWithin(
  upTo: NonNullable<Waiver['upTo']>,
  measured: Finding['waivable'],
): boolean | undefined {
  if (measured === undefined || measured.unit !== upTo.unit) {
    return undefined;
  }
  return measured.lowerIsWorse ? measured.value >= upTo.value : measured.value <= upTo.value;
}

function verdictOf(
  waiver: Waiver,
  matching: readonly Finding[],
  near: () => readonly string[],
  book: RuleBook,
  on: string,
): WaiverVerdict {
  const rule = book.get(waiver.rule);
  if (rule === undefined) {
    return { kind: 'unknown-rule' };
  }
  if (!rule.acceptable) {
    return { kind: 'refused' };
  }
  const lacks = lackingIn(waiver);
  if (lacks.length > 0) {
    return { kind: 'incomplete', lacks };
  }
  if (matching.length === 0) {
    return { kind: 'unused', near: near() };
  }
  if (waiver.until !== undefined && waiver.until < on) {
    return { kind: 'expired', findings: matching };
  }
  const upTo = waiver.upTo;
  if (upTo === undefined) {
    return { kind: 'covers', findings: matching };
  }
  const incomparable = matching.find((one) => isWithin(upTo, one.waivable) === undefined);
  if (incomparable !== undefined) {
    return { kind: 'incomparable', finding: incomparable };
  }
  const beyond = matching.filter((one) => isWithin(upTo, one.waivable) === false);
  return beyond.length > 0
    ? {
        kind: 'exceeded',
        findings: beyond,
        within: matching.filter((one) => !beyond.includes(one)),
      }
    : { kind: 'covers', findings: matching };
}

function coveredIn(verdict: WaiverVerdict): readonly Finding[] {
  return verdict.kind === 'covers'
    ? verdict.findings
    : verdict.kind === 'exceeded'
      ? verdict.within
      : [];
}

/** A reason of blanks is no reason. */
function lackingIn(waiver: Waiver): readonly ('because' | 'until')[] {
  const lacks: ('because' | 'until')[] = [];
  if ((waiver.because ?? '').trim() === '') {
    lacks.push('because');
  }
  if (waiver.until === undefined) {
    lacks.push('until');
  }
  return lacks;
}

function withoutCovered(
  judged: JudgedWaiver,
  coveredBy: ReadonlyMap<Finding, WaivedBy>,
): JudgedWaiver {
  const { verdict } = judged;
  if (verdict.kind !== 'expired' && verdict.kind !== 'exceeded') {
    return judged;
  }
  const findings = verdict.findings.filter((finding) => !coveredBy.has(finding));
  if (findings.length > 0) {
    return { ...judged, verdict: { ...verdict, findings } };
  }
  const within = coveredIn(verdict);
  return {
    ...judged,
    verdict:
      within.length > 0 ? { kind: 'covers', findings: within } : { kind: 'unused', near: [] },
  };
}

/** A finding about an inlet stands on `ZC-1.supply`, so a waiver on `ZC-1` does not reach it. */
function membersRaised(findings: readonly Finding[], waiver: Waiver): readonly string[] {
  const subjects = findings
    .filter(({ rule, subject }) => rule === waiver.rule && subject.startsWith(`${waiver.on}.`))
    .map(({ subject }) => subject);
  return [...new Set(subjects)].sort(compareNames);
}

function waivedByOf(waiver: Waiver): WaivedBy {
  return {
    because: waiver.because ?? '',
    until: waiver.until ?? null,
    upTo: waiver.upTo ?? null,
  };
}

function keyOf(rule: string, subject: string): string {
  return `${rule}\u0001${subject}`;
}
