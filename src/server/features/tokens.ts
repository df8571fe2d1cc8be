/** Semantic tokens: whole files and ranges. What is kept is kept by piece, so an edit reads one declaration. */
import { SemanticTokensBuilder, type SemanticTokensLegend } from 'vscode-languageserver';
import { tokenModifiers, tokensOf, tokenTypes } from '../../workbench/editing/tokens.js';
import type { Session } from '../session.js';
import { ifStillWanted } from '../cancelled.js';

export const tokensLegend: SemanticTokensLegend = {
  tokenTypes: [...tokenTypes],
  tokenModifiers: [...tokenModifiers],
};

export function tokens(session: Session): void {
  const { semanticTokens } = session.connection.languages;
  /** What the client has of each file, so that it is told only what differs. */
  const builders = new Map<string, SemanticTokensBuilder>();
  const builderOf = (uri: string): SemanticTokensBuilder => {
    const builder = builders.get(uri) ?? new SemanticTokensBuilder();
    builders.set(uri, builder);
    return builder;
  };
  session.onClosed.push((uri) => builders.delete(uri));
  semanticTokens.on(
    ifStillWanted(({ textDocument: { uri } }) => {
      builders.delete(uri);
      return filled(builderOf(uri), session, uri).build();
    }),
  );
  semanticTokens.onDelta(
    ifStillWanted(({ textDocument: { uri }, previousResultId }) => {
      const builder = builderOf(uri);
      builder.previousResult(previousResultId);
      return filled(builder, session, uri).buildEdits();
    }),
  );
  semanticTokens.onRange(({ textDocument, range }) =>
    filled(
      new SemanticTokensBuilder(),
      session,
      textDocument.uri,
      range.start.line,
      range.end.line,
    ).build(),
  );
}

const typeNumbers = new Map(tokenTypes.map((type, index) => [type, index]));
const modifierBits = new Map(tokenModifiers.map((modifier, index) => [modifier, 1 << index]));

function filled(
  builder: SemanticTokensBuilder,
  session: Session,
  uri: string,
  from = 0,
  to = Number.POSITIVE_INFINITY,
): SemanticTokensBuilder {
  const checked = session.siteOf(uri);
  const file = checked?.open.files.find((one) => one.path === uri);
  for (const one of checked && file ? tokensOf(checked, file, from, to) : []) {
    if (one.line >= from && one.line <= to) {
      const modifiers = one.modifiers.reduce((bits, one) => bits | modifierBits.get(one)!, 0);
      builder.push(one.line, one.character, one.length, typeNumbers.get(one.type)!, modifiers);
    }
  }
  return builder;
}
