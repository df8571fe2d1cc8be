/** The files of this computer, named as people name them: relative to a folder, with `/`. */
import { readFileSync, readdirSync, realpathSync, statSync } from 'node:fs';
import path from 'node:path';
import type { FileContent, Files } from '../workbench/files.js';
import { reasonOf } from './reason.js';

export interface NodeFilesOptions {
  /** The folder that names are relative to. */
  readonly base: string;
  /** Files and folders to look into for `list()`: relative to `base`, or absolute. */
  readonly places: readonly string[];
}

/** Reads files when they are asked for; nothing is kept, so that each answer is today's. */
export function nodeFiles({ base, places }: NodeFilesOptions): Files {
  return {
    read: (name) => readText(path.resolve(base, name)),
    resolve: (from, use) =>
      nameOf(base, path.resolve(base, path.dirname(path.resolve(base, from)), use)),
    real: (name) => realNameOf(base, name),
    list: () => {
      const found = places.flatMap((place) => ferruleFilesBelow(path.resolve(base, place)));
      return [...new Set(found.map((file) => nameOf(base, file)))].sort();
    },
  };
}

/** The name of a file: relative to `base` with `/`; absolute where no relative path leads there. */
export function nameOf(base: string, file: string): string {
  const relative = path.relative(base, path.resolve(base, file));
  return (relative === '' ? '.' : relative).split(path.sep).join('/');
}

/** The name of what a path leads to behind links; the path itself where nothing is there. */
function realNameOf(base: string, name: string): string {
  const file = path.resolve(base, name);
  const real = realPathOf(file);
  if (real === file) {
    return name;
  }
  const realBase = realPathOf(base);
  const isBelow = real.startsWith(`${realBase}${path.sep}`);
  // Where the base stands behind a link itself, what lies outside it has no relative name.
  return isBelow || realBase === base ? nameOf(realBase, real) : real.split(path.sep).join('/');
}

/** A path with all links followed; the path itself where nothing is there. */
export function realPathOf(file: string): string {
  try {
    return realpathSync(file);
  } catch {
    return file;
  }
}

export function readText(file: string): FileContent {
  try {
    const stats = statSync(file);
    if (stats.isDirectory()) {
      return { kind: 'folder' };
    }
    if (!stats.isFile()) {
      // Reading a pipe or a device could wait for ever.
      return { kind: 'unreadable', why: 'it is no ordinary file' };
    }
    return { kind: 'text', text: decoder.decode(readFileSync(file)) };
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    if (code === 'ENOENT' || code === 'ENOTDIR') {
      return { kind: 'missing' };
    }
    return { kind: 'unreadable', why: reasonOf(error) };
  }
}

/** What stands at a path, without reading it. */
export function kindAt(file: string): 'file' | 'folder' | 'missing' {
  try {
    return statSync(file).isDirectory() ? 'folder' : 'file';
  } catch {
    return 'missing';
  }
}

/** Refuses bytes that are no UTF-8 instead of showing them as replaced characters; drops a mark of byte order. */
const decoder = new TextDecoder('utf-8', { fatal: true });

/** Folders that hold no sources of a site: installed and copied packages, and what programs keep for themselves. */
const skippedFolder = /^(node_modules|ferrule-vendor|\..+)$/u;

/** Whether a folder of this name is left out where a folder stands for the files in it. */
export function isSkippedFolder(name: string): boolean {
  return skippedFolder.test(name);
}

/** A file itself, or every `.ferrule` file below a folder. Links to folders are not followed. */
export function ferruleFilesBelow(place: string): string[] {
  if (kindAt(place) !== 'folder') {
    return [place];
  }
  const found: string[] = [];
  const folders = [place];
  for (let folder = folders.pop(); folder !== undefined; folder = folders.pop()) {
    for (const entry of entriesOf(folder)) {
      const file = path.join(folder, entry.name);
      if (entry.isDirectory()) {
        if (!isSkippedFolder(entry.name)) {
          folders.push(file);
        }
      } else if (entry.name.endsWith('.ferrule')) {
        found.push(file);
      }
    }
  }
  return found;
}

/** A folder that may not be read holds nothing for us; what a site needs from it is reported by its `use`. */
function entriesOf(folder: string) {
  try {
    return readdirSync(folder, { withFileTypes: true });
  } catch {
    return [];
  }
}
