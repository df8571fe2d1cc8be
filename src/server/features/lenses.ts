import type { CodeLens, InlayHint } from 'vscode-languageserver';
import { inlaysOf, lensesOf } from '../../workbench/editing/lenses.js';
import { offsetAt } from '../../workbench/source-file.js';
import { rangeIn, type Session } from '../session.js';
import { ifStillWanted } from '../cancelled.js';

/** Totals above declarations and computed results behind statements. */
export function lenses(session: Session): void {
  session.connection.onCodeLens(
    ifStillWanted(({ textDocument }): CodeLens[] => {
      const open = session.siteOf(textDocument.uri)?.open;
      const file = open?.files.find((one) => one.path === textDocument.uri);
      return open === undefined || file === undefined
        ? []
        : lensesOf(open, file).map((lens) => {
            const range = rangeIn(file, lens.start, lens.end);
            return {
              range,
              command: {
                title: lens.text,
                command: lens.run === undefined ? 'ferrule.showDrawing' : 'ferrule.showTerminals',
                arguments: [textDocument.uri, range.start],
              },
            };
          });
    }),
  );

  session.connection.languages.inlayHint.on(({ textDocument, range }): InlayHint[] => {
    const open = session.siteOf(textDocument.uri)?.open;
    const file = open?.files.find((one) => one.path === textDocument.uri);
    return open === undefined || file === undefined
      ? []
      : inlaysOf(open, file, offsetAt(file, range.start), offsetAt(file, range.end)).map(
          (inlay) => ({
            position: rangeIn(file, inlay.offset, inlay.offset).start,
            label: inlay.text,
            paddingLeft: true,
          }),
        );
  });
}
