import type { CodeLens, InlayHint } from 'vscode-languageserver';
import { inlaysOf, lensesOf, lensText } from '../../workbench/editing/lenses.js';
import { offsetAt } from '../../workbench/source-file.js';
import { rangeIn, type Session } from '../session.js';
import { ifStillWanted } from '../cancelled.js';

/** What a lens brings along until somebody sees it. */
interface LensData {
  readonly uri: string;
  readonly name: string;
}

/** Totals above declarations and computed results behind statements. */
export function lenses(session: Session): void {
  session.connection.onCodeLens(
    ifStillWanted(({ textDocument: { uri } }): CodeLens[] => {
      const open = session.siteOf(uri)?.open;
      const file = open?.files.find((one) => one.path === uri);
      return open === undefined || file === undefined
        ? []
        : lensesOf(open, file).map(({ start, end, name }) => ({
            range: rangeIn(file, start, end),
            data: { uri, name } satisfies LensData,
          }));
    }),
  );

  // Totals are added up for the lenses that are on the screen.
  session.connection.onCodeLensResolve((lens): CodeLens => {
    const { uri, name } = lens.data as LensData;
    const site = session.siteOf(uri)?.open.site;
    const text = site === undefined ? '' : lensText(site, name);
    const isRun = site?.buses.has(name) === true || site?.feeds.has(name) === true;
    return {
      range: lens.range,
      command: {
        title: text === '' ? 'nothing to add up yet' : text,
        command: isRun ? 'ferrule.showTerminals' : 'ferrule.showDrawing',
        arguments: [uri, lens.range.start],
      },
    };
  });

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
