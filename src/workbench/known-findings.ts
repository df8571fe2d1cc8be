/**
 * Findings that were there before: those of an earlier version, and those that a site was adopted with.
 *
 * They are told from new ones by rule, file and subject, each once, and one that is measured only as
 * long as it has become no worse. Rules that guard life are never known: they count each time.
 */
import type { LocatedFinding } from '../model/located.js';
import { isAcceptable } from '../rules/evaluate.js';

export interface KnownFinding {
  readonly rule: string;
  readonly file: string;
  readonly subject: string;
  /** What was measured; missing where the rule measures nothing. */
  readonly value?: number;
  readonly unit?: string;
}

export interface Sifted {
  /** What is new, and what is accepted, in the order it came in. */
  readonly findings: readonly LocatedFinding[];
  /** What is left of the known ones, with what they measure today. */
  readonly still: readonly KnownFinding[];
}

/** The findings that may be known: neither accepted already nor about something that guards life. */
export function knownOf(findings: readonly LocatedFinding[]): readonly KnownFinding[] {
  return findings.filter(mayBeKnown).map(knownFinding);
}

/** Takes away what is known. */
export function sifted(
  findings: readonly LocatedFinding[],
  known: readonly KnownFinding[],
): Sifted {
  const left = new Map<string, KnownFinding[]>();
  for (const one of known) {
    left.set(keyOf(one), [...(left.get(keyOf(one)) ?? []), one]);
  }
  const still: KnownFinding[] = [];
  const rest = findings.filter((located) => {
    if (!mayBeKnown(located)) {
      return true;
    }
    const today = knownFinding(located);
    const candidates = left.get(keyOf(today)) ?? [];
    const lowerIsWorse = located.finding.waivable?.lowerIsWorse === true;
    const place = candidates.findIndex((one) => !isWorse(today, one, lowerIsWorse));
    if (place < 0) {
      return true;
    }
    candidates.splice(place, 1);
    still.push(today);
    return false;
  });
  return { findings: rest, still };
}

function mayBeKnown({ finding }: LocatedFinding): boolean {
  return finding.waived === null && isAcceptable(finding.rule);
}

function knownFinding({ finding, at }: LocatedFinding): KnownFinding {
  const { rule, subject, waivable } = finding;
  const measured = waivable === undefined ? {} : { value: waivable.value, unit: waivable.unit };
  return { rule, file: at.file, subject, ...measured };
}

function keyOf({ rule, file, subject }: KnownFinding): string {
  return JSON.stringify([rule, file, subject]);
}

/** Computed numbers may differ in their last bits without being worse. */
const leastPart = 1e-9;

function isWorse(today: KnownFinding, before: KnownFinding, lowerIsWorse: boolean): boolean {
  if (today.value === undefined || before.value === undefined || today.unit !== before.unit) {
    return today.value !== before.value;
  }
  const step = lowerIsWorse ? before.value - today.value : today.value - before.value;
  return step > Math.abs(before.value) * leastPart;
}
