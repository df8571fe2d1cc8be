/**
 * Parses a text with slips in it so that each slip costs as little as possible and is said once.
 *
 * A parser that meets a slip in the middle of a declaration loses its way, and everything behind it
 * with it. So a slip is mended in the tokens, and the text is parsed again: a word becomes the keyword
 * that was probably meant, a missing sign is put in, and what fits nowhere is left out, at most to
 * the end of its statement. What is read in the end has no gap but those.
 */
import { nearNames } from '../analysis/near-names.js';
import type { IRecognitionException, IToken } from 'chevrotain';
import type { LangiumParser } from 'langium';
import { blockAbout, declarationWords, placesOf, statementsIn } from './blocks.js';
import type { FerruleFile } from './generated/ast.js';
import type { FerruleLexer, Scanned } from './lexer.js';
import type { Span } from './lower/reader.js';
import type { PieceProblem } from './problem.js';
import { texts } from './texts.js';
import { isWord, softNameOf } from './tokens.js';

/** A piece's syntax tree with what is wrong with it. Offsets count from the piece's start. */
export interface ParsedPiece {
  readonly file: FerruleFile;
  readonly problems: readonly PieceProblem[];
  /** Parts of the text that are not, or not surely, in the tree. */
  readonly unread: readonly Span[];
}

/** More slips than this in one declaration are not worth the time of a person or a machine. */
const mostRounds = 40;

/** Unknown first words that are tried as keywords in one piece; prose has more, and none of it is meant so. */
const mostGuesses = 6;

/** Signs that are put in where one is missing. */
const signs: ReadonlySet<string> = new Set([':', '..', '.', ',']);

export function parseMending(
  text: string,
  parser: LangiumParser,
  lexer: FerruleLexer,
): ParsedPiece {
  return new Mending(text, parser, lexer).read();
}

class Mending {
  private scanned: Scanned;
  private tokens: readonly IToken[];
  private readonly problems: PieceProblem[] = [];
  private readonly unread: Span[] = [];
  /** Offsets of errors that are said already, or follow from one that is. */
  private readonly settled = new Set<number>();
  private readonly readAs = new Map<number, string>();
  private readonly textEnds = new Map<number, number>();

  constructor(
    private readonly text: string,
    private readonly parser: LangiumParser,
    private readonly lexer: FerruleLexer,
  ) {
    this.scanned = lexer.scan(text);
    this.tokens = this.scanned.tokens;
  }

  read(): ParsedPiece {
    let parsed = this.parse(this.tokens);
    if (parsed.errors.length > 0 || this.scanned.problems.length > 0) {
      parsed = this.guessFirstWords(this.endTexts(parsed));
      for (let round = 0; round < mostRounds; round++) {
        const error = this.firstOpen(parsed.errors);
        if (error === undefined) {
          break;
        }
        parsed = this.mend(error, parsed);
      }
    }
    return { file: parsed.file, problems: this.said(), unread: this.unreadSpans() };
  }

  private parse(tokens: readonly IToken[]): Parsed {
    return this.lexer.withTokens(tokens, () => {
      const { value, parserErrors } = this.parser.parse<FerruleFile>(this.text);
      return { file: value, errors: parserErrors };
    });
  }

  /**
   * Ends a text without closing quote where the rest of its line fits best as it stands: of such places
   * the earliest before a sign or word of the grammar, so that the text swallows none of them.
   */
  private endTexts(before: Parsed): Parsed {
    let parsed = before;
    for (const { start, text } of this.scanned.openTexts.slice(0, mostGuesses)) {
      const best = cutsIn(text, this.lexer.keywords)
        .map((cut) => this.cutText(start, start + cut))
        .filter(({ scanned }) => scanned.problems.length <= this.scanned.problems.length)
        .reduce<CutText | undefined>((least, tried) => {
          const errors = tried.parsed.errors.length;
          return errors < (least?.parsed.errors.length ?? parsed.errors.length + 1) ? tried : least;
        }, undefined);
      if (best !== undefined) {
        this.textEnds.set(start, best.end);
        this.scanned = best.scanned;
        this.tokens = best.scanned.tokens;
        parsed = best.parsed;
      }
    }
    return parsed;
  }

  private cutText(start: number, end: number): CutText {
    const scanned = this.lexer.scan(this.text, {
      textEnds: new Map([...this.textEnds, [start, end]]),
    });
    return { end, scanned, parsed: this.parse(scanned.tokens) };
  }

  /** Reads an unknown first word as the keyword that it resembles, where its line then fits. */
  private guessFirstWords(before: Parsed): Parsed {
    let parsed = before;
    for (const stray of this.scanned.strays.slice(0, mostGuesses)) {
      for (const keyword of stray.meant) {
        const readAs = new Map([...this.readAs, [stray.start, keyword]]);
        const scanned = this.lexer.scan(this.text, { readAs, textEnds: this.textEnds });
        const tried = this.parse(scanned.tokens);
        const isBetter =
          tried.errors.length <= parsed.errors.length &&
          scanned.problems.length < this.scanned.problems.length;
        if (isBetter) {
          this.readAs.set(stray.start, keyword);
          this.problems.push({
            rule: 'syntax-error',
            start: stray.start,
            end: stray.start + stray.word.length,
            ...texts.unknownKeyword(stray.word, keyword),
            ...this.understoodAt(stray.start + stray.word.length),
            replacement: { title: texts.changeTo(keyword), text: keyword },
          });
          this.scanned = scanned;
          this.tokens = scanned.tokens;
          parsed = tried;
          break;
        }
      }
    }
    return parsed;
  }

  private mend(error: IRecognitionException, parsed: Parsed): Parsed {
    const at = indexOf(this.tokens, error.token);
    const token = this.tokens[at];
    const opened = this.tryBrace(at);
    if (opened !== undefined) {
      return opened;
    }
    if (isIncomplete(error, token)) {
      this.reportIncomplete(error, at);
      this.settled.add(offsetOf(error, this.text));
      return parsed;
    }
    // What is amiss may be the word before: a name fits where the keyword was meant.
    return (
      this.tryKeyword(error, at) ??
      this.tryKeyword(error, at - 1) ??
      this.trySign(error, at) ??
      this.leaveOut(error, at)
    );
  }

  /** Opens the block that a brace below closes, where the rest then fits. */
  private tryBrace(at: number): Parsed | undefined {
    const token = this.tokens[at];
    const before = this.tokens[at - 1];
    const extra = this.scanned.problems.filter(({ what }) => what === texts.extraBrace.what).length;
    if (token === undefined || before === undefined || extra === 0) {
      return undefined;
    }
    const scanned = this.lexer.scan(this.text, {
      readAs: this.readAs,
      textEnds: this.textEnds,
      openAt: new Set([token.startOffset]),
    });
    const tried = this.parse(scanned.tokens);
    if (scanned.problems.length >= this.scanned.problems.length || tried.errors.length > 0) {
      return undefined;
    }
    const gap = { start: endOf(before), end: token.startOffset };
    const isOnOneLine = !this.text.slice(gap.start, gap.end).includes('\n');
    this.report(before, {
      ...texts.blockUnopened,
      understood: true,
      replacement: {
        title: texts.openBlock,
        text: isOnOneLine ? ' { ' : ' {',
        at: isOnOneLine ? gap : { start: gap.start, end: gap.start },
      },
    });
    this.scanned = scanned;
    this.tokens = scanned.tokens;
    return tried;
  }

  /** Reads a word as the keyword that it resembles, where its statement then fits. */
  private tryKeyword(error: IRecognitionException, at: number): Parsed | undefined {
    const token = this.tokens[at];
    const word = token?.image ?? '';
    if (token === undefined || !/^\p{L}/u.test(word)) {
      return undefined;
    }
    const known = isStart(token)
      ? startsIn(blockAbout(error.context.ruleStack))
      : this.lexer.keywords;
    for (const keyword of nearNames(word, known)) {
      if (keyword === word) {
        continue;
      }
      const kind = isStart(token) ? keyword : softNameOf(keyword);
      const meant = this.lexer.tokenOf(kind, token.startOffset, word, token);
      const tokens = this.tokens.toSpliced(at, 1, meant);
      const tried = this.parse(tokens);
      if (this.isBehindStatement(tried, tokens, at)) {
        this.report(token, {
          ...texts.keywordMeant(word, keyword),
          ...this.understoodAt(endOf(token)),
          replacement: { title: texts.changeTo(keyword), text: keyword },
        });
        this.tokens = tokens;
        return tried;
      }
    }
    return undefined;
  }

  /** A word that ends its line may be half typed, and the rest of the line still to come. */
  private understoodAt(end: number): Pick<PieceProblem, 'understood'> {
    return /^[ \t]*(?:\r?\n|$)/u.test(this.text.slice(end)) ? {} : { understood: true };
  }

  /** Puts a missing sign in, where the rest then fits. */
  private trySign(error: IRecognitionException, at: number): Parsed | undefined {
    const wanted = /^"([:.,]+)"$/u.exec(error.message)?.[1];
    const token = this.tokens[at];
    // Where several things might follow, what a name most often lacks before it is the colon.
    const sign = wanted ?? (token !== undefined && /^\p{L}/u.test(token.image) ? ':' : undefined);
    if (sign === undefined || token === undefined || isStart(token) || !signs.has(sign)) {
      return undefined;
    }
    const put = this.lexer.tokenOf(sign, token.startOffset, '', token);
    const tokens = this.tokens.toSpliced(at, 0, put);
    const tried = this.parse(tokens);
    if (!this.isBehindStatement(tried, tokens, at)) {
      return undefined;
    }
    this.report(token, {
      ...texts.signMissing(sign, quote(token.image)),
      understood: true,
      replacement: {
        title: texts.putIn(sign),
        text: sign === '.' ? '.' : sign === ',' ? ', ' : ` ${sign} `,
        at: { start: endOf(this.tokens[at - 1] ?? token), end: token.startOffset },
      },
    });
    this.tokens = tokens;
    return tried;
  }

  /** Leaves out what fits nowhere: a word, a block, or a statement that has nothing left to say. */
  private leaveOut(error: IRecognitionException, at: number): Parsed {
    const token = this.tokens[at]!;
    const before = this.tokens[at - 1];
    const isWholeStatement = isStart(token) || (before !== undefined && isStart(before));
    const from = isStart(token) || !isWholeStatement ? at : at - 1;
    const end = isWholeStatement
      ? endOfStatement(this.tokens, this.text, from)
      : token.tokenType.name === '{'
        ? endOfBlock(this.tokens, at)
        : at + 1;
    this.report(token, this.unexpected(error, at));
    const left = this.tokens.slice(from, end);
    const last = left[left.length - 1]!;
    this.unread.push({ start: left[0]!.startOffset, end: endOf(last) });
    this.tokens = [...this.tokens.slice(0, from), ...this.tokens.slice(end)];
    return this.parse(this.tokens);
  }

  private unexpected(error: IRecognitionException, at: number) {
    const token = this.tokens[at]!;
    if (!isStart(token)) {
      const wanted = wantedBehind(this.tokens[at - 1], error.message);
      return /^\p{L}|^\d|^"/u.test(token.image) || wanted === ''
        ? texts.expected(quote(token.image), wanted)
        : texts.missing(`${capitalised(wanted)} before "${token.image}"`, `Write ${wanted}.`);
    }
    const block = blockAbout(error.context.ruleStack);
    return block === undefined
      ? texts.notOnItsOwn(token.image, placesOf(token.image))
      : texts.notInBlock(token.image, block, placesOf(token.image), statementsIn(block));
  }

  private reportIncomplete(error: IRecognitionException, at: number): void {
    const before = this.tokens[at - 1];
    if (before === undefined) {
      return;
    }
    const statement = startOfStatement(this.tokens, at - 1);
    const start = this.tokens[statement]!.startOffset;
    this.unread.push({ start, end: endOf(before) });
    this.problems.push({
      rule: 'syntax-error',
      start: before.startOffset,
      end: endOf(before),
      ...texts.incomplete(before.image, wantedBehind(before, error.message)),
    });
  }

  private report(token: IToken, said: Omit<PieceProblem, 'rule' | 'start' | 'end'>): void {
    this.problems.push({
      rule: 'syntax-error',
      start: token.startOffset,
      end: endOf(token),
      ...said,
    });
  }

  /** Whether the statement at a token fits as a whole, so that what is amiss comes behind it. */
  private isBehindStatement(tried: Parsed, tokens: readonly IToken[], at: number): boolean {
    const error = this.firstOpen(tried.errors);
    return (
      error === undefined ||
      indexOf(tokens, error.token) > endOfStatement(tokens, this.text, startOfStatement(tokens, at))
    );
  }

  private firstOpen(errors: readonly IRecognitionException[]): IRecognitionException | undefined {
    return errors.find((error) => !this.settled.has(offsetOf(error, this.text)));
  }

  /**
   * One problem a line, that of the scanner first. Behind a block that is not closed nothing is said,
   * and a brace too many is not said where a slip above it explains it.
   */
  private said(): PieceProblem[] {
    const guessed = new Set(this.readAs.keys());
    const scanned = this.scanned.problems.filter(({ start }) => !guessed.has(start));
    const brace = scanned.find((problem) => isAboutBraces(problem));
    const lines = new Set<number>();
    const isBefore = (one: PieceProblem) => one.start < (brace?.start ?? 0);
    const isExplained = brace?.what === texts.extraBrace.what && this.problems.some(isBefore);
    return [...scanned, ...this.problems]
      .filter((problem) => {
        const line = lineAt(this.text, problem.start);
        const isHidden =
          lines.has(line) ||
          (isAboutBraces(problem) ? isExplained : brace !== undefined && !isBefore(problem));
        // What is not said itself hides nothing: a slip that is left unsaid altogether is a lie.
        if (!isHidden) {
          lines.add(line);
        }
        return !isHidden;
      })
      .sort((one, other) => one.start - other.start);
  }

  private unreadSpans(): Span[] {
    const guessed = new Set(this.readAs.keys());
    const strays = this.scanned.strays.filter(({ start }) => !guessed.has(start));
    const strings = this.scanned.problems.filter(
      ({ what }) => what === texts.openString.what || what === texts.unopenedString.what,
    );
    return [
      ...strays.map(({ start, end }) => ({ start, end })),
      ...strings.map(({ start, end }) => ({ start, end })),
      ...this.unread,
    ];
  }
}

interface Parsed {
  readonly file: FerruleFile;
  readonly errors: readonly IRecognitionException[];
}

interface CutText {
  /** The offset at which the text ends. */
  readonly end: number;
  readonly scanned: Scanned;
  readonly parsed: Parsed;
}

/** Where a text may end: before a sign or word of the grammar, or an address. */
function cutsIn(text: string, keywords: ReadonlySet<string>): number[] {
  return [...text.matchAll(/[ \t]+(?=([:{}]|\d+\.\d+\.\d|\p{L}[\p{L}\d-]*))/gu)]
    .filter(([, next]) => !/^\p{L}/u.test(next!) || keywords.has(next!))
    .map(({ index }) => index)
    .filter((index) => index > 1)
    .slice(0, mostCuts);
}

const mostCuts = 12;

/** Whether a statement ends before it is complete; false where what comes next has no place at all. */
function isIncomplete(error: IRecognitionException, token: IToken | undefined): boolean {
  const endsStatement =
    token === undefined || isStart(token) || token.image === '}' || token.tokenType.name === '{';
  const wantsNothing = error.message === '"}"' || error.context.ruleStack.length <= 1;
  return endsStatement && (!wantsNothing || token === undefined);
}

/** Whether a token is a keyword where a statement starts. */
function isStart(token: IToken): boolean {
  const { name } = token.tokenType;
  return isWord(name) && !name.startsWith(softNameOf(''));
}

/** What was wanted, in the user's words; a number that only counts has no unit. */
function wantedBehind(before: IToken | undefined, wanted: string): string {
  return before !== undefined && countWords.has(before.image)
    ? wanted.replace('a number with its unit', 'a plain number')
    : wanted;
}

const countWords: ReadonlySet<string> = new Set([
  'address',
  'capacity',
  'class',
  'conductors',
  'controllers',
  'drops',
  'except',
  'factor',
  'finds',
  'max-master',
  'poles',
  'power-factor',
  'retries',
  'sources',
  'to',
  'unit-load',
  'unit-loads',
  'vlan',
]);

function capitalised(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

function startsIn(block: string | undefined): readonly string[] {
  return block === undefined ? declarationWords() : statementsIn(block);
}

function indexOf(tokens: readonly IToken[], token: IToken): number {
  const index = tokens.indexOf(token);
  return index < 0 ? tokens.length : index;
}

function startOfStatement(tokens: readonly IToken[], at: number): number {
  for (let index = at; index > 0; index--) {
    if (isStart(tokens[index]!)) {
      return index;
    }
  }
  return 0;
}

/** Where a statement ends, its block included; two blanks before a keyword start the next one. */
function endOfStatement(tokens: readonly IToken[], text: string, from: number): number {
  for (let index = from + 1; index < tokens.length; index++) {
    const token = tokens[index]!;
    if (token.tokenType.name === '{') {
      return endOfBlock(tokens, index);
    }
    const gap = text.slice(endOf(tokens[index - 1]!), token.startOffset);
    const isNext = token.tokenType.name.startsWith(softNameOf('')) && /[ \t]{2}/u.test(gap);
    if (token.image === '}' || token.tokenType.name === '}' || isStart(token) || isNext) {
      return index;
    }
  }
  return tokens.length;
}

function endOfBlock(tokens: readonly IToken[], open: number): number {
  let depth = 0;
  for (let index = open; index < tokens.length; index++) {
    const kind = tokens[index]!.tokenType.name;
    depth += kind === '{' ? 1 : kind === '}' ? -1 : 0;
    if (depth === 0) {
      return index + 1;
    }
  }
  return tokens.length;
}

function endOf(token: IToken): number {
  return token.startOffset + token.image.length;
}

function offsetOf(error: IRecognitionException, text: string): number {
  const { startOffset } = error.token;
  return Number.isFinite(startOffset) ? startOffset : text.length + 1;
}

function isAboutBraces({ what }: PieceProblem): boolean {
  return what === texts.openBrace.what || what === texts.extraBrace.what;
}

function quote(image: string): string {
  return image.startsWith('"') ? image : `"${image}"`;
}

function lineAt(text: string, offset: number): number {
  let line = 0;
  for (
    let index = text.indexOf('\n');
    index >= 0 && index < offset;
    index = text.indexOf('\n', index + 1)
  ) {
    line++;
  }
  return line;
}
