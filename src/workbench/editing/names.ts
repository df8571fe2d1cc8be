/** Where names are declared and used, and renaming them everywhere. */
import { membersOf, resolveName } from '../../language/resolve.js';
import type { TextChange } from '../../language/write.js';
import { placeKey, type Place } from '../../model/origin.js';
import { locate, type Location, type OpenSite } from '../open-site.js';
import { isOfPackage } from '../package-walk.js';

/** Every place in a site that uses what stands at `target`, the declaration itself last where asked for. */
export function usesOf(
  open: OpenSite,
  target: Place,
  name: string,
  declaration: 'with declaration' | 'uses only',
): Location[] {
  const wanted = placeKey(target);
  const found: Location[] = [];
  for (const piece of open.pieces) {
    piece.lowered.declarations.forEach((declared, position) => {
      const at = open.declaredAt.get(piece.ids[position]!);
      for (const reference of declared.references) {
        if (at === undefined || reference.name !== name) {
          continue;
        }
        const resolution = resolveName(open.site, reference);
        if (resolution.kind === 'found' && placeKey(resolution.place) === wanted) {
          found.push({
            file: at.file,
            start: at.pieceStart + reference.start,
            end: at.pieceStart + reference.end,
          });
        }
      }
    });
  }
  const own = declaration === 'with declaration' ? locate(open, target) : undefined;
  return own === undefined ? found : [...found, own];
}

/** Why a new name will not do; undefined where it will. */
export function renameProblem(
  open: OpenSite,
  target: Place,
  name: string,
  newName: string,
): string | undefined {
  if (!/^[A-Za-zÀ-ÖØ-öø-ɏ][A-Za-zÀ-ÖØ-öø-ɏ0-9_]*(?:-[A-Za-zÀ-ÖØ-öø-ɏ0-9_]+)*$/u.test(newName)) {
    return `"${newName}" is not a name: a name starts with a letter and goes on with letters, digits, _ and - between them.`;
  }
  if (newName === name) {
    return undefined;
  }
  if (isOfPackage(open.declaredAt.get(target.declaration)?.file.path ?? '')) {
    return `"${name}" comes with a package; it can only be renamed there.`;
  }
  if (target.part === 'name') {
    const other = open.site.byName.get(newName);
    return other === undefined
      ? undefined
      : `"${newName}" is already the name of something in this site.`;
  }
  return membersOf(open.site, target.declaration, []).has(newName)
    ? `${target.declaration} already has a part named "${newName}".`
    : undefined;
}

export function renameChanges(
  open: OpenSite,
  target: Place,
  name: string,
  newName: string,
): TextChange[] {
  return usesOf(open, target, name, 'with declaration').map(({ file, start, end }) => ({
    file: file.path,
    start,
    end,
    text: newName,
  }));
}
