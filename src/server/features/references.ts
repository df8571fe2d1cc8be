import type { Location } from 'vscode-languageserver';
import { cursorAt, targetAt } from '../../workbench/editing/cursor.js';
import { usesOf } from '../../workbench/editing/names.js';
import { offsetAt } from '../../workbench/source-file.js';
import { rangeIn, type Session } from '../session.js';
import { ifStillWanted } from '../cancelled.js';

export function references(session: Session): void {
  session.connection.onReferences(
    ifStillWanted(({ textDocument, position, context }): Location[] => {
      const found = new Map<string, Location>();
      for (const { open } of session.sitesOf([textDocument.uri])) {
        const file = open.files.find((one) => one.path === textDocument.uri);
        const cursor = file && cursorAt(open, file.path, offsetAt(file, position));
        const target = cursor && targetAt(open, cursor);
        if (target === undefined) {
          continue;
        }
        const wanted = context.includeDeclaration ? 'with declaration' : 'uses only';
        for (const use of usesOf(open, target.place, target.name, wanted)) {
          const location = { uri: use.file.path, range: rangeIn(use.file, use.start, use.end) };
          found.set(JSON.stringify(location), location);
        }
      }
      return [...found.values()];
    }),
  );
}
