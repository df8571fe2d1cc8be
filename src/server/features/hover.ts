import { MarkupKind, type Hover } from 'vscode-languageserver';
import { hoverAt } from '../../workbench/editing/hover.js';
import { rangeIn, type Session } from '../session.js';

export function hover(session: Session): void {
  session.connection.onHover(({ textDocument, position }): Hover | null => {
    const at = session.at(textDocument.uri, position);
    const found = at && hoverAt(at.checked, at.file.path, at.offset);
    return at === undefined || found === undefined
      ? null
      : {
          contents: { kind: MarkupKind.Markdown, value: found.text },
          range: rangeIn(at.file, found.start, found.end),
        };
  });
}
