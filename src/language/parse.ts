/** Parses one piece of a file: normally one declaration. */
import {
  createDefaultCoreModule,
  createDefaultSharedCoreModule,
  EmptyFileSystem,
  inject,
  type LangiumCoreServices,
  type LangiumParser,
  type LangiumSharedCoreServices,
} from 'langium';
import type { IRecognitionException, IToken } from 'chevrotain';
import type { FerruleFile } from './generated/ast.js';
import { FerruleGeneratedModule, FerruleGeneratedSharedModule } from './generated/module.js';
import { FerruleLexer, type FerruleLexingReport, type Scanned } from './lexer.js';
import { FerruleErrorMessages } from './error-messages.js';
import type { PieceProblem } from './problem.js';
import { texts } from './texts.js';
import { FerruleTokenBuilder } from './tokens.js';

/** A piece's syntax tree with what is wrong with it. Offsets count from the piece's start. */
export interface ParsedPiece {
  readonly file: FerruleFile;
  readonly problems: readonly PieceProblem[];
}

let services: LangiumCoreServices | undefined;

/** The language's services, made on first use since building the parser costs more than reading a small site. */
export function languageServices(): LangiumCoreServices {
  if (services === undefined) {
    const shared: LangiumSharedCoreServices = inject(
      createDefaultSharedCoreModule(EmptyFileSystem),
      FerruleGeneratedSharedModule,
    );
    services = inject(createDefaultCoreModule({ shared }), FerruleGeneratedModule, {
      parser: {
        TokenBuilder: () => new FerruleTokenBuilder(),
        Lexer: (all: LangiumCoreServices) => new FerruleLexer(all),
        ParserErrorMessageProvider: () => new FerruleErrorMessages(),
      },
    });
    shared.ServiceRegistry.register(services);
  }
  return services;
}

/** Parses the text of a piece. Never throws; what cannot be read is a problem. */
export function parsePiece(text: string): ParsedPiece {
  const parser = languageServices().parser.LangiumParser as LangiumParser;
  const result = parser.parse<FerruleFile>(text);
  const fromLexer = (result.lexerReport as FerruleLexingReport).problems;
  const linesSaid = new Set(fromLexer.map((problem) => lineAt(text, problem.start)));
  const fromParser: PieceProblem[] = [];
  for (const error of result.parserErrors) {
    const problem = problemOf(error, text);
    const line = lineAt(text, problem.start);
    if (!linesSaid.has(line)) {
      linesSaid.add(line);
      fromParser.push(problem);
    }
  }
  return { file: result.value, problems: [...fromLexer, ...fromParser] };
}

/** Scans a text without parsing it. */
export function scan(text: string): Scanned {
  return (languageServices().parser.Lexer as FerruleLexer).scan(text);
}

function problemOf(error: IRecognitionException, text: string): PieceProblem {
  const previous = (error as { previousToken?: IToken }).previousToken;
  const atEnd = !Number.isFinite(error.token.startOffset) || error.token.image === '';
  const start = atEnd ? endOf(previous, text) : error.token.startOffset;
  const end = atEnd ? start : error.token.startOffset + error.token.image.length;
  const said = texts.expected(
    atEnd ? 'The statement ends too early; something' : quote(error.token.image),
    error.message,
  );
  if (atEnd) {
    return {
      rule: 'syntax-error',
      start: Math.max(0, start - 1),
      end: start,
      ...said,
      what: 'The statement is not complete.',
    };
  }
  return { rule: 'syntax-error', start, end, ...said };
}

function quote(image: string): string {
  return image.startsWith('"') ? image : `"${image}"`;
}

function endOf(token: IToken | undefined, text: string): number {
  return token === undefined || !Number.isFinite(token.startOffset)
    ? text.trimEnd().length
    : token.startOffset + token.image.length;
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
