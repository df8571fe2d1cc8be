/** Findings as JUnit XML, in the form that hosts of continuous integration read: common practice, there is no standard. */
import { messageOf } from '../model/finding.js';
import type { LocatedFinding } from '../model/located.js';
import { neutralised } from './neutral.js';
import { texts } from './texts.js';

export interface JunitOptions {
  /** Every file that was judged; one without a finding is a test that passed. */
  readonly files: Iterable<string>;
  /** What fails a test; the rest is told in its output. */
  readonly isFailing: (located: LocatedFinding) => boolean;
}

export function findingsJunit(
  findings: readonly LocatedFinding[],
  { files, isFailing }: JunitOptions,
): string {
  const byFile = new Map<string, LocatedFinding[]>();
  for (const file of [...files, ...findings.map(({ at }) => at.file)].sort()) {
    byFile.set(file, []);
  }
  findings.forEach((located) => byFile.get(located.at.file)!.push(located));
  const suites = [...byFile].flatMap(([file, own]) => suiteLines(file, own, isFailing));
  const tests = [...byFile.values()].reduce((sum, own) => sum + Math.max(1, own.length), 0);
  return `${[
    '<?xml version="1.0" encoding="UTF-8"?>',
    `<testsuites name="ferrule" ${countsText(tests, findings, isFailing)}>`,
    ...suites,
    '</testsuites>',
  ].join('\n')}\n`;
}

function suiteLines(
  file: string,
  findings: readonly LocatedFinding[],
  isFailing: JunitOptions['isFailing'],
): readonly string[] {
  const counts = countsText(Math.max(1, findings.length), findings, isFailing);
  const cases =
    findings.length === 0
      ? [`    <testcase classname="${escaped(file)}" name="${texts.noFindings}"/>`]
      : findings.flatMap((located) => caseLines(located, isFailing));
  return [`  <testsuite name="${escaped(file)}" ${counts}>`, ...cases, '  </testsuite>'];
}

function caseLines(
  { finding, at, related }: LocatedFinding,
  isFailing: JunitOptions['isFailing'],
): readonly string[] {
  const line = at.range.start.line + 1;
  const name = texts.ruleOn(finding.rule, finding.subject);
  const message = messageOf(finding);
  const place = `${at.file}:${line}:${at.range.start.character + 1}`;
  const open = `    <testcase classname="${escaped(at.file)}" name="${escaped(name)}" file="${escaped(at.file)}" line="${line}">`;
  return [
    open,
    finding.waived !== null
      ? `      <skipped message="${escaped(texts.accepted(finding.waived))}"/>`
      : isFailing({ finding, at, related })
        ? `      <failure type="${finding.severity}" message="${escaped(message)}">${escaped(place)}</failure>`
        : `      <system-out>${escaped(`${finding.severity}: ${message} (${place})`)}</system-out>`,
    '    </testcase>',
  ];
}

function countsText(
  tests: number,
  findings: readonly LocatedFinding[],
  isFailing: JunitOptions['isFailing'],
): string {
  const skipped = findings.filter(({ finding }) => finding.waived !== null).length;
  const failures = findings.filter((one) => one.finding.waived === null && isFailing(one)).length;
  return `tests="${tests}" failures="${failures}" errors="0" skipped="${skipped}"`;
}

const signs: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
};

/** Characters that XML 1.0 cannot hold (2.2) are replaced by visible ones. */
function escaped(text: string): string {
  return neutralised(text)
    .replace(/[\ud800-\udfff\ufffe\uffff]/gu, '\ufffd')
    .replace(/[&<>"]/gu, (sign) => signs[sign]!);
}
