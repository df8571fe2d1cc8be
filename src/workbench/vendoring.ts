/** Copies of packages beside a site: where they stand, what is in them, and what became of them. */
import { messageOf } from '../model/finding.js';
import {
  alteration,
  INTEGRITY_FILE,
  integrityOf,
  readIntegrity,
  VENDOR_FOLDER,
  writeIntegrity,
} from '../packages/vendored.js';
import type { Files } from './files.js';
import type { OpenSite } from './open-site.js';
import { isOfPackage, type UsedPackage } from './package-walk.js';

export { VENDOR_FOLDER };

/** The folder of copies that every file of the site finds: in the nearest folder above all that use a package. */
export function vendorPlace(
  files: Pick<Files, 'resolve'>,
  root: string,
  packages: readonly UsedPackage[],
): string {
  const users = packages.flatMap(({ usedBy }) => usedBy).filter((file) => !isOfPackage(file));
  const shares = packages.map(({ manifestPath }) => folderOf(manifestPath));
  const own = users.filter((file) => !shares.some((folder) => file.startsWith(folder)));
  for (let up = './'; up.length < longestUp; up += '../') {
    const marker = files.resolve(root, `${up}${VENDOR_FOLDER}`);
    const above = marker.slice(0, -VENDOR_FOLDER.length);
    if (
      own.every((file) => file.startsWith(above) && !file.slice(above.length).startsWith('../'))
    ) {
      return marker;
    }
  }
  return files.resolve(root, `./${VENDOR_FOLDER}`);
}

/** Deeper than folders are nested. */
const longestUp = 120;

/** Why files or packages that a site names are not part of it, as sentences. */
export function unopened(open: OpenSite): readonly string[] {
  return open.opening
    .filter(({ rule }) => /^(?:package-|import-(?:missing|unreadable))/u.test(rule))
    .map(messageOf);
}

/** The files of the folder: the texts of the packages by their path in it, and the list of them. */
export function copyOf(
  texts: ReadonlyMap<string, string>,
  packages: readonly UsedPackage[],
): ReadonlyMap<string, string> {
  const list = writeIntegrity({
    packages: Object.fromEntries(packages.map(({ name, version }) => [name, version])),
    files: Object.fromEntries([...texts].map(([file, text]) => [file, integrityOf(text)])),
  });
  return new Map([...texts, [INTEGRITY_FILE, list]]);
}

export interface Alteration {
  readonly kind: 'changed' | 'gone' | 'added';
  readonly file: string;
  /** Completes "The copy of … ". */
  readonly what: string;
}

/** What differs in a folder of copies from its list; `present` is what stands in it. */
export function alterationsOf(
  files: Pick<Files, 'read'>,
  folder: string,
  present: readonly string[],
): readonly Alteration[] {
  if (present.length === 0) {
    return [];
  }
  const list = files.read(`${folder}/${INTEGRITY_FILE}`);
  const listed = list.kind === 'text' ? readIntegrity(list.text) : undefined;
  const found = present
    .filter((file) => file !== INTEGRITY_FILE)
    .flatMap((file): Alteration[] => {
      const content = files.read(`${folder}/${file}`);
      const what = alteration(
        list.kind === 'text' ? list.text : undefined,
        file,
        content.kind === 'text' ? content.text : '',
      );
      const isListed = listed !== undefined && Object.hasOwn(listed.files, file);
      return what === undefined ? [] : [{ kind: isListed ? 'changed' : 'added', file, what }];
    });
  const gone = Object.keys(listed?.files ?? {})
    .filter((file) => !present.includes(file))
    .map((file): Alteration => ({ kind: 'gone', file, what: 'is gone' }));
  return [...found, ...gone];
}

function folderOf(path: string): string {
  return path.slice(0, path.lastIndexOf('/') + 1);
}
