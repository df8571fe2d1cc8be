/** `ferrule draw`: a site as a picture. */
import path from 'node:path';
import { kindAt } from '../disk/node-files.js';
import { nearNames } from '../workbench/near-names.js';
import { drawingOf, runNames } from '../workbench/outputs.js';
import type { Drawing, DrawingRequest, DrawOptions } from '../workbench/outputs.js';
import { deviceStates } from '../workbench/progress.js';
import type { CheckedSite } from '../workbench/workbench.js';
import { dayIn } from './arguments.js';
import type { Arguments } from './arguments.js';
import { CannotRun } from './cannot-run.js';
import type { Run } from './command.js';
import type { ExitCode } from './host.js';
import { checkOneSite, pathIn, remarkErrors } from './places.js';
import { texts } from './texts.js';
import { writeFileWhole } from './write.js';

export const run: Run = async (host, args): Promise<ExitCode> => {
  const on = dayIn(args, host.today);
  const request = requestIn(args);
  const out = args.values.get('out');
  const form = formIn(args, out);
  if (out !== undefined && kindAt(path.resolve(host.folder, out)) === 'folder') {
    throw new CannotRun(texts.isFolder(out));
  }
  const checked = checkOneSite(host, pathIn(args, texts.draw), on);
  const drawing = drawingOf(checked, request, seenIn(args, request, checked));
  if (drawing === undefined) {
    const name = request.view === 'terminals' ? request.of : request.view;
    throw new CannotRun(texts.unknownRun(name, nearNames(name, runNames(checked.open))));
  }
  if (out === undefined) {
    host.print(drawing.svg);
  } else {
    writeFileWhole(path.resolve(host.folder, out), out, await contentOf(drawing, form));
    host.print(texts.wrote(out));
  }
  remarkErrors(host, checked);
  return 0;
};

type Form = 'svg' | 'png';

/** The writers of other forms are heavy, and read only when one is written. */
async function contentOf(drawing: Drawing, form: Form): Promise<string | Uint8Array> {
  switch (form) {
    case 'svg':
      return drawing.svg;
    case 'png':
      return (await import('../print/png/picture-png.js')).pngOf(drawing.list);
  }
}

/** The form that was asked for, or that the end of the file's name says; only text can be printed. */
function formIn(args: Arguments, out: string | undefined): Form {
  const stated = args.values.get('format') as Form | undefined;
  if (out === undefined) {
    if (stated !== undefined && stated !== 'svg') {
      throw new CannotRun(texts.drawOutMissing(stated));
    }
    return 'svg';
  }
  const ending = /\.(svg|png)$/iu.exec(out)?.[1]?.toLowerCase() as Form | undefined;
  if (ending === undefined) {
    throw new CannotRun(texts.drawingForms(out));
  }
  if (stated !== undefined && stated !== ending) {
    throw new CannotRun(texts.formsDiffer(out, stated));
  }
  return ending;
}

/** What was seen is drawn over the topology, where it is asked for. */
function seenIn(args: Arguments, { view }: DrawingRequest, { open }: CheckedSite): DrawOptions {
  if (!args.flags.has('status')) {
    return {};
  }
  if (view !== 'topology') {
    throw new CannotRun(texts.statusNeedless);
  }
  return { seen: deviceStates(open) };
}

function requestIn(args: Arguments): DrawingRequest {
  const of = args.values.get('of');
  if (args.values.get('view') === 'terminals') {
    if (of === undefined) {
      throw new CannotRun(texts.ofMissing);
    }
    return { view: 'terminals', of };
  }
  if (of !== undefined) {
    throw new CannotRun(texts.ofNeedless);
  }
  const view = args.values.get('view');
  return { view: view === 'power' || view === 'ip' ? view : 'topology' };
}
