/** Findings as they stand in a JSON report that was read back. */
import type { Severity } from '../model/finding.js';
import { compareText, type Counts } from './order.js';

/** Lines and columns count from 1; keys beside these are kept as they are. */
export interface Reported {
  readonly rule: string;
  readonly severity: Severity;
  readonly message: string;
  readonly file: string;
  readonly line: number;
  readonly column: number;
  readonly endLine: number;
  readonly endColumn: number;
  readonly subject: string;
  readonly waived: object | null;
}

/** Each once, in the order of one report of everything. */
export function inMergedOrder(findings: readonly Reported[]): readonly Reported[] {
  const seen = new Map(findings.map((finding) => [JSON.stringify(finding), finding]));
  return [...seen.values()].sort(
    (one, other) =>
      compareText(one.file, other.file) ||
      one.line - other.line ||
      one.column - other.column ||
      one.endLine - other.endLine ||
      one.endColumn - other.endColumn ||
      compareText(one.rule, other.rule) ||
      compareText(one.subject, other.subject) ||
      compareText(one.message, other.message),
  );
}

/** A waived one counts as accepted, whatever its severity. */
export function countsOfReported(findings: readonly Reported[]): Counts {
  const counts = { error: 0, warning: 0, hint: 0, accepted: 0 };
  for (const { severity, waived } of findings) {
    counts[waived === null ? severity : 'accepted'] += 1;
  }
  return counts;
}
