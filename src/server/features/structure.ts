import type { DocumentLink, FoldingRange, SelectionRange } from 'vscode-languageserver';
import { foldsOf, linksOf, spansAround } from '../../workbench/editing/structure.js';
import { offsetAt } from '../../workbench/source-file.js';
import { rangeIn, type Session } from '../session.js';

/** Folding, growing selections and the links of `use` lines. */
export function structure(session: Session): void {
  const fileOf = (uri: string) => session.siteOf(uri)?.open.files.find((one) => one.path === uri);

  session.connection.onFoldingRanges(({ textDocument }): FoldingRange[] => {
    const file = fileOf(textDocument.uri);
    return file === undefined
      ? []
      : foldsOf(file).map((fold) => {
          const range = rangeIn(file, fold.start, fold.end);
          return {
            startLine: range.start.line,
            endLine: range.end.line,
            ...(fold.text === '' ? { kind: 'comment' } : { collapsedText: fold.text }),
          };
        });
  });

  session.connection.onSelectionRanges(({ textDocument, positions }): SelectionRange[] => {
    const site = session.siteOf(textDocument.uri);
    const file = fileOf(textDocument.uri);
    return positions.map((position) => {
      const empty = { range: { start: position, end: position } };
      if (site === undefined || file === undefined) {
        return empty;
      }
      const spans = spansAround(site.open, file.path, offsetAt(file, position));
      const nested = spans.reduceRight<SelectionRange | undefined>(
        (parent, span) => ({
          range: rangeIn(file, span.start, span.end),
          ...(parent === undefined ? {} : { parent }),
        }),
        undefined,
      );
      return nested ?? empty;
    });
  });

  session.connection.onDocumentLinks(({ textDocument }): DocumentLink[] => {
    const site = session.siteOf(textDocument.uri);
    const file = fileOf(textDocument.uri);
    return site === undefined || file === undefined
      ? []
      : linksOf(site.open, file.path).map(({ start, end, target }) => ({
          range: rangeIn(file, start, end),
          target,
        }));
  });
}
