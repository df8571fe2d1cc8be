/** Parses one piece of a file: normally one declaration. */
import {
  createDefaultCoreModule,
  createDefaultSharedCoreModule,
  EmptyFileSystem,
  inject,
  type LangiumCoreServices,
  type LangiumSharedCoreServices,
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
      },
    });
    shared.ServiceRegistry.register(services);
  }
  return services;
}

/** Parses the text of a piece. Never throws; what cannot be read is a problem. */
export function parsePiece(text: string): ParsedPiece {
  const { LangiumParser, Lexer } = languageServices().parser;
  return parseMending(text, LangiumParser, Lexer as FerruleLexer);
}

/** Scans a text without parsing it. */
export function scan(text: string): Scanned {
  return (languageServices().parser.Lexer as FerruleLexer).scan(text);
}
