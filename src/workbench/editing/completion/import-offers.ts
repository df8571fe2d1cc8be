/** Templates of files that the site does not use yet; taking one adds the `use` line. */
import type { NameReference } from '../../../language/reference.js';
import type { Declaration, DeclarationKind } from '../../../model/records.js';
import { nameOf } from '../../../model/site.js';
import type { OpenSite } from '../../open-site.js';
import type { SourceFile } from '../../source-file.js';
import { relativePath } from '../use-path.js';
import { addUseChange } from '../use-line.js';
import type { Offer } from './offer.js';

const templates: ReadonlySet<DeclarationKind> = new Set([
  'use',
  'bustype',
  'cable',
  'equipment',
  'assembly',
]);

/** Looks into files that are no part of the site. */
export interface OtherFiles {
  readonly paths: () => readonly string[];
  /** A file with all that it uses; undefined where it cannot be read. */
  readonly open: (path: string) => OpenSite | undefined;
}

export function importOffers(
  open: OpenSite,
  into: SourceFile,
  reference: NameReference,
  suits: (candidate: Declaration) => boolean,
  others: OtherFiles,
): Offer[] {
  const kinds = reference.wants.filter((kind) => templates.has(kind as DeclarationKind));
  if (kinds.length === 0 || reference.owner !== undefined) {
    return [];
  }
  const own = new Set(open.files.map((file) => file.path));
  const offers: Offer[] = [];
  for (const path of others.paths()) {
    if (own.has(path)) {
      continue;
    }
    const library = others.open(path);
    if (library === undefined || !isSafeToUse(open, own, library)) {
      continue;
    }
    const usePath = relativePath(into.path, path);
    for (const { record } of library.files[0]!.pieces.flatMap(
      (piece) => piece.lowered.declarations,
    )) {
      const name = nameOf(record);
      if (name !== undefined && kinds.includes(record.kind) && suits(record)) {
        offers.push({
          text: name,
          kind: 'name',
          detail: 'title' in record && record.title !== undefined ? record.title : record.kind,
          rank: 6,
          where: usePath,
          also: [addUseChange(into, usePath)],
        });
      }
    }
  }
  return offers;
}

/** Only templates, none whose name the site has already, and nothing that leads back into the site. */
function isSafeToUse(open: OpenSite, own: ReadonlySet<string>, library: OpenSite): boolean {
  return (
    library.opening.length === 0 &&
    library.files.every((file) =>
      file.pieces.every((piece) =>
        piece.lowered.declarations.every(
          ({ record }) =>
            templates.has(record.kind) &&
            (own.has(file.path) || !open.site.byName.has(nameOf(record) ?? '')),
        ),
      ),
    ) &&
    !library.files.some((file) => file.path === open.root)
  );
}
