/** Findings as the workflow commands of GitHub Actions, and as a GitLab code quality report. */
import { messageOf, type Severity } from '../model/finding.js';
import type { LocatedFinding } from '../model/located.js';
import { numberedKeys } from './fingerprint.js';
import { jsonText } from './json.js';
import { neutralised } from './neutral.js';
import { countsOf } from './order.js';
import { texts } from './texts.js';

/**
 * A step shows at most so many annotations of each kind (GitHub, "Workflow commands" and "About
 * annotations"); the host drops the rest without a word.
 */
export const MOST_ANNOTATIONS = 10;

const kinds: readonly (readonly [Severity, string])[] = [
  ['error', 'error'],
  ['warning', 'warning'],
  ['hint', 'notice'],
];

/** The most important first, and one last notice that counts what the host would drop. */
export function findingsGithub(findings: readonly LocatedFinding[]): string {
  const open = findings.filter(({ finding }) => finding.waived === null);
  const of = (severity: Severity) => open.filter(({ finding }) => finding.severity === severity);
  const isTooMuch = kinds.some(([severity]) => of(severity).length > MOST_ANNOTATIONS);
  const shown = kinds.map(([severity, command]) => {
    // The notice that counts the rest takes the place of one.
    const most = MOST_ANNOTATIONS - (isTooMuch && severity === 'hint' ? 1 : 0);
    return of(severity)
      .slice(0, most)
      .map((located) => annotation(command, located));
  });
  const rest = open.length - shown.flat().length;
  const last = rest === 0 ? [] : [`::notice title=ferrule::${data(texts.notShown(rest))}`];
  return `${[...shown.flat(), ...last, texts.counts(countsOf(findings))].join('\n')}\n`;
}

function annotation(command: string, { finding, at }: LocatedFinding): string {
  const { start, end } = at.range;
  const properties = [
    `file=${property(at.file)}`,
    `line=${start.line + 1}`,
    `endLine=${end.line + 1}`,
    // Columns are shown only within one line.
    ...(start.line === end.line
      ? [`col=${start.character + 1}`, `endColumn=${end.character + 1}`]
      : []),
    `title=${property(texts.ruleOn(finding.rule, finding.subject))}`,
  ];
  return `::${command} ${properties.join(',')}::${data(messageOf(finding))}`;
}

function data(text: string): string {
  return neutralised(text).replaceAll('%', '%25');
}

function property(text: string): string {
  return data(text).replaceAll(':', '%3A').replaceAll(',', '%2C');
}

const weights: Readonly<Record<Severity, string>> = {
  error: 'critical',
  warning: 'major',
  hint: 'info',
};

/** An array of violations (GitLab, "Code Quality report format"); what is accepted is none. */
export function findingsGitlab(findings: readonly LocatedFinding[]): string {
  const open = findings.filter(({ finding }) => finding.waived === null);
  const keys = numberedKeys(open);
  return jsonText(
    open.map(({ finding, at }, place) => ({
      description: messageOf(finding),
      check_name: finding.rule,
      fingerprint: keys[place],
      severity: weights[finding.severity],
      location: { path: at.file, lines: { begin: at.range.start.line + 1 } },
    })),
  );
}
