/** Sites written as text for tests, and findings marked in that text. */
import { expect } from 'vitest';
import type { LocatedFinding } from '../../src/model/located.js';
import { messageOf } from '../../src/model/finding.js';
import type { Site } from '../../src/model/site.js';
import { memoryFiles } from '../../src/workbench/files.js';
import type { OpenSite } from '../../src/workbench/open-site.js';
import { Workbench } from '../../src/workbench/workbench.js';

/** The day on which test sites are judged. */
export const testDay = '2026-11-25';

export interface TestSite {
  readonly workbench: Workbench;
  readonly root: string;
  readonly open: OpenSite;
  readonly site: Site;
  readonly findings: readonly LocatedFinding[];
}

/**
 * Opens a site written as text. Several files stand in one text, each after a line `//- path.ferrule`;
 * the first is the root. Further files (such as shared equipment) are given beside it.
 */
export function siteOf(
  text: string,
  others: Readonly<Record<string, string>> = {},
  on = testDay,
): TestSite {
  const files = { ...others, ...filesIn(text) };
  const root = Object.keys(filesIn(text))[0]!;
  const workbench = new Workbench(memoryFiles(files));
  const checked = workbench.check(root, on);
  if (checked === undefined) {
    throw new Error(`the test site ${root} did not open`);
  }
  return {
    workbench,
    root,
    open: checked.open,
    site: checked.open.site,
    findings: checked.findings,
  };
}

/** Splits a text at lines `//- path`; a text without one is `site.ferrule`. */
export function filesIn(text: string): Record<string, string> {
  if (!/^\/\/- /mu.test(text)) {
    return { 'site.ferrule': text };
  }
  const files: Record<string, string> = {};
  for (const part of text.split(/^\/\/- /mu).slice(1)) {
    const end = part.indexOf('\n');
    files[part.slice(0, end).trim()] = part.slice(end + 1);
  }
  return files;
}

/** A finding expected in a text: the rule, the line it must start on, and the columns it must start within. */
export interface Mark {
  readonly rule: string;
  readonly file: string;
  readonly line: number;
  readonly from: number;
  readonly to: number;
}

/** The marks `//  ^^^^ rule-name` of a text; the carets stand under the marked text of the nearest line above that is no mark. */
export function marksIn(file: string, text: string): Mark[] {
  const marks: Mark[] = [];
  let marked = -1;
  text.split('\n').forEach((line, index) => {
    const match = /^(\s*\/\/\s*)(\^+)\s*([a-z][a-z0-9-]+)\s*$/u.exec(line);
    if (match === null) {
      marked = index;
      return;
    }
    const from = match[1]!.length;
    marks.push({ rule: match[3]!, file, line: marked, from, to: from + match[2]!.length });
  });
  return marks;
}

/**
 * Asserts that the errors and warnings of a site are exactly the marked ones. A hint may be marked,
 * and needs not. Waived findings do not count.
 */
export function expectMarked(
  text: string,
  others: Readonly<Record<string, string>> = {},
  on = testDay,
): TestSite {
  const site = siteOf(text, others, on);
  const marks = Object.entries(filesIn(text)).flatMap(([file, content]) => marksIn(file, content));
  const unexpected = counted(site.findings).map(describe);
  const hints = site.findings.filter(({ finding }) => finding.severity === 'hint').map(describe);
  const missing: string[] = [];
  for (const mark of marks) {
    const index = unexpected.findIndex((one) => matches(one, mark));
    if (index < 0 && !hints.some((one) => matches(one, mark))) {
      missing.push(`${mark.rule} at ${mark.file}:${mark.line + 1}:${mark.from + 1}`);
    } else if (index >= 0) {
      unexpected.splice(index, 1);
    }
  }
  expect({ missing, unexpected: unexpected.map((one) => one.text) }).toEqual({
    missing: [],
    unexpected: [],
  });
  return site;
}

/** The findings that are errors or warnings and that no waiver covers. */
export function counted(findings: readonly LocatedFinding[]): LocatedFinding[] {
  return findings.filter(({ finding }) => finding.severity !== 'hint' && finding.waived === null);
}

/** One line a finding, for expectations. */
export function lines(findings: readonly LocatedFinding[]): string[] {
  return findings.map((one) => describe(one).text);
}

interface Described {
  readonly rule: string;
  readonly file: string;
  readonly line: number;
  readonly character: number;
  readonly text: string;
}

function describe({ finding, at }: LocatedFinding): Described {
  const { line, character } = at.range.start;
  return {
    rule: finding.rule,
    file: at.file,
    line,
    character,
    text: `${at.file}:${line + 1}:${character + 1} ${finding.rule}: ${messageOf(finding)}`,
  };
}

function matches(one: Described, mark: Mark): boolean {
  return (
    one.rule === mark.rule &&
    one.file === mark.file &&
    one.line === mark.line &&
    one.character >= mark.from &&
    one.character < mark.to
  );
}
