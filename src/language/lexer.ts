/**
 * The scanner.
 *
 * Terminals are wide and the checks behind them strict, so that a slip becomes a finding with a fix
 * and not a cascade of syntax errors:
 * - the first word of a line, or after `{`, must be a keyword; an unknown one costs its line only;
 * - braces that are open at the end of a declaration are closed, with a finding;
 * - a quantity is a number, blanks and a unit on the same line, near-miss units included.
 */
import { nearNames } from '../analysis/near-names.js';
import { createTokenInstance, type IToken, type TokenType } from 'chevrotain';
import type { Lexer, LexerResult, LexingReport, TokenizeOptions } from 'langium';
import { NEAR_MISS_UNITS, UNITS } from '../model/quantity.js';
import type { PieceProblem } from './problem.js';
import { isWord, softNameOf } from './tokens.js';
import { texts } from './texts.js';

/** The report that travels with a parse result. */
export interface FerruleLexingReport extends LexingReport {
  readonly problems: readonly PieceProblem[];
}

/** Everything that a text consists of, white space left out. */
export interface Scanned {
  readonly tokens: IToken[];
  /** Comments and what was skipped, in text order. */
  readonly hidden: IToken[];
  readonly problems: PieceProblem[];
}

const letter = 'A-Za-zÀ-ÖØ-öø-ɏ';
const wordPattern = `[${letter}][${letter}0-9_]*(?:-[${letter}0-9_]+)*`;
const numberPattern = String.raw`[+-]?\d+(?:[.,]\d+)?(?:\/\d+(?:[.,]\d+)?)?`;
const unitPattern = [...UNITS.map((unit) => unit.symbol), ...Object.keys(NEAR_MISS_UNITS)]
  .sort((one, other) => other.length - one.length || (one < other ? -1 : 1))
  .map((symbol) =>
    symbol.replace(/[.*+?^${}()|[\]\\]/gu, String.raw`\$&`).replace(' ', String.raw`[ \t]+`),
  )
  .join('|');

const scanner = new RegExp(
  [
    String.raw`(?<SPACE>[ \t\r\n\uFEFF\u00A0]+)`,
    String.raw`(?<DOC_COMMENT>\/\/\/[^\r\n]*)`,
    String.raw`(?<LINE_COMMENT>\/\/[^\r\n]*)`,
    String.raw`(?<STRING>"(?:\\.|[^"\\\r\n])*"?)`,
    String.raw`(?<ADDRESS>\d+(?:\.\d+){2,}(?:\/\d+)?)`,
    String.raw`(?<DATE>\d+-\d+-\d+)`,
    String.raw`(?<TIMES>\d+[ \t]*[x×](?![${letter}_-]))`,
    `(?<QUANTITY>${numberPattern}(?:[ \\t]*(?:${unitPattern})(?![${letter}0-9_-])|[${letter}°µΩ²^]+[0-9]?(?![0-9_-])))`,
    `(?<NUMBER>${numberPattern})`,
    `(?<WORD>${wordPattern})`,
    String.raw`(?<SIGN>\.\.|[{}:,.])`,
    String.raw`(?<STRAY>[^\s])`,
  ].join('|'),
  'uy',
);

export class FerruleLexer implements Lexer {
  readonly definition: Record<string, TokenType>;
  private readonly keywords: ReadonlySet<string>;

  constructor(services: {
    readonly parser: { readonly TokenBuilder: { buildTokens(grammar: never): unknown } };
    readonly Grammar: unknown;
  }) {
    const tokens = services.parser.TokenBuilder.buildTokens(
      services.Grammar as never,
    ) as TokenType[];
    this.definition = Object.fromEntries(tokens.map((token) => [token.name, token]));
    this.keywords = new Set(
      tokens.map((token) => token.name).filter((name) => isWord(name) && !name.includes(' ')),
    );
  }

  /** For the parser, which wants no comments: hanging them into the syntax tree costs more than parsing. */
  tokenize(text: string, options?: TokenizeOptions): LexerResult {
    // A text that is cut off at the cursor has braces open by nature.
    const { tokens, problems } = this.scan(
      text,
      options?.mode === 'partial' ? 'leave open' : 'close',
    );
    const report: FerruleLexingReport = { diagnostics: [], problems };
    return { tokens, hidden: [], errors: [], report };
  }

  scan(text: string, openBlocks: 'close' | 'leave open' = 'close'): Scanned {
    const tokens: IToken[] = [];
    const hidden: IToken[] = [];
    const problems: PieceProblem[] = [];
    const openBraces: number[] = [];
    let first = true;
    let afterComma = false;
    let line = 1;
    let lineStart = 0;
    scanner.lastIndex = 0;
    const emit = (kind: string, start: number, image: string, into: IToken[]): void => {
      into.push(
        createTokenInstance(
          this.definition[kind]!,
          image,
          start,
          start + Math.max(image.length - 1, 0),
          line,
          line,
          start - lineStart + 1,
          start - lineStart + image.length,
        ),
      );
    };
    const emitStray = (start: number, end: number): void => {
      emit('STRAY', start, text.slice(start, end), hidden);
      scanner.lastIndex = end;
    };

    while (scanner.lastIndex < text.length) {
      const start = scanner.lastIndex;
      const match = scanner.exec(text);
      const groups = match?.groups;
      const image = match?.[0] ?? text[start]!;
      if (groups === undefined) {
        scanner.lastIndex = start + 1;
        continue;
      }
      if (groups['SPACE'] !== undefined) {
        for (let index = start; index < start + image.length; index++) {
          if (text[index] === '\n') {
            line++;
            lineStart = index + 1;
            first = !afterComma;
          }
        }
        continue;
      }
      if (groups['DOC_COMMENT'] !== undefined || groups['LINE_COMMENT'] !== undefined) {
        emit(
          groups['DOC_COMMENT'] !== undefined ? 'DOC_COMMENT' : 'LINE_COMMENT',
          start,
          image,
          hidden,
        );
        continue;
      }
      afterComma = image === ',';
      if (groups['WORD'] !== undefined) {
        const isKeyword = this.keywords.has(image);
        if (first && !isKeyword) {
          const end = endOfStrayLine(text, start, start === lineStart);
          problems.push({
            rule: 'syntax-error',
            start,
            end: start + image.length,
            ...texts.unknownKeyword(image, nearNames(image, this.keywords, 1)[0]),
            ...replacementBy(nearNames(image, this.keywords, 1)[0]),
          });
          emitStray(start, end);
          const skipped = text.slice(start, end);
          const lastBreak = skipped.lastIndexOf('\n');
          if (lastBreak >= 0) {
            line += skipped.split('\n').length - 1;
            lineStart = start + lastBreak + 1;
          }
          continue;
        }
        emit(isKeyword ? (first ? image : softNameOf(image)) : 'WORD', start, image, tokens);
        first = false;
        continue;
      }
      if (groups['STRAY'] !== undefined) {
        problems.push({
          rule: 'syntax-error',
          start,
          end: start + image.length,
          ...texts.strayCharacter(image),
        });
        emit('STRAY', start, image, hidden);
        continue;
      }
      first = false;
      if (groups['SIGN'] !== undefined) {
        if (image === '{') {
          openBraces.push(start);
          first = true;
        } else if (image === '}' && openBraces.pop() === undefined) {
          problems.push({ rule: 'syntax-error', start, end: start + 1, ...texts.extraBrace });
          emitStray(start, start + 1);
          continue;
        }
        emit(image, start, image, tokens);
        continue;
      }
      const kind = ['STRING', 'ADDRESS', 'DATE', 'TIMES', 'QUANTITY', 'NUMBER'].find(
        (name) => groups[name] !== undefined,
      )!;
      if (
        kind === 'STRING' &&
        (image.length < 2 || !image.endsWith('"') || image.endsWith('\\"'))
      ) {
        problems.push({
          rule: 'syntax-error',
          start,
          end: start + image.length,
          ...texts.openString,
          replacement: { title: texts.closeString, text: `${image.trimEnd()}"` },
        });
      }
      emit(kind, start, image, tokens);
    }
    for (const open of openBlocks === 'close' ? openBraces.reverse() : []) {
      problems.push({ rule: 'syntax-error', start: open, end: open + 1, ...texts.openBrace });
      emit('}', text.length, '', tokens);
    }
    return { tokens, hidden, problems };
  }
}

/** Where an unknown first word's damage ends: its line, or the block that it opens. */
function endOfStrayLine(text: string, start: number, atColumnZero: boolean): number {
  let depth = 0;
  let inString = false;
  for (let index = start; index < text.length; index++) {
    const character = text[index]!;
    if (character === '\n') {
      inString = false;
      if (depth === 0) {
        return text[index - 1] === '\r' ? index - 1 : index;
      }
      if (atColumnZero && /\S/u.test(text[index + 1] ?? ' ') && text[index + 1] !== '}') {
        return index;
      }
    } else if (character === '"') {
      inString = !inString;
    } else if (!inString && character === '/' && text[index + 1] === '/') {
      const end = text.indexOf('\n', index);
      index = (end < 0 ? text.length : end) - 1;
    } else if (!inString && character === '{') {
      depth++;
    } else if (!inString && character === '}') {
      if (depth === 0) {
        return index;
      }
      depth--;
    }
  }
  return text.length;
}

function replacementBy(keyword: string | undefined): Pick<PieceProblem, 'replacement'> {
  return keyword === undefined
    ? {}
    : { replacement: { title: texts.changeTo(keyword), text: keyword } };
}
