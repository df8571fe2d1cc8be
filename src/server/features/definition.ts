import type { Location } from 'vscode-languageserver';
import { cursorAt, targetAt } from '../../workbench/editing/cursor.js';
import { fileRangeOf } from '../../workbench/workbench.js';
import type { Session } from '../session.js';

export function definition(session: Session): void {
  session.connection.onDefinition(({ textDocument, position }): Location | null => {
    const at = session.at(textDocument.uri, position);
    const cursor = at && cursorAt(at.checked.open, at.file.path, at.offset);
    const target = at && cursor && targetAt(at.checked.open, cursor);
    const place = at && target && fileRangeOf(at.checked.open, target.place);
    return place === undefined ? null : { uri: place.file, range: place.range };
  });
}
