/** `ferrule diff`: two versions of a site compared by what they mean on site. */
import path from 'node:path';
import { kindAt } from '../disk/node-files.js';
import { reviewBetween, writtenReview } from '../workbench/reviewing.js';
import type { ReviewFormat } from '../workbench/reviewing.js';
import { dayIn } from './arguments.js';
import { CannotRun } from './cannot-run.js';
import type { Run } from './command.js';
import { openSides } from './sides.js';
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
  const [before, after] = openSides(host, [base, head], on);
  const review = reviewBetween(before, after);
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
