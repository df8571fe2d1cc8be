/** The pages of a library's templates, as files. */
import { templatePicture } from '../drawing/index.js';
import { indexPage, templatePage } from '../documents/templates/template-page.js';
import { isTemplateRecord } from '../documents/templates/template-facts.js';
import { compareNames } from '../model/site.js';
import type { SourceFile } from './source-file.js';

export interface DocumentedFile {
  readonly path: string;
  readonly text: string;
}

/** A page and a picture for each template of some files, and a list of them; `from` says whose they are. */
export function templateDocs(
  files: readonly SourceFile[],
  from: string,
): readonly DocumentedFile[] {
  const templates = files
    .flatMap((file) => file.pieces)
    .flatMap((piece) =>
      piece.lowered.declarations.flatMap(({ record }) =>
        isTemplateRecord(record) ? [{ template: record, text: piece.text }] : [],
      ),
    )
    .sort((one, other) => compareNames(one.template.name, other.template.name));
  // Of two alike the first counts, as on a site; names that differ in case alone would share a file.
  const byPage = new Map<string, (typeof templates)[number]>();
  for (const one of templates) {
    const page = one.template.name.toLowerCase();
    let free = page;
    for (let count = 2; byPage.has(free); count++) {
      free = `${page}-${count}`;
    }
    byPage.set(free, one);
  }
  const pages = [...byPage].flatMap(([page, { template, text }]) => [
    { path: `${page}.md`, text: templatePage(template, { text, from, picture: `${page}.svg` }) },
    { path: `${page}.svg`, text: templatePicture(template) },
  ]);
  const list = [...byPage].map(([page, { template }]) => ({ template, page: `${page}.md` }));
  return [{ path: 'README.md', text: indexPage(from === '' ? 'Templates' : from, list) }, ...pages];
}
