/** Findings as JSON: what `ferrule check --format json` prints. */
import { messageOf } from '../model/finding.js';
import type { FileRange, LocatedFinding } from '../model/located.js';
import { jsonText, schemaVersion } from './json.js';

/** Lines and columns count from 1, `endColumn` is exclusive, `file` is as the door names it, with `/`. */
export function findingsJson(
  findings: readonly LocatedFinding[],
  /** The share of the sites that was checked, where it was one. */
  shard?: { readonly index: number; readonly count: number },
): string {
  return jsonText({
    schemaVersion,
    ...(shard === undefined ? {} : { shard }),
    findings: findings.map(findingObject),
  });
}

function findingObject({ finding, at, related }: LocatedFinding) {
  const { end } = at.range;
  return {
    rule: finding.rule,
    severity: finding.severity,
    message: messageOf(finding),
    ...startOf(at),
    endLine: end.line + 1,
    endColumn: end.character + 1,
    subject: finding.subject,
    related: related.map((one) => ({ ...startOf(one), message: one.message })),
    facts: finding.facts.map(({ fact, value, unit }) => ({ fact, value, unit })),
    waived:
      finding.waived === null
        ? null
        : {
            because: finding.waived.because,
            until: finding.waived.until,
            upTo:
              finding.waived.upTo === null
                ? null
                : { value: finding.waived.upTo.value, unit: finding.waived.upTo.unit },
          },
  };
}

function startOf({ file, range }: FileRange) {
  return { file, line: range.start.line + 1, column: range.start.character + 1 };
}
