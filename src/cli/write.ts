/** Writes files whole or not at all: beside their place first, then by renaming. */
import { randomBytes } from 'node:crypto';
import {
  chmodSync,
  closeSync,
  fsyncSync,
  mkdirSync,
  openSync,
  realpathSync,
  renameSync,
  rmSync,
  statSync,
  writeSync,
} from 'node:fs';
import path from 'node:path';
import { reasonOf } from '../disk/reason.js';
import { CannotRun } from './cannot-run.js';
import { texts } from './texts.js';

/** Replaces a file; `shown` is its name in a message. A link is followed, and access rights stay. */
export function writeFileWhole(target: string, shown: string, content: string | Uint8Array): void {
  const file = realPath(target);
  const beside = besideOf(file);
  try {
    mkdirSync(path.dirname(file), { recursive: true });
    writeSynced(beside, content);
    const mode = modeOf(file);
    if (mode !== undefined) {
      chmodSync(beside, mode);
    }
    renameSync(beside, file);
  } catch (error) {
    clearAway(beside);
    throw new CannotRun(texts.unwritable(shown, reasonOf(error)));
  }
}

/** Removes what was begun; that it cannot be removed must not hide why it was begun in vain. */
export function clearAway(place: string): void {
  try {
    rmSync(place, { recursive: true, force: true });
  } catch {
    // The reason is told by the error that led here.
  }
}

/** A hidden name beside a file or folder, so that renaming stays within one file system. */
export function besideOf(target: string): string {
  const suffix = randomBytes(6).toString('hex');
  return path.join(path.dirname(target), `.${path.basename(target)}.${suffix}.ferrule-new`);
}

/** Writes a new file and waits until the disk has it, so that a power cut leaves no empty file behind. */
export function writeSynced(file: string, content: string | Uint8Array): void {
  const handle = openSync(file, 'wx');
  try {
    const bytes = typeof content === 'string' ? Buffer.from(content, 'utf8') : content;
    for (let done = 0; done < bytes.length;) {
      done += writeSync(handle, bytes, done);
    }
    fsyncSync(handle);
  } finally {
    closeSync(handle);
  }
}

function realPath(target: string): string {
  try {
    return realpathSync(target);
  } catch {
    return target;
  }
}

function modeOf(file: string): number | undefined {
  try {
    return statSync(file).mode & 0o7777;
  } catch {
    return undefined;
  }
}
