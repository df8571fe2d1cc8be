/** A file's text, cut into pieces and lowered; kept as long as its text stays the same. */
import { lowerPiece, type LoweredPiece } from '../language/lower.js';
import { splitText } from '../language/split.js';
import type { Position, Range } from '../model/located.js';

export interface SourcePiece {
  readonly start: number;
  readonly text: string;
  readonly lowered: LoweredPiece;
}

export interface SourceFile {
  readonly path: string;
  readonly text: string;
  readonly pieces: readonly SourcePiece[];
}

/** Lowers files and remembers each piece by its text, so that an edit costs one declaration. */
export class SourceFiles {
  private kept = new Map<string, LoweredPiece>();
  private readonly files = new Map<string, SourceFile>();

  read(path: string, text: string): SourceFile {
    const before = this.files.get(path);
    if (before?.text === text) {
      return before;
    }
    const pieces = splitText(text).map((piece) => ({ ...piece, lowered: this.lower(piece.text) }));
    const file: SourceFile = { path, text, pieces };
    this.files.set(path, file);
    return file;
  }

  forget(path: string): void {
    this.files.delete(path);
  }

  private lower(text: string): LoweredPiece {
    let lowered = this.kept.get(text);
    if (lowered === undefined) {
      if (this.kept.size > mostKept) {
        this.dropUnused();
      }
      lowered = lowerPiece(text);
      this.kept.set(text, lowered);
    }
    return lowered;
  }

  private dropUnused(): void {
    const used = new Map<string, LoweredPiece>();
    for (const file of this.files.values()) {
      for (const piece of file.pieces) {
        used.set(piece.text, piece.lowered);
      }
    }
    this.kept = used;
    mostKept = Math.max(mostKept, used.size * 2);
  }
}

/** Pieces kept before those that no file holds any more are dropped. */
let mostKept = 100_000;

const lineStartsOf = new WeakMap<SourceFile, number[]>();

export function positionAt(file: SourceFile, offset: number): Position {
  const starts = lineStarts(file);
  let low = 0;
  let high = starts.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (starts[middle]! <= offset) {
      low = middle;
    } else {
      high = middle - 1;
    }
  }
  return { line: low, character: offset - starts[low]! };
}

export function offsetAt(file: SourceFile, position: Position): number {
  const starts = lineStarts(file);
  const start = starts[Math.min(position.line, starts.length - 1)] ?? 0;
  const next = starts[position.line + 1] ?? file.text.length;
  return Math.min(start + position.character, Math.max(start, next));
}

export function rangeOf(file: SourceFile, start: number, end: number): Range {
  return { start: positionAt(file, start), end: positionAt(file, end) };
}

function lineStarts(file: SourceFile): number[] {
  let starts = lineStartsOf.get(file);
  if (starts === undefined) {
    starts = [0];
    for (
      let index = file.text.indexOf('\n');
      index >= 0;
      index = file.text.indexOf('\n', index + 1)
    ) {
      starts.push(index + 1);
    }
    lineStartsOf.set(file, starts);
  }
  return starts;
}
