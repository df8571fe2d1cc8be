/** `ferrule diff`: two versions of a site compared by what they mean on site. */
import path from 'node:path';
import { kindAt } from '../disk/node-files.js';
import { reviewBetween, writtenReview } from '../workbench/reviewing.js';
import type { ReviewFormat } from '../workbench/reviewing.js';
import type { CheckedSite } from '../workbench/workbench.js';
import { dayIn } from './arguments.js';
import { CannotRun } from './cannot-run.js';
import type { Run } from './command.js';
import type { Host } from './host.js';
import { checkOneSite } from './places.js';
import { texts } from './texts.js';
import { reviewTexts } from './texts-review.js';
import { writeFileWhole } from './write.js';

export const run: Run = (host, args) => {
  const [base, head, further] = args.positionals;
  const { usage } = reviewTexts.diff;
  if (base === undefined || head === undefined) {
    throw new CannotRun(reviewTexts.twoNeeded(usage));
  }
  if (further !== undefined) {
    throw new CannotRun(texts.tooMany(further, usage));
  }
  const out = args.values.get('out');
  if (out !== undefined && kindAt(path.resolve(host.folder, out)) === 'folder') {
    throw new CannotRun(texts.isFolder(out));
  }
  const on = dayIn(args, host.today);
  const review = reviewBetween(openSide(host, base, on), openSide(host, head, on));
  const format = (args.values.get('format') ?? 'text') as ReviewFormat;
  const { text, unchanged } = writtenReview(review, format);
  if (out === undefined) {
    host.print(text);
  } else {
    writeFileWhole(path.resolve(host.folder, out), out, text);
    host.print(texts.wrote(out));
  }
  return args.flags.has('exit-code') && !unchanged ? 1 : 0;
};

/** What was not read must not look like what was taken away. */
const unreadRules: ReadonlySet<string> = new Set([
  'syntax-error',
  'import-missing',
  'import-unreadable',
]);

/** One side's argument as a site: the one place that knows where versions come from. */
function openSide(host: Host, side: string, on: string): CheckedSite {
  const checked = checkOneSite(host, side, on);
  const unread = checked.findings.find(({ finding }) => unreadRules.has(finding.rule));
  if (unread !== undefined) {
    throw new CannotRun(reviewTexts.unread(side, unread.finding.what));
  }
  return checked;
}
