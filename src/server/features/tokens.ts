/** Semantic tokens: whole files and ranges. What is kept is kept by piece, so an edit reads one declaration. */
import {
  SemanticTokensBuilder,
  type SemanticTokens,
  type SemanticTokensLegend,
} from 'vscode-languageserver';
import { tokenModifiers, tokensOf, tokenTypes } from '../../workbench/editing/tokens.js';
import type { Session } from '../session.js';
import { ifStillWanted } from '../cancelled.js';

export const tokensLegend: SemanticTokensLegend = {
  tokenTypes: [...tokenTypes],
  tokenModifiers: [...tokenModifiers],
};

export function tokens(session: Session): void {
  const { semanticTokens } = session.connection.languages;
  semanticTokens.on(
    ifStillWanted(({ textDocument }) => built(session, textDocument.uri, 0, Infinity)),
  );
  semanticTokens.onRange(({ textDocument, range }) =>
    built(session, textDocument.uri, range.start.line, range.end.line),
  );
}

function built(session: Session, uri: string, from: number, to: number): SemanticTokens {
  const checked = session.siteOf(uri);
  const file = checked?.open.files.find((one) => one.path === uri);
  const builder = new SemanticTokensBuilder();
  for (const one of checked && file ? tokensOf(checked, file) : []) {
    if (one.line >= from && one.line <= to) {
      const modifiers = one.modifiers.reduce(
        (bits, modifier) => bits | (1 << tokenModifiers.indexOf(modifier)),
        0,
      );
      builder.push(one.line, one.character, one.length, tokenTypes.indexOf(one.type), modifiers);
    }
  }
  return builder.build();
}
