/**
 * A file's text, cut into pieces and lowered.
 *
 * Another text of the same file keeps every piece outside the edited window, the object included: the
 * common start and end of both texts tell the window, and only its pieces are cut, scanned and lowered
 * again. A declaration that says the same as before, moved or with another comment, keeps its record.
 */
import { isSameData } from '../analysis/sameness.js';
import { lowerPiece, type LoweredPiece } from '../language/lower.js';
import { splitText } from '../language/split.js';
import { keyOf } from '../language/validate.js';
import type { Position, Range } from '../model/located.js';
import type { Declaration } from '../model/records.js';
import { changedWindow } from './text-difference.js';

export interface SourcePiece {
  /** Which piece of its file it is. */
  readonly index: number;
  /** Offset in the file. */
  readonly start: number;
  /** The line that it starts with, counted from 0. */
  readonly line: number;
  readonly text: string;
  readonly lowered: LoweredPiece;
  /** Whether it begins the declaration of a site, read or not. */
  readonly opensSite: boolean;
}

export interface SourceFile {
  readonly path: string;
  readonly text: string;
  /** At least one; together they are the text. */
  readonly pieces: readonly SourcePiece[];
}

/** A piece moves with the text before it, so where it stands is written anew after each edit. */
class Piece implements SourcePiece {
  index = 0;
  start = 0;
  line = 0;
  readonly lines: number;
  readonly opensSite: boolean;

  constructor(
    readonly text: string,
    readonly lowered: LoweredPiece,
  ) {
    this.lines = lineBreaksIn(text);
    this.opensSite = /^site[ \t]/mu.test(text);
  }
}

interface KeptFile extends SourceFile {
  readonly pieces: readonly Piece[];
}

/** Lowers files and remembers each piece by its text, so that an edit costs one declaration. */
export class SourceFiles {
  private kept = new Map<string, LoweredPiece>();
  private mostKept = fewestKept;
  private readonly files = new Map<string, KeptFile>();

  read(path: string, text: string): SourceFile {
    const before = this.files.get(path);
    if (before?.text === text) {
      return before;
    }
    const pieces =
      before === undefined
        ? splitText(text).map((piece) => new Piece(piece.text, this.lower(piece.text)))
        : this.changed(before, text);
    if (before === undefined) {
      place(pieces, 0);
    }
    const file: KeptFile = { path, text, pieces };
    this.files.set(path, file);
    return file;
  }

  /** Whether a file was read, so that reading another text of it costs little. */
  has(path: string): boolean {
    return this.files.has(path);
  }

  forget(path: string): void {
    this.files.delete(path);
  }

  /** The pieces of a new text; those that were not touched are the old ones. */
  private changed(before: KeptFile, text: string): readonly Piece[] {
    const window = changedWindow(before.text, text);
    const old = before.pieces;
    // What one piece ends with can decide where the next begins, so one more is cut on either side.
    let from = Math.max(0, pieceIndexAt(old, window.start) - 1);
    let to = Math.min(old.length, pieceIndexAt(old, window.endBefore) + 2);
    const start = old[from]!.start;
    const moved = text.length - before.text.length;
    const end = to === old.length ? text.length : old[to]!.start + moved;
    const texts = splitText(text.slice(start, end)).map((piece) => piece.text);
    let first = 0;
    let last = texts.length;
    while (from < to && first < last && old[from]!.text === texts[first]) {
      from++;
      first++;
    }
    while (from < to && first < last && old[to - 1]!.text === texts[last - 1]) {
      to--;
      last--;
    }
    const records = recordsIn(old.slice(from, to));
    const pieces = texts.slice(first, last).map((one) => {
      const ownText = withoutParent(one);
      return new Piece(ownText, this.lower(ownText, records));
    });
    const all = [...old.slice(0, from), ...pieces, ...old.slice(to)];
    place(all, from);
    return all;
  }

  private lower(text: string, known?: ReadonlyMap<string, Declaration>): LoweredPiece {
    let lowered = this.kept.get(text);
    if (lowered === undefined) {
      lowered = lowerPiece(text);
      this.keep(text, lowered);
    }
    const same = known === undefined ? lowered : withKnownRecords(lowered, known);
    if (same !== lowered) {
      this.keep(text, same);
    }
    return same;
  }

  private keep(text: string, lowered: LoweredPiece): void {
    if (this.kept.size > this.mostKept) {
      this.dropUnused();
    }
    this.kept.set(text, lowered);
  }

  private dropUnused(): void {
    const used = new Map<string, LoweredPiece>();
    for (const file of this.files.values()) {
      for (const piece of file.pieces) {
        used.set(piece.text, piece.lowered);
      }
    }
    this.kept = used;
    this.mostKept = Math.max(fewestKept, Math.ceil(used.size * 1.5));
  }
}

/** So many pieces are kept before those that no file holds any more are dropped. */
const fewestKept = 20_000;

function recordsIn(pieces: readonly Piece[]): ReadonlyMap<string, Declaration> {
  return new Map(
    pieces.flatMap(({ lowered }) =>
      lowered.declarations.map(({ record }) => [keyOf(record), record] as const),
    ),
  );
}

/** A declaration that says what it said before is the same declaration. */
function withKnownRecords(
  lowered: LoweredPiece,
  known: ReadonlyMap<string, Declaration>,
): LoweredPiece {
  const recordOf = (record: Declaration): Declaration => {
    const old = known.get(keyOf(record));
    return old !== undefined && isSameData(old, record) ? old : record;
  };
  return lowered.declarations.every(({ record }) => recordOf(record) === record)
    ? lowered
    : {
        ...lowered,
        declarations: lowered.declarations.map((one) => ({ ...one, record: recordOf(one.record) })),
      };
}

/** Writes where pieces stand, from one of them on. */
function place(pieces: readonly Piece[], from: number): void {
  const before = pieces[from - 1];
  let start = before === undefined ? 0 : before.start + before.text.length;
  let line = before === undefined ? 0 : before.line + before.lines;
  for (let index = from; index < pieces.length; index++) {
    const piece = pieces[index]!;
    piece.index = index;
    piece.start = start;
    piece.line = line;
    start += piece.text.length;
    line += piece.lines;
  }
}

/** The index of the piece that an offset falls into. */
export function pieceIndexAt(pieces: readonly SourcePiece[], offset: number): number {
  return lastIndexWhere(pieces, (piece) => piece.start <= offset);
}

export function positionAt(file: SourceFile, offset: number): Position {
  const piece = file.pieces[pieceIndexAt(file.pieces, offset)]!;
  let line = piece.line;
  let lineStart = piece.start;
  for (
    let end = piece.text.indexOf('\n');
    end >= 0 && piece.start + end < offset;
    end = piece.text.indexOf('\n', end + 1)
  ) {
    line++;
    lineStart = piece.start + end + 1;
  }
  return { line, character: offset - lineStart };
}

export function offsetAt(file: SourceFile, { line, character }: Position): number {
  const piece = file.pieces[lastIndexWhere(file.pieces, (one) => one.line <= line)]!;
  let start = piece.start;
  for (let left = line - piece.line; left > 0; left--) {
    const end = file.text.indexOf('\n', start);
    if (end < 0) {
      break;
    }
    start = end + 1;
  }
  const next = file.text.indexOf('\n', start);
  return Math.min(start + character, next < 0 ? file.text.length : next + 1);
}

export function rangeOf(file: SourceFile, start: number, end: number): Range {
  return { start: positionAt(file, start), end: positionAt(file, end) };
}

/** The last of some items that come in order for which something holds, by halving. */
function lastIndexWhere<Item>(items: readonly Item[], holds: (item: Item) => boolean): number {
  let low = 0;
  let high = items.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (holds(items[middle]!)) {
      low = middle;
    } else {
      high = middle - 1;
    }
  }
  return low;
}

function lineBreaksIn(text: string): number {
  let count = 0;
  for (let index = text.indexOf('\n'); index >= 0; index = text.indexOf('\n', index + 1)) {
    count++;
  }
  return count;
}

/** A part of a string keeps the whole string alive; a copy does not keep the text before each edit. */
function withoutParent(text: string): string {
  return ` ${text}`.slice(1);
}
