import type { SignatureHelp } from 'vscode-languageserver';
import { needsAt } from '../../workbench/editing/needs.js';
import type { Session } from '../session.js';

/** What a device's equipment needs, while the device is written. */
export function signature(session: Session): void {
  session.connection.onSignatureHelp(({ textDocument, position }): SignatureHelp | null => {
    const at = session.at(textDocument.uri, position);
    const needs = at && needsAt(at.checked.open, at.file.path, at.offset);
    if (needs === undefined) {
      return null;
    }
    return {
      signatures: [
        {
          label: needs.label,
          ...(needs.title === undefined ? {} : { documentation: needs.title }),
          parameters: needs.parts.map(({ start, end, text }) => ({
            label: [start, end],
            documentation: text,
          })),
        },
      ],
      activeSignature: 0,
      // One past the last stands for none of them.
      activeParameter: needs.active ?? needs.parts.length,
    };
  });
}
