/** The fix for a name that a file declares which the site does not use. */
import { texts } from '../language/texts.js';
import type { Finding } from '../model/finding.js';
import { nameOf } from '../model/site.js';
import type { OtherFiles } from './editing/completion/import-offers.js';
import { relativePath } from './editing/use-path.js';
import { addUseChange } from './editing/use-line.js';
import type { WrittenFix } from './fixes.js';
import type { OpenSite } from './open-site.js';

/** Each file that declares the name brings it by a `use` line; more than a few are no help. */
export function useFixes(
  open: OpenSite,
  finding: Finding,
  others: OtherFiles,
): readonly WrittenFix[] {
  const at = open.declaredAt.get(finding.at.declaration);
  const index = /^reference\/(\d+)$/u.exec(finding.at.part)?.[1];
  const reference = at?.declaration.references[Number(index)];
  if (
    finding.rule !== 'name-unknown' ||
    at === undefined ||
    reference === undefined ||
    reference.owner !== undefined ||
    open.site.byName.has(reference.name)
  ) {
    return [];
  }
  const own = new Set(open.files.map((file) => file.path));
  const found: WrittenFix[] = [];
  for (const path of others.paths()) {
    const library = own.has(path) ? undefined : others.open(path);
    const declares = library?.files[0]?.pieces.some((piece) =>
      piece.lowered.declarations.some(
        ({ record }) =>
          nameOf(record) === reference.name &&
          (reference.wants.length === 0 || reference.wants.includes(record.kind)),
      ),
    );
    if (library === undefined || declares !== true || clashes(open, own, library)) {
      continue;
    }
    const usePath = relativePath(at.file.path, path);
    found.push({
      title: texts.addUse(usePath),
      kind: 'wiring',
      changes: [addUseChange(at.file, usePath)],
    });
    if (found.length === mostOffered) {
      break;
    }
  }
  return found;
}

const mostOffered = 3;

/** Whether a file would bring a second site, a circle, or a name that the site has already. */
function clashes(open: OpenSite, own: ReadonlySet<string>, library: OpenSite): boolean {
  return (
    library.opening.length > 0 ||
    library.site.settings !== undefined ||
    library.files.some(({ path }) => path === open.root) ||
    library.files
      .filter(({ path }) => !own.has(path))
      .flatMap((file) => file.pieces)
      .flatMap((piece) => piece.lowered.declarations)
      .some(({ record }) => open.site.byName.has(nameOf(record) ?? ''))
  );
}
