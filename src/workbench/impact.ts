/** What another version of a package changes on a site: findings, schedule rows, expected counts. */
import { messageOf } from '../model/finding.js';
import { factsOf, packOf } from './outputs.js';
import type { CheckedSite } from './workbench.js';

export interface SiteImpact {
  /** Findings as sentences with their place. */
  readonly findings: Difference;
  /** Rows by schedule, only where some differ. */
  readonly schedules: readonly ({ readonly name: string } & Difference)[];
  /** What controllers are expected to find. */
  readonly counts: readonly CountChange[];
}

export interface Difference {
  readonly gone: readonly string[];
  readonly come: readonly string[];
}

export interface CountChange {
  /** Such as "ZC-1.finds". */
  readonly name: string;
  readonly before: string;
  readonly after: string;
}

export function impactOf(before: CheckedSite, after: CheckedSite): SiteImpact {
  return {
    findings: differenceOf(findingLines(before), findingLines(after)),
    schedules: schedulesOf(before, after),
    counts: countsBetween(before, after),
  };
}

/** Whether a site is the same with both versions. */
export function isWithoutImpact({ findings, schedules, counts }: SiteImpact): boolean {
  return findings.gone.length + findings.come.length + schedules.length + counts.length === 0;
}

function findingLines({ findings }: CheckedSite): readonly string[] {
  return findings
    .filter(({ finding }) => finding.waived === null)
    .map(
      ({ finding }) =>
        `${finding.severity} ${finding.rule} on ${finding.subject}: ${messageOf(finding)}`,
    );
}

/** Lists of findings and of working are told by what they are made from. */
const retold = /^data\/(?:findings|calculations|sureness|terminal-tests|commissioning|energising)/u;

function schedulesOf(
  before: CheckedSite,
  after: CheckedSite,
): readonly ({ readonly name: string } & Difference)[] {
  const rowsOf = (checked: CheckedSite) =>
    new Map(
      packOf(checked)
        .filter(({ path }) => path.endsWith('.csv') && !retold.test(path))
        .map(({ path, text }) => [
          path.replace(/^data\/|\.csv$/gu, ''),
          text.split(/\r?\n/u).filter((row) => row !== ''),
        ]),
    );
  const [old, now] = [rowsOf(before), rowsOf(after)];
  return [...new Set([...old.keys(), ...now.keys()])].sort().flatMap((name) => {
    const difference = differenceOf(old.get(name) ?? [], now.get(name) ?? []);
    return difference.gone.length + difference.come.length === 0 ? [] : [{ name, ...difference }];
  });
}

function countsBetween(before: CheckedSite, after: CheckedSite): readonly CountChange[] {
  const countsOf = ({ open }: CheckedSite) =>
    new Map(
      factsOf(open)
        .filter(({ fact }) => fact === 'finds')
        .map(({ subject, fact, value }) => [`${subject}.${fact}`, String(value ?? 'unknown')]),
    );
  const [old, now] = [countsOf(before), countsOf(after)];
  return [...new Set([...old.keys(), ...now.keys()])].sort().flatMap((name) => {
    const [was, is] = [old.get(name) ?? 'nothing', now.get(name) ?? 'nothing'];
    return was === is ? [] : [{ name, before: was, after: is }];
  });
}

/** What is in one list and not in the other; what stands there twice counts twice. */
function differenceOf(before: readonly string[], after: readonly string[]): Difference {
  return { gone: without(before, after), come: without(after, before) };
}

function without(lines: readonly string[], others: readonly string[]): readonly string[] {
  const left = new Map<string, number>();
  others.forEach((line) => left.set(line, (left.get(line) ?? 0) + 1));
  return lines.filter((line) => {
    const count = left.get(line) ?? 0;
    left.set(line, count - 1);
    return count <= 0;
  });
}
