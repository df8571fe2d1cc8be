/** What the parser wanted, in the user's words. The texts complete "Write …". */
import type { IParserErrorMessageProvider, TokenType } from 'chevrotain';
import { list } from './texts.js';

const names: Readonly<Record<string, string>> = {
  NAME: 'a name',
  WORD: 'a name',
  LABEL: "a terminal's label",
  QUANTITY: 'a number with its unit',
  NUMBER: 'a number',
  TIMES: 'a count such as "2 x"',
  DATE: 'a date such as 2026-11-20',
  ADDRESS: 'an address such as 10.40.8.20',
  STRING: 'a text in double quotes',
  EOF: '',
};

/** More alternatives than this teach nobody. */
const mostNamed = 6;

export class FerruleErrorMessages implements IParserErrorMessageProvider {
  buildMismatchTokenMessage(options: { expected: TokenType }): string {
    return nameOf(options.expected);
  }

  buildNotAllInputParsedMessage(): string {
    return '';
  }

  buildNoViableAltMessage(options: { expectedPathsPerAlt: TokenType[][][] }): string {
    return alternatives(options.expectedPathsPerAlt.flat().map((path) => path[0]));
  }

  buildEarlyExitMessage(options: { expectedIterationPaths: TokenType[][] }): string {
    return alternatives(options.expectedIterationPaths.map((path) => path[0]));
  }
}

function alternatives(tokens: readonly (TokenType | undefined)[]): string {
  const named = [
    ...new Set(tokens.map((token) => (token === undefined ? '' : nameOf(token)))),
  ].filter((name) => name !== '');
  return named.length > mostNamed ? '' : list(named, 'or');
}

function nameOf(token: TokenType): string {
  return names[token.name] ?? `"${token.name}"`;
}
