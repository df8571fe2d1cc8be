/** What `use` lines have to say once files or folders have another name. */
import type { TextChange } from '../../language/write.js';
import type { SourceFile } from '../source-file.js';
import { relativePath } from './use-path.js';

/** A file or folder, and what it is going to be called. */
export interface Move {
  readonly from: string;
  readonly to: string;
}

/**
 * The changes in the files as they are called before the move. Lines whose file stays where the line
 * says are left alone, as when a folder moves with all that it uses.
 */
export function useChanges(
  files: readonly SourceFile[],
  moves: readonly Move[],
  resolve: (from: string, use: string) => string,
): TextChange[] {
  return files.flatMap((file) =>
    file.pieces.flatMap((piece) =>
      piece.lowered.declarations.flatMap(({ record, origins }): TextChange[] => {
        const span = origins.get('path');
        if (record.kind !== 'use' || span === undefined || !/^\.{0,2}\//u.test(record.path)) {
          return [];
        }
        const target = resolve(file.path, record.path);
        const from = moved(file.path, moves);
        const to = moved(target, moves);
        if (resolve(from, record.path) === to || (from === file.path && to === target)) {
          return [];
        }
        const path = relativePath(from, to).replaceAll('\\', '\\\\').replaceAll('"', '\\"');
        return [
          {
            file: file.path,
            start: piece.start + span.start,
            end: piece.start + span.end,
            text: `"${path}"`,
          },
        ];
      }),
    ),
  );
}

function moved(path: string, moves: readonly Move[]): string {
  for (const { from, to } of moves) {
    if (path === from) {
      return to;
    }
    const folder = from.endsWith('/') ? from : `${from}/`;
    if (path.startsWith(folder)) {
      return `${to.replace(/\/$/u, '')}/${path.slice(folder.length)}`;
    }
  }
  return path;
}
