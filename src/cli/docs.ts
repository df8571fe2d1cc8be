/** `ferrule docs`: a page and a picture for each template. */
import path from 'node:path';
import { readText } from '../disk/node-files.js';
import { packageTitle } from '../workbench/package-title.js';
import { templateDocs } from '../workbench/template-docs.js';
import { CannotRun } from './cannot-run.js';
import type { Run } from './command.js';
import { openPlaces, pathIn } from './places.js';
import { sharingTexts } from './texts-sharing.js';
import { writePack } from './write-pack.js';

export const run: Run = (host, args) => {
  const place = pathIn(args, sharingTexts.docs);
  const out = args.values.get('out') ?? 'template-pages';
  const { workbench, files, roots } = openPlaces(host, [place]);
  const wanted = new Set(files);
  const sources = new Map(
    roots.flatMap((root) => {
      const open = workbench.open(root);
      return 'failed' in open ? [] : open.files.map((file) => [file.path, file] as const);
    }),
  );
  const own = [...sources.values()].filter(({ path: name }) => wanted.has(name));
  const manifest = readText(path.resolve(host.folder, place, 'package.json'));
  const pages = templateDocs(
    own.sort((one, other) => (one.path < other.path ? -1 : 1)),
    manifest.kind === 'text' ? packageTitle(manifest.text) : '',
  );
  if (pages.length === 1) {
    throw new CannotRun(sharingTexts.noTemplates(place));
  }
  const keepOut = [host.folder, ...files.map((file) => path.resolve(host.folder, file))];
  writePack({ folder: path.resolve(host.folder, out), shown: out, keepOut }, pages);
  host.print(sharingTexts.documented((pages.length - 1) / 2, out));
  return 0;
};
