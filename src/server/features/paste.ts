/** A table as devices: says what to write and what was left out; the client writes it. */
import { pastedTable } from '../../workbench/editing/paste-table.js';
import { pieceAt } from '../../workbench/editing/cursor.js';
import type { PasteParams, PasteResult } from '../protocol.js';
import type { SourceFile } from '../../workbench/source-file.js';
import { rangeIn, type Session } from '../session.js';

export function paste(session: Session): void {
  session.connection.onRequest('ferrule/paste', (params: PasteParams): PasteResult => {
    const at = session.at(params.uri, params.position);
    if (at === undefined) {
      const why = 'This file cannot be read.';
      return { edits: [], devices: [], left: [{ line: 1, text: params.text, why }] };
    }
    const { text, devices, left } = pastedTable(at.checked.open.site, params.text);
    const { offset, before, behind } = placeFor(at.file, at.offset);
    const lineEnd = at.file.text.includes('\r\n') ? '\r\n' : '\n';
    return {
      edits:
        devices.length === 0
          ? []
          : [
              {
                range: rangeIn(at.file, offset, offset),
                newText: `${before}${text.trimEnd()}${behind}`.replaceAll('\n', lineEnd),
              },
            ],
      devices: [...devices],
      left: left.map((one) => ({ ...one })),
    };
  });
}

/** On an empty line at column 0 right there, else behind the declaration around the cursor. */
function placeFor(
  file: SourceFile,
  offset: number,
): { offset: number; before: string; behind: string } {
  const piece = pieceAt(file, offset);
  const end = (piece?.lowered.declarations ?? []).reduce(
    (latest, { origins }) => Math.max(latest, (piece?.start ?? 0) + (origins.get('all')?.end ?? 0)),
    -1,
  );
  const lineStart = file.text.lastIndexOf('\n', offset - 1) + 1;
  const isEmptyLine = /^[ \t]*\r?(?:\n|$)/u.test(file.text.slice(lineStart));
  if (offset > end && isEmptyLine) {
    return { offset: lineStart, before: '', behind: '\n' };
  }
  const lineEnd = file.text.slice(Math.max(end, offset)).search(/\r?\n|$/u);
  // Devices of one line stand close together.
  const isOfItsKind = /^device[^\n]*$/u.test(piece?.text.trimEnd() ?? '');
  return {
    offset: Math.max(end, offset) + lineEnd,
    before: isOfItsKind ? '\n' : '\n\n',
    behind: '',
  };
}
