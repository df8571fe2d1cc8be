/** The files of a git revision, named as those of the disk are: relative to the folder of the person. */
import path from 'node:path';
import { isSkippedFolder, nodeFiles } from '../disk/node-files.js';
import type { GitRevision } from '../git/revision.js';
import type { FileContent, Files } from '../workbench/files.js';

export interface RevisionFilesOptions {
  readonly revision: GitRevision;
  /** The folder that names are relative to; the revision was opened from it. */
  readonly base: string;
  /** Files and folders for `list()`, relative to `base`. */
  readonly places: readonly string[];
  /** Told once that a package was read as it is installed now, since revisions hold no packages. */
  readonly onInstalled: () => void;
}

export function revisionFiles(options: RevisionFilesOptions): Files {
  const { revision, base, places } = options;
  const disk = nodeFiles({ base, places: [] });
  let isTold = false;
  const installed = (name: string): FileContent => {
    const content = disk.read(name);
    if (content.kind === 'text' && !isTold) {
      isTold = true;
      options.onInstalled();
    }
    return content;
  };
  return {
    read: (name) => {
      const inside = pathInside(revision, name);
      const content = inside === undefined ? outside : revision.read(inside);
      return content.kind !== 'text' && isInstalled(name) ? installed(name) : content;
    },
    resolve: (from, use) => path.posix.normalize(path.posix.join(path.posix.dirname(from), use)),
    real: (name) => {
      const inside = pathInside(revision, name);
      return inside === undefined || revision.kindAt(inside) === 'missing'
        ? (disk.real?.(name) ?? name)
        : nameInside(revision, revision.real(inside));
    },
    list: () => {
      const found = places.flatMap((place) => ferruleFilesAt(revision, place));
      return [...new Set(found)].sort();
    },
  };
}

/** The path from the top of the repository; undefined outside of it. */
export function pathInside(revision: GitRevision, name: string): string | undefined {
  const joined = path.posix.normalize(path.posix.join(revision.prefix, name));
  const inside = joined.replace(/\/$/u, '');
  if (path.isAbsolute(name) || inside === '..' || inside.startsWith('../')) {
    return undefined;
  }
  return inside === '.' ? '' : inside;
}

/** The name, seen from the folder of the person, of a path from the top of the repository. */
export function nameInside(revision: GitRevision, inside: string): string {
  const relative = path.posix.relative(`/${revision.prefix}`, `/${inside}`);
  return relative === '' ? '.' : relative;
}

const outside: FileContent = { kind: 'unreadable', why: 'it stands outside of the repository' };

function isInstalled(name: string): boolean {
  return name.split('/').includes('node_modules');
}

function ferruleFilesAt(revision: GitRevision, place: string): readonly string[] {
  const inside = pathInside(revision, place);
  if (inside === undefined) {
    return [];
  }
  if (revision.kindAt(inside) !== 'folder') {
    return [place];
  }
  const top = revision.real(inside);
  const isSource = (file: string) => {
    const folders = path.posix.relative(`/${top}`, `/${file}`).split('/').slice(0, -1);
    return file.endsWith('.ferrule') && !folders.some(isSkippedFolder);
  };
  return revision.filesBelow(top, isSource).map((file) => nameInside(revision, file));
}
