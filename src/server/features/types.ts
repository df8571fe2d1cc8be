import type { Location } from 'vscode-languageserver';
import { cursorAt, targetAt } from '../../workbench/editing/cursor.js';
import { devicesOf, equipmentPlace } from '../../workbench/editing/types.js';
import { fileRangeOf } from '../../workbench/workbench.js';
import type { Session } from '../session.js';

/** From a device to its equipment, and from equipment to its devices. */
export function types(session: Session): void {
  session.connection.onTypeDefinition(({ textDocument, position }): Location | null => {
    const at = session.at(textDocument.uri, position);
    const cursor = at && cursorAt(at.checked.open, at.file.path, at.offset);
    const target = at && cursor && targetAt(at.checked.open, cursor);
    const place = at && target && equipmentPlace(at.checked.open, target.place.declaration);
    const range = at && place && fileRangeOf(at.checked.open, place);
    return range === undefined ? null : { uri: range.file, range: range.range };
  });

  session.connection.onImplementation(({ textDocument, position }): Location[] => {
    const at = session.at(textDocument.uri, position);
    const cursor = at && cursorAt(at.checked.open, at.file.path, at.offset);
    const target = at && cursor && targetAt(at.checked.open, cursor);
    return at === undefined || target === undefined
      ? []
      : devicesOf(at.checked.open, target.place.declaration).flatMap((place) => {
          const range = fileRangeOf(at.checked.open, place);
          return range === undefined ? [] : [{ uri: range.file, range: range.range }];
        });
  });
}
