import type { TextEdit } from 'vscode-languageserver';
import { formatText } from '../../language/format.js';
import { rangeIn, type Session } from '../session.js';

export function formatting(session: Session): void {
  session.connection.onDocumentFormatting(({ textDocument }): TextEdit[] => {
    const file = session
      .siteOf(textDocument.uri)
      ?.open.files.find((one) => one.path === textDocument.uri);
    if (file === undefined) {
      return [];
    }
    const result = formatText(file.text);
    if (result.kind === 'refused') {
      session.connection.console.info(
        `${textDocument.uri} is not formatted while it has a syntax error: ${result.why}`,
      );
      return [];
    }
    return result.text === file.text
      ? []
      : [{ range: rangeIn(file, 0, file.text.length), newText: result.text }];
  });
}
