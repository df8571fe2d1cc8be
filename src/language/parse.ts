/** Parses one piece of a file: normally one declaration. */
import {
  createDefaultCoreModule,
  createDefaultSharedCoreModule,
  createParser,
  EmptyFileSystem,
  inject,
  LangiumParser,
  DefaultValueConverter,
  type CstNode,
  type LangiumCoreServices,
  type LangiumSharedCoreServices,
  type ValueType,
} from 'langium';
import { FerruleGeneratedModule, FerruleGeneratedSharedModule } from './generated/module.js';
import { FerruleErrorMessages } from './error-messages.js';
import { FerruleLexer, type Scanned } from './lexer.js';
import { parseMending, type ParsedPiece } from './mend.js';
import { FerruleTokenBuilder } from './tokens.js';

export type { ParsedPiece } from './mend.js';

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
        LangiumParser: (all: LangiumCoreServices) => parserFor(all),
        ValueConverter: () => new RawValues(),
      },
    });
    shared.ServiceRegistry.register(services);
  }
  return services;
}

/** Keeps texts as they are written: lowering takes the quotes off, also where one of them is missing. */
class RawValues extends DefaultValueConverter {
  override convert(input: string, cstNode: CstNode): ValueType {
    return /^"|"$/u.test(input) ? input : super.convert(input, cstNode);
  }
}

/** A parser that never leaves a token out by itself: it would read the next line as the end of this one. */
class CarefulParser extends LangiumParser {
  constructor(services: LangiumCoreServices) {
    super(services);
    Object.assign(this.wrapper, { canTokenTypeBeDeletedInRecovery: () => false });
  }
}

function parserFor(services: LangiumCoreServices): LangiumParser {
  const parser = createParser(
    services.Grammar,
    new CarefulParser(services),
    services.parser.Lexer.definition,
  );
  parser.finalize();
  return parser;
}

/** Parses the text of a piece. Never throws; what cannot be read is a problem. */
export function parsePiece(text: string): ParsedPiece {
  const { parser } = languageServices();
  return parseMending(text, parser.LangiumParser, parser.Lexer as FerruleLexer);
}

/** Scans a text without parsing it. */
export function scan(text: string): Scanned {
  return (languageServices().parser.Lexer as FerruleLexer).scan(text);
}
