/** One slip of the pen, wherever it happens, gives one finding: at the slip, and about it. */
import { afterAll, describe, expect, it } from 'vitest';
import { messageOf } from '../../src/model/finding.js';
import type { LocatedFinding } from '../../src/model/located.js';
import { memoryFiles } from '../../src/workbench/files.js';
import { Workbench } from '../../src/workbench/workbench.js';
import { randomFrom, seedOfThisRun } from '../support/random.js';
import { counted, testDay } from '../support/site.js';
import { rightSites, type RightSite } from '../support/slip-sites.js';
import { slip, slipKinds, type Slip } from '../support/slips.js';

/** More, where somebody looks for slips. */
const runs = Number(process.env['FERRULE_RUNS'] ?? 60);
const seed = seedOfThisRun();
let tried = 0;

/** Lasts for all slips of a site, as an editor's does. */
const workbenches = new Map(
  rightSites().map((site) => [site, new Workbench(memoryFiles(site.files))]),
);

describe.each([...workbenches])('in the site $name', (site, workbench) => {
  it('nothing is wrong before', () => {
    expect(counted(findingsOf(workbench, site, site.files)).map(told)).toEqual([]);
  });

  it.each(slipKinds)('%s is said once, where it is', (kind) => {
    const random = randomFrom(seed);
    for (let run = 0; run < runs; run++) {
      const made = slip(site, kind, random);
      if (made?.isSlip !== true) {
        continue;
      }
      tried++;
      const findings = counted(findingsOf(workbench, site, made.files));
      expect({ seed, slip: shown(made), wrong: objection(made, findings) }).toEqual({
        seed,
        slip: shown(made),
        wrong: undefined,
      });
    }
  });
});

afterAll(() => {
  console.log(`${tried} slips, seed ${seed}`);
  expect(tried).toBeGreaterThanOrEqual(1000);
});

/** What is not as it should be; undefined where all is. */
function objection(made: Slip, findings: readonly LocatedFinding[]): string | undefined {
  const list = findings.map(told).join('\n');
  if (findings.length === 0) {
    return 'nothing is found';
  }
  if (made.kind === 'a declaration left out') {
    const others = findings.filter(
      ({ finding }) =>
        finding.rule !== 'name-unknown' ||
        !finding.subject.split('.').some((name) => made.lost.includes(name)),
    );
    const names = new Set(findings.map(({ finding }) => finding.subject));
    return others.length > 0
      ? `more than its name is missed:\n${list}`
      : names.size < findings.length
        ? `a name is missed twice:\n${list}`
        : undefined;
  }
  const [first] = findings;
  const isThere = first!.at.file === made.file && made.lines.includes(first!.at.range.start.line);
  return isThere && findings.length === 1 ? undefined : list;
}

function findingsOf(
  workbench: Workbench,
  site: RightSite,
  files: Readonly<Record<string, string>>,
): readonly LocatedFinding[] {
  for (const [file, text] of Object.entries(files)) {
    workbench.setText(file, text);
  }
  return workbench.check(site.root, testDay)!.findings;
}

function told({ finding, at }: LocatedFinding): string {
  return `${at.file}:${at.range.start.line + 1} ${finding.rule}: ${messageOf(finding)}`;
}

function shown({ file, lines, from, to, files }: Slip): string {
  const line = files[file]!.split('\n')[lines[0] ?? -1] ?? '';
  return `${file}:${lines.map((one) => one + 1).join(',')} ${JSON.stringify(from)} became ${JSON.stringify(to)}: ${line}`;
}
