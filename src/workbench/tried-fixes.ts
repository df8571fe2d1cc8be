/** Fixes that were tried: what would bring a new error is not offered. */
import { applyChanges, type TextChange } from '../language/write.js';
import type { Finding } from '../model/finding.js';
import { RAISED_RULES } from '../rules/raised.js';
import { writtenFixes, type WrittenFix } from './fixes.js';
import type { CheckedSite, Workbench } from './workbench.js';

/** The fixes for a finding of a site, best first, without those that would take away one error and bring another. */
export function triedFixes(
  workbench: Workbench,
  root: string,
  { open, on, findings }: CheckedSite,
  finding: Finding,
): readonly WrittenFix[] {
  const before = findings.map((one) => one.finding);
  // A slip of the pen hides what follows from it: mending it may show errors that were there before.
  const isSlip = RAISED_RULES.some(({ name }) => name === finding.rule);
  return writtenFixes(open, finding).filter(
    (fix) =>
      fix.kind === 'safe' ||
      isSlip ||
      !bringsErrors(finding, before, findingsAfter(workbench, root, on, fix.changes)),
  );
}

/** What a site's findings would be after some changes; the site stays as it is. */
function findingsAfter(
  workbench: Workbench,
  root: string,
  on: string,
  changes: readonly TextChange[],
): readonly Finding[] {
  const files = [...new Set(changes.map(({ file }) => file))];
  const texts = new Map(
    files.flatMap((file) => {
      const content = workbench.read(file);
      return content.kind === 'text' ? [[file, content.text] as const] : [];
    }),
  );
  const changed = new Map(
    [...texts].map(([file, text]) => [
      file,
      applyChanges(
        text,
        changes.filter((change) => change.file === file),
      ),
    ]),
  );
  return workbench.tried(changed, () =>
    (workbench.check(root, on)?.findings ?? []).map(({ finding }) => finding),
  );
}

function bringsErrors(
  mended: Finding,
  before: readonly Finding[],
  after: readonly Finding[],
): boolean {
  const had = counted(before);
  return [...counted(after)].some(
    ([key, { count, finding }]) =>
      count > (had.get(key)?.count ?? 0) && !isShownBy(mended, finding),
  );
}

/** Errors that count, by rule and by the declaration that they stand in. */
function counted(findings: readonly Finding[]) {
  const counts = new Map<string, { count: number; readonly finding: Finding }>();
  for (const finding of findings) {
    if (finding.severity === 'error' && finding.waived === null) {
      const key = `${finding.rule} ${finding.at.declaration}`;
      const known = counts.get(key);
      counts.set(key, { count: (known?.count ?? 0) + 1, finding: known?.finding ?? finding });
    }
  }
  return counts;
}

/** What a supply that is missing leaves unjudged further down, so that a new supply shows it. */
const behindSupply: ReadonlySet<string> = new Set([
  'inlet-undervoltage',
  'supply-overloaded',
  'voltage-collapse',
  'voltage-drop-excessive',
]);

/** Whether an error is there already and only shown, or speaks of what was observed before the change. */
export function isShownBy(mended: Finding, other: Finding): boolean {
  const owner = mended.subject.split('.')[0]!;
  return (
    other.rule.startsWith('observed-') ||
    (mended.rule === 'supply-missing' &&
      behindSupply.has(other.rule) &&
      // What is wrong with the new connection itself is the fix's own fault.
      !other.what.includes(owner))
  );
}
