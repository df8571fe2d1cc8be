/** A key of each finding that stays when lines move: by rule, file and subject, and a number among those alike. */
import type { LocatedFinding } from '../model/located.js';

/** In the order of the findings, each key once. */
export function numberedKeys(findings: readonly LocatedFinding[]): readonly string[] {
  const seen = new Map<string, number>();
  return findings.map(({ finding, at }) => {
    const key = [finding.rule, at.file, finding.subject].map(encodeURIComponent).join(':');
    const number = (seen.get(key) ?? 0) + 1;
    seen.set(key, number);
    return number === 1 ? key : `${key}:${number}`;
  });
}
