/** `ferrule pack`: the job pack of a site as a folder. */
import path from 'node:path';
import { filesOfPack, packValueOf } from '../workbench/outputs.js';
import { dayIn } from './arguments.js';
import { CannotRun } from './cannot-run.js';
import type { Run } from './command.js';
import type { ExitCode } from './host.js';
import { checkOneSite, pathIn, remarkErrors } from './places.js';
import { texts } from './texts.js';
import { writePack } from './write-pack.js';

export const run: Run = async (host, args): Promise<ExitCode> => {
  const on = dayIn(args, host.today);
  const place = pathIn(args, texts.pack);
  const out = args.values.get('out');
  if (out === undefined) {
    throw new CannotRun(texts.outMissing(texts.pack.usage));
  }
  const checked = checkOneSite(host, place, on);
  if (checked.open.site.settings === undefined) {
    throw new CannotRun(texts.noSiteToPack(place));
  }
  const pack = packValueOf(checked, args.values.get('phase') === 'new' ? 'new' : 'all');
  const { printedFilesOf } = await import('../print/printed-pack.js');
  const files = [...filesOfPack(pack), ...(await printedFilesOf(pack))];
  const sources = checked.open.files.map((file) => path.resolve(host.folder, file.path));
  writePack(
    {
      folder: path.resolve(host.folder, out),
      shown: out,
      keepOut: [host.folder, ...sources],
    },
    files,
  );
  host.print(texts.wrotePack(out, files.length));
  remarkErrors(host, checked);
  return 0;
};
