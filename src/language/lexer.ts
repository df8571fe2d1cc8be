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
import type { Lexer, LexerResult, TokenizeOptions } from 'langium';
import { NEAR_MISS_UNITS, UNITS } from '../model/quantity.js';
import type { PieceProblem } from './problem.js';
import { declarationWords, statementWords } from './blocks.js';
import { isWord, softNameOf } from './tokens.js';
import { texts } from './texts.js';

/** Everything that a text consists of, white space left out. */
export interface Scanned {
  readonly tokens: IToken[];
  /** Comments and what was skipped, in text order. */
  readonly hidden: IToken[];
  readonly problems: PieceProblem[];
  /** Lines, with their blocks, whose first word is no keyword. */
  readonly strays: readonly StrayLine[];
  /** Texts without a closing quote, to the end of their lines. */
  readonly openTexts: readonly OpenText[];
}

export interface OpenText {
  readonly start: number;
  readonly text: string;
}

export interface StrayLine {
  readonly word: string;
  readonly start: number;
  readonly end: number;
  /** The keywords that the word resembles, nearest first. */
  readonly meant: readonly string[];
}

/** How many keywords are tried in the place of an unknown one. */
const mostMeant = 5;

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

/** How a text is scanned; left out: as it stands. */
export interface ScanOptions {
  /** A text that is cut off at the cursor has braces open by nature. */
  readonly openBlocks?: 'close' | 'leave open';
  /** Words that are read as keywords, by offset: spellings that were probably meant so. */
  readonly readAs?: ReadonlyMap<number, string>;
  /** Where texts without a closing quote end, by the offset at which they start. */
  readonly textEnds?: ReadonlyMap<number, number>;
  /** Offsets at which a block opens though its brace is missing. */
  readonly openAt?: ReadonlySet<number>;
}

export class FerruleLexer implements Lexer {
  readonly definition: Record<string, TokenType>;
  readonly keywords: ReadonlySet<string>;
  private prepared: readonly IToken[] | undefined;

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
    const tokens =
      this.prepared ??
      this.scan(text, { openBlocks: options?.mode === 'partial' ? 'leave open' : 'close' }).tokens;
    return { tokens: [...tokens], hidden: [], errors: [], report: { diagnostics: [] } };
  }

  /** Lets the parser that runs inside `action` read tokens that were mended before. */
  withTokens<Result>(tokens: readonly IToken[], action: () => Result): Result {
    this.prepared = tokens;
    try {
      return action();
    } finally {
      this.prepared = undefined;
    }
  }

  /** A token of a kind that the text does not spell there, or spells in another way. */
  tokenOf(kind: string, start: number, image: string, near: IToken): IToken {
    return createTokenInstance(
      this.definition[kind]!,
      image,
      start,
      start + Math.max(image.length - 1, 0),
      near.startLine ?? 1,
      near.startLine ?? 1,
      near.startColumn ?? 1,
      (near.startColumn ?? 1) + image.length,
    );
  }

  scan(text: string, options: ScanOptions = {}): Scanned {
    const plain = this.scanWith(text, options, 'count');
    if (options.openBlocks === 'leave open' || !plain.problems.some(isAboutBraces)) {
      return plain;
    }
    // Where braces do not match, the indentation tells which block was meant to end where.
    const indented = this.scanWith(text, options, 'indentation');
    return count(indented) <= count(plain) ? indented : plain;
  }

  private scanWith(text: string, options: ScanOptions, match: 'count' | 'indentation'): Scanned {
    const tokens: IToken[] = [];
    const hidden: IToken[] = [];
    const problems: PieceProblem[] = [];
    const strays: StrayLine[] = [];
    const openTexts: OpenText[] = [];
    const openBraces: OpenBrace[] = [];
    let first = true;
    let line = 1;
    let lineStart = 0;
    let lastEnd = 0;
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
      if (into === tokens) {
        lastEnd = start + image.length;
      }
    };
    const emitStray = (start: number, end: number): void => {
      emit('STRAY', start, text.slice(start, end), hidden);
      scanner.lastIndex = end;
    };
    const closeUnclosed = (): void => {
      const open = openBraces.pop()!;
      problems.push({
        rule: 'syntax-error',
        start: open.offset,
        end: open.offset + 1,
        ...texts.openBrace,
        understood: true,
        replacement: {
          title: texts.closeBlock,
          text: text.slice(open.offset, lastEnd).includes('\n')
            ? `\n${' '.repeat(Math.max(0, open.indent))}}`
            : ' }',
          at: { start: lastEnd, end: lastEnd },
        },
      });
      emit('}', lastEnd, '', tokens);
    };
    const closeDeeperThan = (start: number, isOver: (indent: number) => boolean): void => {
      const isFirstOfLine = text.slice(lineStart, start).trim() === '';
      for (
        let open = openBraces.at(-1);
        match === 'indentation' && isFirstOfLine && open !== undefined;
        open = openBraces.at(-1)
      ) {
        if (open.line === line || !isOver(open.indent)) {
          return;
        }
        closeUnclosed();
      }
    };

    while (scanner.lastIndex < text.length) {
      const start = scanner.lastIndex;
      if (options.openAt?.has(start) === true) {
        openBraces.push({ offset: start, line, indent: -1 });
        emit('{', lastEnd, '', tokens);
        first = true;
      }
      const found = scanner.exec(text);
      const groups = found?.groups;
      const image = found?.[0] ?? text[start]!;
      if (groups === undefined) {
        scanner.lastIndex = start + 1;
        continue;
      }
      if (groups['SPACE'] !== undefined) {
        const lineBefore = line;
        for (let index = start; index < start + image.length; index++) {
          if (text[index] === '\n') {
            line++;
            lineStart = index + 1;
          }
        }
        if (line > lineBefore) {
          first = !continuesList(tokens.at(-1), text, start + image.length, this.keywords);
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
      if (groups['WORD'] !== undefined) {
        const word = options.readAs?.get(start) ?? image;
        const isKeyword = this.keywords.has(word);
        if (first) {
          closeDeeperThan(start, (indent) => indent >= start - lineStart);
        }
        if (first && !isKeyword) {
          const end = endOfStrayLine(text, start, start === lineStart);
          const meant = nearNames(
            image,
            start === lineStart ? declarationWords() : statementWords(),
            mostMeant,
          );
          problems.push({
            rule: 'syntax-error',
            start,
            end: start + image.length,
            ...texts.unknownKeyword(image, meant[0]),
            ...replacementBy(meant[0]),
          });
          strays.push({ word: image, start, end, meant });
          emitStray(start, end);
          const skipped = text.slice(start, end);
          const lastBreak = skipped.lastIndexOf('\n');
          if (lastBreak >= 0) {
            line += skipped.split('\n').length - 1;
            lineStart = start + lastBreak + 1;
          }
          continue;
        }
        emit(isKeyword ? (first ? word : softNameOf(word)) : 'WORD', start, image, tokens);
        first = false;
        continue;
      }
      if (groups['STRAY'] !== undefined) {
        problems.push({
          rule: 'syntax-error',
          start,
          end: start + image.length,
          ...texts.strayCharacter(image),
          ...(/[;=()[\]]/u.test(image) ? { replacement: { title: texts.removeIt, text: '' } } : {}),
        });
        emit('STRAY', start, image, hidden);
        continue;
      }
      first = false;
      if (groups['SIGN'] !== undefined) {
        if (image === '{') {
          openBraces.push({ offset: start, line, indent: indentAt(text, lineStart) });
          first = true;
        } else if (image === '}') {
          closeDeeperThan(start, (indent) => indent > start - lineStart);
          const isTooDeep =
            match === 'indentation' &&
            text.slice(lineStart, start).trim() === '' &&
            (openBraces.at(-1)?.indent ?? -1) < start - lineStart;
          if (isTooDeep || openBraces.pop() === undefined) {
            problems.push({
              rule: 'syntax-error',
              start,
              end: start + 1,
              ...texts.extraBrace,
              understood: true,
              replacement: { title: texts.removeIt, text: '' },
            });
            emitStray(start, start + 1);
            continue;
          }
        }
        emit(image, start, image, tokens);
        continue;
      }
      const kind = ['STRING', 'ADDRESS', 'DATE', 'TIMES', 'QUANTITY', 'NUMBER'].find(
        (name) => groups[name] !== undefined,
      )!;
      const isOpen =
        kind === 'STRING' && (image.length < 2 || !image.endsWith('"') || image.endsWith('\\"'));
      if (isOpen && /[^\s{,:]/u.test(text[start - 1] ?? ' ')) {
        // The words before the quote belong to the text that it closes.
        const from = beginOfText(tokens);
        const begin = tokens[from]?.startOffset ?? start;
        tokens.splice(from);
        while ((problems.at(-1)?.start ?? -1) >= begin) {
          problems.pop();
        }
        problems.push({
          rule: 'syntax-error',
          start: begin,
          end: start + 1,
          ...texts.unopenedString,
          replacement: { title: texts.openText, text: `"${text.slice(begin, start + 1)}` },
        });
        emit('STRING', begin, text.slice(begin, start + 1), tokens);
        scanner.lastIndex = start + 1;
        continue;
      }
      const whole = isOpen
        ? image.slice(0, (options.textEnds?.get(start) ?? Number.POSITIVE_INFINITY) - start)
        : image;
      if (isOpen) {
        problems.push({
          rule: 'syntax-error',
          start,
          end: start + whole.trimEnd().length,
          ...texts.openString,
          replacement: { title: texts.closeString, text: `${whole.trimEnd()}"` },
        });
        openTexts.push({ start, text: image });
        scanner.lastIndex = start + whole.length;
      }
      emit(kind, start, whole, tokens);
    }
    while (options.openBlocks !== 'leave open' && openBraces.length > 0) {
      closeUnclosed();
    }
    return { tokens, hidden, problems, strays, openTexts };
  }
}

/** Where a text without opening quote may begin: behind the word that wants a text, or the name that has a title. */
function beginOfText(tokens: readonly IToken[]): number {
  const isStart = ({ tokenType: { name } }: IToken) =>
    isWord(name) && !name.startsWith(softNameOf(''));
  for (let index = tokens.length - 1; index >= 0; index--) {
    const { image } = tokens[index]!;
    if (isStart(tokens[index]!)) {
      return titled.has(image) ? Math.min(index + 2, tokens.length) : index + 1;
    }
    if (image === 'because' || image === 'fails' || image === 'revision') {
      return index + 1;
    }
  }
  return tokens.length;
}

/** Statements whose text is the title of a name. */
const titled: ReadonlySet<string> = new Set([
  'site',
  'bustype',
  'cable',
  'equipment',
  'area',
  'room',
  'board',
  'way',
  'isolator',
  'device',
  'bus',
  'feed',
  'containment',
  'network',
  'zone',
  'assembly',
]);

interface OpenBrace {
  readonly offset: number;
  readonly line: number;
  /** The column, from 0, at which the text of its line starts. */
  readonly indent: number;
}

function isAboutBraces(problem: PieceProblem): boolean {
  return problem.what === texts.openBrace.what || problem.what === texts.extraBrace.what;
}

function count({ problems }: Scanned): number {
  return problems.filter(isAboutBraces).length;
}

function indentAt(text: string, lineStart: number): number {
  return /^[ \t]*/u.exec(text.slice(lineStart, lineStart + 200))![0].length;
}

/**
 * Whether a list goes on in the next line. A comma left over at the end of a line must not swallow
 * the statement below, so a keyword there counts as one unless it stands in the list by its commas.
 */
function continuesList(
  last: IToken | undefined,
  text: string,
  next: number,
  keywords: ReadonlySet<string>,
): boolean {
  if (last?.image !== ',') {
    return false;
  }
  listItem.lastIndex = next;
  const [, word, behind] = listItem.exec(text) ?? [];
  return word === undefined || !keywords.has(word) || behind !== undefined;
}

const listItem = new RegExp(`(${wordPattern})(?:[ \\t]*(,|[\\r\\n]|$))?`, 'uy');

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
