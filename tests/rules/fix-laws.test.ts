/**
 * The laws of fixes on sites that nobody wrote: each removes its finding, brings no new error, and
 * leaves the text as whole and as tidy as it was. Judged is what the rules propose, before an editor
 * tries it, so that the trial is a net and not the proof.
 */
import { readFileSync, readdirSync } from 'node:fs';
import { afterAll, describe, expect, it } from 'vitest';
import { inProject } from '../../scripts/lib/root.mjs';
import { formatText } from '../../src/language/format.js';
import type { Finding } from '../../src/model/finding.js';
import { RAISED_RULES } from '../../src/rules/raised.js';
import { memoryFiles } from '../../src/workbench/files.js';
import { writtenFixes, type WrittenFix } from '../../src/workbench/fixes.js';
import { Workbench, type CheckedSite } from '../../src/workbench/workbench.js';
import { brokenSite } from '../support/mutations.js';
import { randomFrom, seedOfThisRun } from '../support/random.js';
import { testDay } from '../support/site.js';
import { rightSites, type RightSite } from '../support/slip-sites.js';

/** More, where somebody looks for fixes that do harm. */
const runs = Number(process.env['FERRULE_RUNS'] ?? 84);
const seed = seedOfThisRun();
let sites = 0;
let fixes = 0;
const rulesMended = new Set<string>();

describe.each(rightSites())('in the site $name, broken at random', (site) => {
  it('every fix keeps the laws', () => {
    const random = randomFrom(seed);
    const broken = Array.from({ length: runs }, () => judge(site, random)).flat();
    expect(broken.slice(0, mostShown)).toEqual([]);
  }, 3_600_000);
});

describe('on the pages of the rules, broken at random', () => {
  it('every fix keeps the laws', () => {
    const random = randomFrom(seed);
    const pages = rightPages();
    const broken = Array.from({ length: runs * 4 }, () => judge(random.pick(pages), random)).flat();
    expect(broken.slice(0, mostShown)).toEqual([]);
  }, 3_600_000);
});

afterAll(() => {
  console.log(`${fixes} fixes of ${rulesMended.size} rules on ${sites} sites, seed ${seed}`);
  expect(sites).toBeGreaterThanOrEqual(500);
  expect(fixes).toBeGreaterThan(sites / 4);
});

/** More broken laws than this teach nobody. */
const mostShown = 12;

/** The laws that fixes break on one broken site. */
function judge(site: RightSite, random: ReturnType<typeof randomFrom>): string[] {
  const broken: string[] = [];
  const { files, done } = brokenSite(site, random);
  sites++;
  const workbench = new Workbench(memoryFiles(files));
  const before = workbench.check(site.root, testDay)!;
  const seen = new Set<string>();
  for (const { finding } of before.findings) {
    for (const fix of finding.waived === null ? writtenFixes(before.open, finding) : []) {
      const key = JSON.stringify(fix);
      if (seen.has(key)) {
        continue;
      }
      seen.add(key);
      fixes++;
      rulesMended.add(finding.rule);
      const after = applied(files, fix);
      const wrong = objections(before, finding, checked(site, after), files, after);
      if (wrong.length > 0) {
        const made = `${site.name} with ${done.join(', ')} (seed ${seed})`;
        broken.push(
          `${made}\n  ${finding.rule} ${finding.subject}: ${finding.what}\n  fix: ${fix.title}\n  ${wrong.join('\n  ')}`,
        );
      }
    }
  }
  return broken;
}

function objections(
  before: CheckedSite,
  finding: Finding,
  after: CheckedSite,
  textsBefore: Readonly<Record<string, string>>,
  textsAfter: Readonly<Record<string, string>>,
): string[] {
  const wrong: string[] = [];
  const shows = RAISED_RULES.some(({ name }) => name === finding.rule);
  const same = (one: Finding) =>
    one.rule === finding.rule &&
    one.subject === finding.subject &&
    one.waived === null &&
    // Where one slip is mended another one of the same declaration may come to light.
    (!shows || one.what === finding.what);
  if (count(after, same) >= count(before, same)) {
    wrong.push('it stays');
  }
  // A slip hides what follows from it, so mending one may show an error that was there before.
  for (const { finding: other } of shows ? [] : after.findings) {
    const isError =
      other.severity === 'error' && other.waived === null && !wasHidden(finding, other);
    const more = (alike: (one: Finding) => boolean) =>
      count(after, (one) => one.rule === other.rule && alike(one)) >
      count(before, (one) => one.rule === other.rule && alike(one));
    if (
      isError &&
      more((one) => one.subject === other.subject) &&
      more((one) => one.at.declaration === other.at.declaration)
    ) {
      wrong.push(`it brings ${other.rule} on ${other.subject}: ${other.what}`);
    }
  }
  const isSlip = (one: Finding) => one.rule === 'syntax-error';
  if (!shows && count(after, isSlip) > count(before, isSlip)) {
    wrong.push('the text no longer parses');
  }
  for (const [file, text] of Object.entries(textsAfter)) {
    if (isCanonical(textsBefore[file]!) && !isCanonical(text)) {
      wrong.push(`${file} is no longer formatted`);
    }
  }
  return wrong;
}

/**
 * What a finding hides while it stands: a missing supply leaves load and voltage behind it unjudged.
 * What is observed was so before anybody mended anything.
 */
function wasHidden(mended: Finding, other: Finding): boolean {
  const isBehind = ['supply-missing', 'bus-source-missing'].includes(mended.rule);
  const isOfSupply = [
    'supply-overloaded',
    'inlet-undervoltage',
    'voltage-drop-excessive',
    'voltage-collapse',
    'bus-power-overloaded',
    'bus-power-undervoltage',
  ].includes(other.rule);
  const [owner] = mended.subject.split('.') as [string];
  // What the mended device draws is the doing of the fix; what its own output has to carry is not.
  const isOwnOutput = other.subject !== mended.subject && other.subject.startsWith(`${owner}.`);
  const isOfMended = other.what.includes(owner) && !isOwnOutput;
  return other.rule.startsWith('observed-') || (isBehind && isOfSupply && !isOfMended);
}

function checked(site: RightSite, files: Readonly<Record<string, string>>): CheckedSite {
  return new Workbench(memoryFiles(files)).check(site.root, testDay)!;
}

function count({ findings }: CheckedSite, counts: (finding: Finding) => boolean): number {
  return findings.filter(({ finding }) => counts(finding)).length;
}

function isCanonical(text: string): boolean {
  const formatted = formatText(text);
  return formatted.kind === 'formatted' && formatted.text === text;
}

function applied(
  files: Readonly<Record<string, string>>,
  fix: WrittenFix,
): Readonly<Record<string, string>> {
  return Object.fromEntries(
    Object.entries(files).map(([name, text]) => [
      name,
      fix.changes
        .filter(({ file }) => file === name)
        .sort((one, other) => other.start - one.start)
        .reduce(
          (whole, { start, end, text: put }) => whole.slice(0, start) + put + whole.slice(end),
          text,
        ),
    ]),
  );
}

/** What the pages show as right. */
function rightPages(): readonly RightSite[] {
  const common = readFileSync(inProject('src/rules/common.ferrule'), 'utf8');
  return readdirSync(inProject('src/rules'))
    .filter((name) => name.endsWith('.md'))
    .sort()
    .flatMap((name) => {
      const page = readFileSync(inProject(`src/rules/${name}`), 'utf8');
      const right = page.split('## Right')[1] ?? '';
      return [...right.matchAll(/^```ferrule\n([\s\S]*?)^```$/gmu)]
        .map(([, text]) => text!)
        .filter((text) => !text.includes('//- '))
        .map((text, index) => ({
          name: `${name} ${index + 1}`,
          root: 'site.ferrule',
          files: { 'site.ferrule': text, 'common.ferrule': common },
        }));
    });
}
