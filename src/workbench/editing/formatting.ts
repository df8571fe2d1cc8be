/** Formatting by whole declarations: of a range, and while somebody types. */
import { formatPiece, formatText } from '../../language/format.js';
import type { TextChange } from '../../language/write.js';
import type { SourceFile, SourcePiece } from '../source-file.js';

export type Formatted =
  | { readonly kind: 'formatted'; readonly changes: readonly TextChange[] }
  /** `why` says what stands in the way. */
  | { readonly kind: 'refused'; readonly why: string };

/** The whole file; refused where it has a syntax error. */
export function formatFile(file: SourceFile): Formatted {
  const result = formatText(file.text);
  return result.kind === 'refused'
    ? { kind: 'refused', why: result.why }
    : { kind: 'formatted', changes: smallest(file.path, 0, file.text, result.text) };
}

/** The declarations that a range touches; those with a syntax error stay as they are. */
export function formatRange(file: SourceFile, start: number, end: number): TextChange[] {
  return file.pieces
    .filter((piece) => piece.start <= end && lastOf(piece) >= start)
    .flatMap((piece) => formatOne(file, piece));
}

/**
 * After a typed `}` the declaration that it ends; after a line break the one that ends on the line
 * above. Inside of a block nothing is touched: an empty line is where somebody goes on.
 */
export function formatTyped(file: SourceFile, offset: number, typed: string): TextChange[] {
  const end =
    typed === '\n' ? file.text.slice(0, offset).replace(/\r?\n[ \t]*$/u, '').length : offset;
  return file.pieces
    .filter((piece) => {
      const text = file.text.slice(piece.start, end).trimEnd();
      return piece.start < end && piece.start + text.length === lastOf(piece) && text.endsWith('}');
    })
    .flatMap((piece) => formatOne(file, piece));
}

/** The end of a piece without the empty lines behind it. */
function lastOf(piece: SourcePiece): number {
  return piece.start + piece.text.trimEnd().length;
}

/** The change stays within the declaration: what stands behind it belongs to the file. */
function formatOne(file: SourceFile, piece: SourcePiece): TextChange[] {
  const lineEnd = file.text.includes('\r\n') ? '\r\n' : '\n';
  const formatted = formatPiece(piece.text.replaceAll('\r\n', '\n'));
  if (formatted === undefined) {
    return [];
  }
  const before = piece.text.trimEnd();
  return smallest(file.path, piece.start, before, formatted.trimEnd().replaceAll('\n', lineEnd));
}

/** The smallest change that makes one text of another, so that cursors and marks stay where they are. */
function smallest(file: string, offset: number, before: string, after: string): TextChange[] {
  if (before === after) {
    return [];
  }
  const most = Math.min(before.length, after.length);
  let start = 0;
  while (start < most && before[start] === after[start]) {
    start++;
  }
  let tail = 0;
  while (tail < most - start && before.at(-1 - tail) === after.at(-1 - tail)) {
    tail++;
  }
  return [
    {
      file,
      start: offset + start,
      end: offset + before.length - tail,
      text: after.slice(start, after.length - tail),
    },
  ];
}
