/** What the text at a position is about. */
import type { LoweredDeclaration } from '../../language/lower.js';
import { resolveName } from '../../language/resolve.js';
import type { NameReference } from '../../language/reference.js';
import { placeOf, type Place } from '../../model/origin.js';
import type { OpenSite } from '../open-site.js';
import type { SourceFile, SourcePiece } from '../source-file.js';

export interface Cursor {
  readonly file: SourceFile;
  readonly offset: number;
  readonly piece: SourcePiece;
  /** The declaration that the position is in. */
  readonly id?: string;
  readonly declaration?: LoweredDeclaration;
  /** The smallest known part around the position. */
  readonly part?: string;
  /** The name under the position. */
  readonly reference?: NameReference;
}

/** The piece and declaration at an offset of a file; undefined where the file is not part of the site. */
export function cursorAt(open: OpenSite, path: string, offset: number): Cursor | undefined {
  const file = open.files.find((one) => one.path === path);
  const piece = file && pieceAt(file, offset);
  if (file === undefined || piece === undefined) {
    return undefined;
  }
  const inPiece = offset - piece.start;
  for (const [id, declared] of declarationsOf(open, file, piece)) {
    const all = declared.origins.get('all');
    const inside = all !== undefined && inPiece >= all.start && inPiece <= all.end;
    if (!inside) {
      continue;
    }
    const reference = declared.references.find((one) => inPiece >= one.start && inPiece <= one.end);
    return {
      file,
      offset,
      piece,
      id,
      declaration: declared,
      part: smallestPart(declared, inPiece),
      ...(reference === undefined ? {} : { reference }),
    };
  }
  return { file, offset, piece };
}

/** What the cursor names: the target of a reference, or the name that is declared there. */
export function targetAt(
  open: OpenSite,
  cursor: Cursor,
): { place: Place; name: string } | undefined {
  const { declaration, id } = cursor;
  if (declaration === undefined || id === undefined) {
    return undefined;
  }
  if (cursor.reference !== undefined) {
    const resolution = resolveName(open.site, cursor.reference);
    return resolution.kind === 'found'
      ? { place: resolution.place, name: cursor.reference.name }
      : undefined;
  }
  const inPiece = cursor.offset - cursor.piece.start;
  for (const [part, span] of declaration.origins) {
    const isName =
      part === 'name' || /^(?:port|inlet|outlet|lan|way|room)\/[^/]+\/name$/u.test(part);
    if (isName && inPiece >= span.start && inPiece <= span.end && 'name' in declaration.record) {
      return { place: placeOf(id, part), name: cursor.piece.text.slice(span.start, span.end) };
    }
  }
  return undefined;
}

/** The piece that an offset falls into. */
export function pieceAt(file: SourceFile, offset: number): SourcePiece | undefined {
  let low = 0;
  let high = file.pieces.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (file.pieces[middle]!.start <= offset) {
      low = middle;
    } else {
      high = middle - 1;
    }
  }
  return file.pieces[low];
}

function declarationsOf(
  open: OpenSite,
  file: SourceFile,
  piece: SourcePiece,
): [string, LoweredDeclaration][] {
  const keyed = open.pieceAt.get(`?${file.path}:${file.pieces.indexOf(piece)}`)?.piece;
  return (keyed?.ids ?? []).map((id, index) => [id, piece.lowered.declarations[index]!]);
}

function smallestPart(declaration: LoweredDeclaration, offset: number): string | undefined {
  let best: string | undefined;
  let bestLength = Number.POSITIVE_INFINITY;
  for (const [part, span] of declaration.origins) {
    const length = span.end - span.start;
    if (part !== 'all' && offset >= span.start && offset <= span.end && length < bestLength) {
      best = part;
      bestLength = length;
    }
  }
  return best;
}
