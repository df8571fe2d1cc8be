/** The findings of one or more sites as one list: each once, in an order that depends on nothing else. */
import { messageOf, type Severity } from '../model/finding.js';
import type { LocatedFinding } from '../model/located.js';

/**
 * Sorts by file, place, rule, subject and message. What two sites find alike in a file that both use
 * is reported once.
 */
export function inReportOrder(findings: readonly LocatedFinding[]): readonly LocatedFinding[] {
  const keyed = findings.map((located) => ({ located, key: JSON.stringify(identityOf(located)) }));
  const seen = new Set<string>();
  return keyed
    .filter(({ key }) => !seen.has(key) && seen.add(key))
    .map(({ located }) => located)
    .sort(compare);
}

/** How many findings there are of each kind; a waived one counts as accepted, whatever its severity. */
export interface Counts extends Readonly<Record<Severity, number>> {
  readonly accepted: number;
}

export function countsOf(findings: readonly LocatedFinding[]): Counts {
  const counts = { error: 0, warning: 0, hint: 0, accepted: 0 };
  for (const { finding } of findings) {
    counts[finding.waived === null ? finding.severity : 'accepted'] += 1;
  }
  return counts;
}

function compare(one: LocatedFinding, other: LocatedFinding): number {
  const left = one.at.range;
  const right = other.at.range;
  return (
    compareText(one.at.file, other.at.file) ||
    left.start.line - right.start.line ||
    left.start.character - right.start.character ||
    left.end.line - right.end.line ||
    left.end.character - right.end.character ||
    compareText(one.finding.rule, other.finding.rule) ||
    compareText(one.finding.subject, other.finding.subject) ||
    compareText(messageOf(one.finding), messageOf(other.finding))
  );
}

function identityOf({ finding, at, related }: LocatedFinding) {
  const { rule, severity, subject, facts, waived } = finding;
  return [at, rule, severity, subject, messageOf(finding), related, facts, waived];
}

/** By UTF-16 units, so that no locale matters. */
export function compareText(one: string, other: string): number {
  return one < other ? -1 : one > other ? 1 : 0;
}
