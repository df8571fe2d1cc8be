/** `ferrule check`: what is wrong with sites. */
import path from 'node:path';
import { readText } from '../disk/node-files.js';
import { findingsGithub, findingsGitlab } from '../report/annotations.js';
import { findingsJson } from '../report/findings-json.js';
import { findingsText } from '../report/findings-text.js';
import { findingsJunit } from '../report/junit.js';
import { inReportOrder } from '../report/order.js';
import { findingsSarif } from '../report/sarif.js';
import { coloured, plain } from '../report/style.js';
import { rulePage } from '../workbench/rule-pages.js';
import type { CheckedSite } from '../workbench/workbench.js';
import { dayIn, type Arguments } from './arguments.js';
import { CannotRun } from './cannot-run.js';
import { checkRoots } from './check-roots.js';
import type { Run } from './command.js';
import type { Host } from './host.js';
import { adopt, newBesideBaseline, newSince } from './known.js';
import { openPlaces, pathsIn } from './places.js';
import { rootsOfShard, shardIn } from './shard.js';
import { texts } from './texts.js';
import { ciTexts } from './texts-ci.js';

declare const FERRULE_VERSION: string;

type Findings = CheckedSite['findings'];

export const run: Run = async (host, args) => {
  const on = dayIn(args, host.today);
  const shard = shardIn(args);
  const places = pathsIn(args, texts.check);
  const baseline = args.values.get('baseline');
  if (args.flags.has('adopt') && baseline === undefined) {
    throw new CannotRun(ciTexts.adoptAlone);
  }
  const { workbench, roots } = openPlaces(host, places);
  const task = { folder: host.folder, places, on };
  const { files, ...checked } = await checkRoots(host, workbench, rootsOfShard(roots, shard), task);
  const all = inReportOrder(checked.findings);
  const since = args.values.get('since');
  const fresh = since === undefined ? all : newSince(host, all, { since, places, on });
  if (args.flags.has('adopt')) {
    adopt(host, baseline!, fresh);
  }
  const findings = baseline === undefined ? fresh : newBesideBaseline(host, baseline, fresh, files);
  const isFailing = ({ finding }: Findings[number]) =>
    finding.severity === 'error' ||
    (finding.severity === 'warning' && args.values.get('fail-on') === 'warning');
  host.print(written(host, args, findings, { on, files, shard, isFailing }));
  return findings.some((one) => one.finding.waived === null && isFailing(one)) ? 1 : 0;
};

interface Judged {
  readonly on: string;
  readonly files: ReadonlySet<string>;
  readonly shard: ReturnType<typeof shardIn>;
  readonly isFailing: (located: Findings[number]) => boolean;
}

function written(host: Host, args: Arguments, findings: Findings, judged: Judged): string {
  switch (args.values.get('format')) {
    case 'json':
      return findingsJson(findings, judged.shard);
    case 'sarif':
      return findingsSarif(findings, { version: FERRULE_VERSION, pageOf: rulePage });
    case 'junit':
      return findingsJunit(findings, judged);
    case 'github':
      return findingsGithub(findings);
    case 'gitlab':
      return findingsGitlab(findings);
    default:
      return findingsText(findings, {
        style: args.flags.has('color') ? coloured : plain,
        textOf: textsOf(host),
        fileCount: judged.files.size,
        on: judged.on,
      });
  }
}

/** The text of each file, read once. */
function textsOf(host: Host): (file: string) => string | undefined {
  const kept = new Map<string, string | undefined>();
  return (file) => {
    if (!kept.has(file)) {
      const content = readText(path.resolve(host.folder, file));
      kept.set(file, content.kind === 'text' ? content.text : undefined);
    }
    return kept.get(file);
  };
}
