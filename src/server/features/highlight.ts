import { DocumentHighlightKind, type DocumentHighlight } from 'vscode-languageserver';
import { cursorAt, targetAt } from '../../workbench/editing/cursor.js';
import { usesOf } from '../../workbench/editing/names.js';
import { rangeIn, type Session } from '../session.js';

/** The same name everywhere in the file; on a bus's or feed's name also its whole run of landings. */
export function highlight(session: Session): void {
  session.connection.onDocumentHighlight(({ textDocument, position }): DocumentHighlight[] => {
    const at = session.at(textDocument.uri, position);
    const cursor = at && cursorAt(at.checked.open, at.file.path, at.offset);
    const target = at && cursor && targetAt(at.checked.open, cursor);
    if (at === undefined || cursor === undefined || target === undefined) {
      return [];
    }
    const uses = usesOf(at.checked.open, target.place, target.name, 'with declaration')
      .filter((use) => use.file === at.file)
      .map((use) => ({
        range: rangeIn(at.file, use.start, use.end),
        kind: DocumentHighlightKind.Text,
      }));
    const declared = at.checked.open.declaredAt.get(target.place.declaration);
    const isRun =
      declared?.declaration.record.kind === 'bus' || declared?.declaration.record.kind === 'feed';
    const run =
      declared === undefined || !isRun || declared.file !== at.file || target.place.part !== 'name'
        ? []
        : [...declared.declaration.origins]
            .filter(([part]) => /^land\/\d+\/target$/u.test(part))
            .map(([, span]) => ({
              range: rangeIn(
                at.file,
                declared.pieceStart + span.start,
                declared.pieceStart + span.end,
              ),
              kind: DocumentHighlightKind.Read,
            }));
    return [...uses, ...run];
  });
}
