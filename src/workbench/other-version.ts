/** A site's files as if other versions of its packages were installed. */
import { VENDOR_FOLDER } from '../packages/vendored.js';
import type { FileContent, Files } from './files.js';

export { newerVersions } from '../packages/newer.js';

/** Reads a file of a package that is to stand in for the installed one; undefined where it has none of that name. */
export type ReadStandIn = (packageName: string, file: string) => FileContent | undefined;

/** Copies beside the site are left out: they are of the versions that are there now. */
export function withStandIns(files: Files, standIn: ReadStandIn): Files {
  const replaced = (path: string): FileContent | undefined => {
    const [, name, file] =
      /(?:^|\/)node_modules\/((?:@[^/]+\/)?[^/@.][^/]*)\/((?:(?!\/node_modules\/).)+)$/u.exec(
        path,
      ) ?? [];
    return name === undefined || file === undefined ? undefined : standIn(name, file);
  };
  return {
    ...files,
    read: (path) =>
      path.split('/').includes(VENDOR_FOLDER)
        ? { kind: 'missing' }
        : (replaced(path) ?? files.read(path)),
    real: (path) => (replaced(path) === undefined ? (files.real?.(path) ?? path) : path),
  };
}
