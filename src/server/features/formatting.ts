import type { TextEdit } from 'vscode-languageserver';
import { formatFile, formatRange, formatTyped } from '../../workbench/editing/formatting.js';
import type { TextChange } from '../../language/write.js';
import { offsetAt, type SourceFile } from '../../workbench/source-file.js';
import { rangeIn, type Session } from '../session.js';

export function formatting(session: Session): void {
  const { connection } = session;
  const fileOf = (uri: string) => session.siteOf(uri)?.open.files.find((one) => one.path === uri);

  connection.onDocumentFormatting(({ textDocument }): TextEdit[] => {
    const file = fileOf(textDocument.uri);
    if (file === undefined) {
      return [];
    }
    const result = formatFile(file);
    if (result.kind === 'refused') {
      connection.console.info(
        `${textDocument.uri} is not formatted while it has a syntax error: ${result.why}`,
      );
      return [];
    }
    return editsOf(file, result.changes);
  });

  connection.onDocumentRangeFormatting(({ textDocument, range }): TextEdit[] => {
    const file = fileOf(textDocument.uri);
    return file === undefined
      ? []
      : editsOf(file, formatRange(file, offsetAt(file, range.start), offsetAt(file, range.end)));
  });

  connection.onDocumentOnTypeFormatting(({ textDocument, position, ch }): TextEdit[] => {
    const file = fileOf(textDocument.uri);
    return file === undefined ? [] : editsOf(file, formatTyped(file, offsetAt(file, position), ch));
  });
}

function editsOf(file: SourceFile, changes: readonly TextChange[]): TextEdit[] {
  return changes.map((change) => ({
    range: rangeIn(file, change.start, change.end),
    newText: change.text,
  }));
}
