/** What `ferrule check` is not to judge again: a baseline file, and an earlier revision. */
import path from 'node:path';
import { kindAt, readText } from '../disk/node-files.js';
import { inReportOrder } from '../report/order.js';
import { jsonText, schemaVersion } from '../report/json.js';
import { knownOf, sifted, type KnownFinding } from '../workbench/known-findings.js';
import { Workbench, type CheckedSite } from '../workbench/workbench.js';
import { CannotRun } from './cannot-run.js';
import { checkRoot } from './check-roots.js';
import type { Host } from './host.js';
import { revisionFiles } from './revision-files.js';
import { revisionNamed } from './sides.js';
import { ciTexts as texts } from './texts-ci.js';
import { reviewTexts } from './texts-review.js';
import { writeFileWhole } from './write.js';

/** Takes away what was found at a revision, too. */
export function newSince(
  host: Host,
  findings: CheckedSite['findings'],
  { since, places, on }: { since: string; places: readonly string[]; on: string },
): CheckedSite['findings'] {
  const revision = revisionNamed(host, since, since);
  const files = revisionFiles({
    revision,
    base: host.folder,
    places: places.map((place) => path.posix.normalize(place.split(path.sep).join('/'))),
    onInstalled: () => {
      host.remark(reviewTexts.installedNow(since));
    },
  });
  const workbench = new Workbench(files);
  const roots = workbench.roots();
  const before = inReportOrder(
    roots.flatMap((root) => {
      const answer = checkRoot(workbench, root, on);
      workbench.close(root);
      return answer.findings;
    }),
  );
  const { findings: rest, still } = sifted(findings, knownOf(before));
  if (still.length > 0) {
    host.remark(texts.knownSince(still.length, since));
  }
  return rest;
}

/** Writes the findings of today as a baseline. One that is there already only shrinks, so it stays. */
export function adopt(host: Host, file: string, findings: CheckedSite['findings']): void {
  if (kindAt(path.resolve(host.folder, file)) !== 'missing') {
    throw new CannotRun(texts.adoptedBefore(file));
  }
  const known = knownOf(findings);
  writeBaseline(host, file, known);
  host.remark(texts.adopted(file, known.length));
}

/** Takes away what a baseline lists, and what is gone or better from the baseline. */
export function newBesideBaseline(
  host: Host,
  file: string,
  findings: CheckedSite['findings'],
  judged: ReadonlySet<string>,
): CheckedSite['findings'] {
  const known = readBaseline(host, file);
  const { findings: rest, still } = sifted(findings, known);
  // What this run did not look at is no better for it, unless the file is gone.
  const elsewhere = known.filter(
    (one) => !judged.has(one.file) && kindAt(path.resolve(host.folder, one.file)) !== 'missing',
  );
  const left = [...still, ...elsewhere];
  if (still.length > 0) {
    host.remark(texts.knownInBaseline(still.length, file));
  }
  if (baselineText(left) !== baselineText(known)) {
    writeBaseline(host, file, left);
    host.remark(texts.shrunk(file, known.length, left.length));
  }
  return rest;
}

function writeBaseline(host: Host, file: string, known: readonly KnownFinding[]): void {
  writeFileWhole(path.resolve(host.folder, file), file, baselineText(known));
}

function baselineText(known: readonly KnownFinding[]): string {
  const lines = known.map(({ rule, file, subject, value, unit }) => ({
    rule,
    file,
    subject,
    value,
    unit,
  }));
  const order = (one: object) => JSON.stringify(one);
  const findings = lines.sort((one, other) => (order(one) < order(other) ? -1 : 1));
  return jsonText({ schemaVersion, findings });
}

function readBaseline(host: Host, file: string): readonly KnownFinding[] {
  const content = readText(path.resolve(host.folder, file));
  if (content.kind === 'missing') {
    throw new CannotRun(texts.noBaselineYet(file));
  }
  if (content.kind !== 'text') {
    throw new CannotRun(texts.noBaseline(file));
  }
  let read: { schemaVersion?: unknown; findings?: unknown } | null;
  try {
    read = JSON.parse(content.text) as typeof read;
  } catch {
    throw new CannotRun(texts.noBaseline(file));
  }
  const { findings } = read ?? {};
  if (
    read?.schemaVersion !== schemaVersion ||
    !Array.isArray(findings) ||
    !findings.every(isKnown)
  ) {
    throw new CannotRun(texts.noBaseline(file));
  }
  return findings as KnownFinding[];
}

function isKnown(value: unknown): boolean {
  const one = value as Partial<Record<keyof KnownFinding, unknown>> | null;
  return (
    [one?.rule, one?.file, one?.subject].every((text) => typeof text === 'string') &&
    (one?.value === undefined || typeof one.value === 'number')
  );
}
