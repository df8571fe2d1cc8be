/** Findings as text for a terminal. */
import type { Finding } from '../model/finding.js';
import type { FileRange, LocatedFinding } from '../model/located.js';
import { excerptOf } from './excerpt.js';
import { neutralised } from './neutral.js';
import { countsOf } from './order.js';
import type { Style } from './style.js';
import { texts } from './texts.js';

export interface FindingsTextOptions {
  readonly style: Style;
  /** The text of a file, for the excerpts; undefined leaves the excerpt out. */
  readonly textOf: (file: string) => string | undefined;
  /** Files that were judged. */
  readonly fileCount: number;
  /** ISO date for which they were judged. */
  readonly on: string;
}

/** Every finding in the given order, waived ones in one line each, and a closing line with counts. */
export function findingsText(
  findings: readonly LocatedFinding[],
  options: FindingsTextOptions,
): string {
  const blocks = findings.map((located) => findingBlock(located, options));
  const counts = texts.counts(countsOf(findings));
  return `${[...blocks, texts.checked(counts, options.fileCount, options.on)].join('\n')}\n`;
}

function findingBlock(located: LocatedFinding, options: FindingsTextOptions): string {
  const { finding, at, related } = located;
  const { style } = options;
  const place = style.strong(neutralised(placeText(at)));
  const rule = style.faint(neutralised(texts.ruleOn(finding.rule, finding.subject)));
  if (finding.waived !== null) {
    const accepted = style.severity('accepted', neutralised(texts.accepted(finding.waived)));
    return `${place} ${rule} ${accepted}\n`;
  }
  return [
    `${place} ${style.severity(finding.severity, finding.severity)} ${rule}`,
    ...sentencesOf(finding).map((sentence) => `  ${neutralised(sentence)}`),
    ...excerptLines(located, options),
    ...related.map((one) =>
      style.faint(`  ${neutralised(texts.see(placeText(one), one.message))}`),
    ),
    '',
  ].join('\n');
}

function sentencesOf({ what, why, remedy }: Finding): string[] {
  return [what, why, remedy].filter((sentence) => sentence !== '');
}

function excerptLines({ finding, at }: LocatedFinding, options: FindingsTextOptions): string[] {
  const text = options.textOf(at.file);
  const excerpt = text === undefined ? undefined : excerptOf(text, at.range);
  if (excerpt === undefined) {
    return [];
  }
  const number = String(excerpt.lineNumber);
  const { style } = options;
  return [
    `  ${style.faint(`${number} |`)} ${excerpt.line.trimEnd()}`,
    `  ${style.faint(`${' '.repeat(number.length)} |`)} ${style.severity(finding.severity, excerpt.carets)}`,
  ];
}

/** `file:line:column`, counted from 1. */
function placeText({ file, range }: FileRange): string {
  return `${file}:${range.start.line + 1}:${range.start.character + 1}`;
}
