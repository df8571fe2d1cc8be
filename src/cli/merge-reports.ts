/** `ferrule merge-reports`: several reports of `ferrule check --format json` as one. */
import path from 'node:path';
import { readText } from '../disk/node-files.js';
import { jsonText, schemaVersion } from '../report/json.js';
import { neutralised } from '../report/neutral.js';
import { countsOfReported, inMergedOrder, type Reported } from '../report/reported.js';
import { texts as reportTexts } from '../report/texts.js';
import { CannotRun } from './cannot-run.js';
import type { Run } from './command.js';
import { pathsIn } from './places.js';
import type { Shard } from './shard.js';
import { portfolioTexts } from './texts-portfolio.js';

interface Report {
  readonly shard: Shard | undefined;
  readonly findings: readonly Reported[];
}

export const run: Run = (host, args) => {
  const files = pathsIn(args, portfolioTexts.mergeReports);
  const reports = files.map((file) => readReport(host.folder, file));
  requireWhole(reports);
  const findings = inMergedOrder(reports.flatMap((report) => report.findings));
  const counts = countsOfReported(findings);
  if (args.values.get('format') === 'json') {
    host.print(jsonText({ schemaVersion, findings }));
  } else {
    const blocks = findings.map(
      ({ file, line, column, severity, waived, rule, subject, message }) =>
        [
          `${file}:${line}:${column} ${waived === null ? severity : 'accepted'} ${reportTexts.ruleOn(rule, subject)}`,
          `  ${message}`,
        ]
          .map(neutralised)
          .join('\n'),
    );
    const closing = portfolioTexts.merged(reportTexts.counts(counts), reports.length);
    host.print(`${[...blocks, closing].join('\n')}\n`);
  }
  const failing =
    args.values.get('fail-on') === 'warning' ? counts.error + counts.warning : counts.error;
  return failing > 0 ? 1 : 0;
};

function readReport(folder: string, file: string): Report {
  const wrong = (why: string) => new CannotRun(portfolioTexts.noReport(file, why));
  const content = readText(path.resolve(folder, file));
  if (content.kind !== 'text') {
    throw wrong(content.kind === 'unreadable' ? content.why : `${content.kind}`);
  }
  let read: Partial<Record<'schemaVersion' | 'findings' | 'shard', unknown>> | null;
  try {
    read = JSON.parse(content.text) as typeof read;
  } catch {
    throw wrong(portfolioTexts.notJson);
  }
  if (read?.schemaVersion !== schemaVersion) {
    throw wrong(portfolioTexts.otherVersion(read?.schemaVersion ?? null));
  }
  if (!Array.isArray(read.findings)) {
    throw wrong(portfolioTexts.noFindings);
  }
  const bad = read.findings.findIndex((finding) => !isReported(finding));
  if (bad >= 0) {
    throw wrong(portfolioTexts.badFinding(bad + 1));
  }
  if (read.shard !== undefined && !isShard(read.shard)) {
    throw wrong(portfolioTexts.badShard);
  }
  return { shard: read.shard, findings: read.findings as Reported[] };
}

function isReported(value: unknown): value is Reported {
  const one = value as Partial<Record<keyof Reported, unknown>> | null;
  const texts = [one?.rule, one?.message, one?.file, one?.subject];
  const numbers = [one?.line, one?.column, one?.endLine, one?.endColumn];
  return (
    texts.every((text) => typeof text === 'string') &&
    numbers.every((number) => typeof number === 'number') &&
    ['error', 'warning', 'hint'].includes(one?.severity as string) &&
    typeof one?.waived === 'object'
  );
}

function isShard(value: unknown): value is Shard {
  const one = value as Partial<Record<keyof Shard, unknown>> | null;
  return Number.isInteger(one?.index) && Number.isInteger(one?.count);
}

/** A share that is missing would make the rest look like a check of everything. */
function requireWhole(reports: readonly Report[]): void {
  const shards = reports.flatMap(({ shard }) => shard ?? []);
  if (shards.length === 0) {
    return;
  }
  if (shards.length < reports.length) {
    throw new CannotRun(portfolioTexts.wholeAmongShares);
  }
  const counts = [...new Set(shards.map(({ count }) => count))];
  if (counts.length > 1) {
    throw new CannotRun(portfolioTexts.sharesDiffer(counts));
  }
  const seen = new Set<number>();
  for (const { index, count } of shards) {
    if (seen.has(index)) {
      throw new CannotRun(portfolioTexts.shareTwice(`${index}/${count}`));
    }
    seen.add(index);
  }
  const all = Array.from({ length: counts[0]! }, (_, place) => place + 1);
  const missing = all.filter((index) => !seen.has(index));
  if (missing.length > 0) {
    throw new CannotRun(
      portfolioTexts.sharesMissing(missing.map((index) => `${index}/${counts[0]}`)),
    );
  }
}
