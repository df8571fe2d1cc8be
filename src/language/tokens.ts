/**
 * The token types of the language.
 *
 * Every keyword has two: the hard one stands at the start of a line or after `{`, the soft one
 * anywhere else. A soft keyword is also a name and a label, so no word is reserved.
 */
import { createToken, type TokenType } from 'chevrotain';
import {
  AstUtils,
  DefaultTokenBuilder,
  GrammarAST,
  type Grammar,
  type TokenBuilderOptions,
} from 'langium';
import type { TokenVocabulary } from 'chevrotain';

/** The keywords' own prefix for their soft twin; no text can spell it. */
const softPrefix = 'soft ';

const unused = /(?!)/u;

export class FerruleTokenBuilder extends DefaultTokenBuilder {
  override buildTokens(grammar: Grammar, _options?: TokenBuilderOptions): TokenVocabulary {
    const named = (name: string, categories: TokenType[] = []) =>
      createToken({ name, pattern: unused, categories });
    const label = named('LABEL');
    const name = named('NAME', [label]);
    const quantity = named('QUANTITY');
    const tokens = [
      label,
      name,
      quantity,
      named('WORD', [name]),
      named('NUMBER', [quantity, label]),
      named('TIMES'),
      named('DATE'),
      named('ADDRESS'),
      named('STRING', [label]),
      named('DOC_COMMENT'),
      named('LINE_COMMENT'),
      named('STRAY'),
      named('SPACE'),
    ];
    for (const keyword of keywordsOf(grammar)) {
      const hard = named(keyword);
      tokens.push(hard);
      if (isWord(keyword)) {
        tokens.push(named(softPrefix + keyword, [hard, name]));
      }
    }
    return tokens;
  }
}

/** The name of a keyword's soft token type. */
export function softNameOf(keyword: string): string {
  return softPrefix + keyword;
}

/** Whether a keyword is a word (and not a bracket or a sign). */
export function isWord(keyword: string): boolean {
  return /^[a-z]/u.test(keyword);
}

function keywordsOf(grammar: Grammar): string[] {
  const found = new Set<string>();
  for (const node of AstUtils.streamAllContents(grammar)) {
    if (GrammarAST.isKeyword(node)) {
      found.add(node.value);
    }
  }
  return [...found].sort();
}
