/** The shape of a file for an editor: what folds, what grows, where its `use` lines lead. */
import type { Declaration } from '../../model/records.js';
import type { OpenSite } from '../open-site.js';
import type { SourceFile } from '../source-file.js';
import { cursorAt } from './cursor.js';

export interface Fold {
  readonly start: number;
  readonly end: number;
  /** What stands for the folded lines: `8 landings`. */
  readonly text: string;
}

/** Declarations over several lines, and runs of comment lines. Offsets in the file. */
export function foldsOf(file: SourceFile): Fold[] {
  const folds = file.pieces.flatMap((piece) =>
    piece.lowered.declarations.flatMap((declaration) => {
      const all = declaration.origins.get('all');
      if (all === undefined || !piece.text.slice(all.start, all.end).includes('\n')) {
        return [];
      }
      return [
        {
          start: piece.start + all.start,
          end: piece.start + all.end,
          text: foldedText(declaration.record),
        },
      ];
    }),
  );
  const comments = [...file.text.matchAll(/(?:^[ \t]*\/\/[^\n]*\n){2,}/gmu)].map((match) => ({
    start: match.index,
    end: match.index + match[0].trimEnd().length,
    text: '',
  }));
  return [...folds, ...comments].sort((one, other) => one.start - other.start);
}

/** The spans around an offset, the smallest first: a name, its statement, its declaration, the file. */
export function spansAround(
  open: OpenSite,
  path: string,
  offset: number,
): { start: number; end: number }[] {
  const cursor = cursorAt(open, path, offset);
  if (cursor === undefined) {
    return [];
  }
  const { piece, file, declaration } = cursor;
  const inPiece = offset - piece.start;
  const spans = [...(declaration?.origins.values() ?? []), ...(declaration?.references ?? [])]
    .filter((span) => inPiece >= span.start && inPiece <= span.end)
    .map((span) => ({ start: piece.start + span.start, end: piece.start + span.end }));
  const all = [...spans, { start: 0, end: file.text.length }].sort(
    (one, other) => one.end - one.start - (other.end - other.start) || other.start - one.start,
  );
  const nested: { start: number; end: number }[] = [];
  for (const span of all) {
    const last = nested[nested.length - 1];
    const grows =
      last === undefined ||
      (span.start <= last.start &&
        span.end >= last.end &&
        (span.start < last.start || span.end > last.end));
    if (grows) {
      nested.push(span);
    }
  }
  return nested;
}

/** `use` paths of a file with the file that each leads to. */
export function linksOf(
  open: OpenSite,
  path: string,
): { start: number; end: number; target: string }[] {
  const links: { start: number; end: number; target: string }[] = [];
  for (const [id, [target]] of open.targetsOfUse) {
    const at = open.declaredAt.get(id);
    const span = at?.declaration.origins.get('path');
    if (target !== undefined && span !== undefined && at?.file.path === path) {
      links.push({
        start: at.pieceStart + span.start + 1,
        end: at.pieceStart + span.end - 1,
        target,
      });
    }
  }
  return links;
}

function foldedText(record: Declaration): string {
  const count = (number: number, word: string) => `${number} ${word}${number === 1 ? '' : 's'}`;
  switch (record.kind) {
    case 'bus':
    case 'feed':
      return count(record.landings.length, 'landing');
    case 'board':
      return count(record.ways.length, 'way');
    case 'area':
      return count(record.rooms.length, 'room');
    case 'network':
      return count(record.hosts.length, 'host');
    case 'zone':
      return count(record.units.length, 'unit');
    default:
      return '';
  }
}
