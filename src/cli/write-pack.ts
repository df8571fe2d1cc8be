/**
 * Writes the folder of a job pack whole or not at all, and leaves alone in it what is not ours.
 *
 * A list in the folder says which files a pack wrote and what they held. Whatever else stands there,
 * a sheet that somebody filled in included, is foreign: it is carried over untouched, and where the
 * new pack would have to replace it nothing is written at all.
 */
import { createHash } from 'node:crypto';
import {
  chmodSync,
  copyFileSync,
  constants,
  existsSync,
  linkSync,
  mkdirSync,
  readFileSync,
  readdirSync,
  readlinkSync,
  realpathSync,
  renameSync,
  rmSync,
  statSync,
  symlinkSync,
} from 'node:fs';
import path from 'node:path';
import { kindAt } from '../disk/node-files.js';
import { reasonOf } from '../disk/reason.js';
import { CannotRun } from './cannot-run.js';
import { texts } from './texts.js';
import { besideOf, clearAway, writeSynced } from './write.js';

/** A file of a pack; its path is relative to the folder, with `/`. */
export type WrittenFile =
  | { readonly path: string; readonly text: string }
  | { readonly path: string; readonly bytes: Uint8Array };

/** Files that must not stand in the folder: it is swapped for a new one as a whole. */
export interface PackTarget {
  readonly folder: string;
  /** The folder's name in messages. */
  readonly shown: string;
  /** Absolute paths that the folder must not hold: the working folder and the site's files. */
  readonly keepOut: readonly string[];
}

export function writePack(target: PackTarget, files: readonly WrittenFile[]): void {
  if (kindAt(target.folder) === 'file') {
    throw new CannotRun(texts.outIsFile(target.shown));
  }
  const folder = existsSync(target.folder) ? realpathSync(target.folder) : target.folder;
  if (target.keepOut.some((place) => isIn(folder, place))) {
    throw new CannotRun(texts.outHoldsSources(target.shown));
  }
  const old = path.join(path.dirname(folder), `.${path.basename(folder)}.ferrule-old`);
  const fresh = besideOf(folder);
  try {
    bringBack(old, folder);
    const foreign = foreignIn(folder);
    refuseInTheWay(target.shown, foreign, files);
    mkdirSync(path.dirname(folder), { recursive: true });
    mkdirSync(fresh);
    writeAll(fresh, files);
    foreign.forEach((entry) => carryOver(path.join(folder, entry), path.join(fresh, entry)));
    swap(folder, fresh, old);
  } catch (error) {
    clearAway(fresh);
    throw error instanceof CannotRun
      ? error
      : new CannotRun(texts.unwritable(target.shown, reasonOf(error)));
  }
}

const listName = '.ferrule-pack.json';

interface PackList {
  readonly schemaVersion: 1;
  readonly files: Readonly<Record<string, string>>;
}

function writeAll(folder: string, files: readonly WrittenFile[]): void {
  const hashes: Record<string, string> = {};
  for (const file of [...files].sort((one, other) => (one.path < other.path ? -1 : 1))) {
    const place = path.join(folder, ...file.path.split('/'));
    if (!isIn(folder, place)) {
      throw new Error(`${file.path} is outside the pack`);
    }
    mkdirSync(path.dirname(place), { recursive: true });
    const bytes = 'text' in file ? Buffer.from(file.text, 'utf8') : file.bytes;
    writeSynced(place, bytes);
    hashes[file.path] = hashOf(bytes);
  }
  const list: PackList = { schemaVersion: 1, files: hashes };
  writeSynced(path.join(folder, listName), `${JSON.stringify(list, null, 2)}\n`);
}

/** Files, links and empty folders that no pack wrote, or that were changed since; relative, with the host's separator. */
function foreignIn(folder: string): readonly string[] {
  const ours = listIn(folder);
  const foreign: string[] = [];
  const visit = (inside: string) => {
    for (const entry of readdirSync(path.join(folder, inside), { withFileTypes: true })) {
      const name = path.join(inside, entry.name);
      if (entry.isDirectory()) {
        visit(name);
        if (readdirSync(path.join(folder, name)).length === 0) {
          foreign.push(name);
        }
      } else if (name !== listName) {
        const hash = ours.get(name.split(path.sep).join('/'));
        const isOurs = entry.isFile() && hash === hashOf(readFileSync(path.join(folder, name)));
        if (!isOurs) {
          foreign.push(name);
        }
      }
    }
  };
  if (existsSync(folder)) {
    visit('');
  }
  return foreign.sort();
}

/** A list that cannot be read vouches for nothing, so that everything is foreign. */
function listIn(folder: string): ReadonlyMap<string, string> {
  try {
    const list = JSON.parse(readFileSync(path.join(folder, listName), 'utf8')) as PackList;
    return new Map(Object.entries(list.files));
  } catch {
    return new Map();
  }
}

function refuseInTheWay(
  shown: string,
  foreign: readonly string[],
  files: readonly WrittenFile[],
): void {
  const written = files.map((file) => path.join(...file.path.split('/')));
  const inTheWay = foreign.filter((entry) =>
    written.some((file) => isIn(entry, file) || isIn(file, entry)),
  );
  if (inTheWay.length > 0) {
    throw new CannotRun(texts.foreignInTheWay(shown, inTheWay));
  }
}

/** The same file under its new folder: no byte of it is read where the disk has hard links. */
function carryOver(from: string, to: string): void {
  mkdirSync(path.dirname(to), { recursive: true });
  const stats = statSync(from, { throwIfNoEntry: false });
  if (isLink(from)) {
    symlinkSync(readlinkSync(from), to);
  } else if (stats?.isDirectory() === true) {
    mkdirSync(to, { recursive: true });
  } else {
    try {
      linkSync(from, to);
    } catch {
      copyFileSync(from, to, constants.COPYFILE_EXCL);
    }
  }
}

function swap(folder: string, fresh: string, old: string): void {
  if (!existsSync(folder)) {
    renameSync(fresh, folder);
    return;
  }
  chmodSync(fresh, statSync(folder).mode & 0o7777);
  renameSync(folder, old);
  try {
    renameSync(fresh, folder);
  } catch (error) {
    renameSync(old, folder);
    throw error;
  }
  rmSync(old, { recursive: true, force: true });
}

/** Undoes a run that was killed between its two renamings, and clears what one left after them. */
function bringBack(old: string, folder: string): void {
  if (!existsSync(old)) {
    return;
  }
  if (existsSync(folder)) {
    rmSync(old, { recursive: true, force: true });
  } else {
    renameSync(old, folder);
  }
}

function isLink(file: string): boolean {
  try {
    readlinkSync(file);
    return true;
  } catch {
    return false;
  }
}

/** Whether a path is a folder or stands in it. */
function isIn(folder: string, place: string): boolean {
  const relative = path.relative(folder, place);
  const leaves = relative === '..' || relative.startsWith(`..${path.sep}`);
  return !leaves && !path.isAbsolute(relative);
}

function hashOf(bytes: Uint8Array): string {
  return createHash('sha256').update(bytes).digest('hex');
}
