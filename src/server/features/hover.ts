import { MarkupKind, type Hover } from 'vscode-languageserver';
import { descriptionOf, hoverAt } from '../../workbench/editing/hover.js';
import type { DescribeParams, DescribeResult } from '../protocol.js';
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

  session.connection.onRequest(
    'ferrule/describe',
    ({ uri, name }: DescribeParams): DescribeResult | null => {
      const checked = session.siteOf(uri);
      const text = checked && descriptionOf(checked, name);
      return text === undefined ? null : { text };
    },
  );
}
