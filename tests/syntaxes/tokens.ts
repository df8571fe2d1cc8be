import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import oniguruma from 'vscode-oniguruma';
import textmate from 'vscode-textmate';
import type { IGrammar } from 'vscode-textmate';
import { inProject } from '../../scripts/lib/root.mjs';

export interface Token {
  text: string;
  /** The innermost scope without its ending `.ferrule`; empty for plain text. */
  scope: string;
}

/** The grammar as VS Code runs it. */
export async function loadGrammar(): Promise<IGrammar> {
  const wasm = createRequire(import.meta.url).resolve('vscode-oniguruma/release/onig.wasm');
  await oniguruma.loadWASM(await readFile(wasm));
  const file = inProject('syntaxes', 'ferrule.tmLanguage.json');
  const registry = new textmate.Registry({
    onigLib: Promise.resolve({
      createOnigScanner: (patterns) => new oniguruma.OnigScanner(patterns),
      createOnigString: (text) => new oniguruma.OnigString(text),
    }),
    loadGrammar: async () => textmate.parseRawGrammar(await readFile(file, 'utf8'), file),
  });
  const grammar = await registry.loadGrammar('source.ferrule');
  if (grammar === null) {
    throw new Error(`${file} gives no grammar.`);
  }
  return grammar;
}

/** The tokens of a text line by line, blanks left out. */
export function tokensOf(grammar: IGrammar, text: string): Token[] {
  let stack = textmate.INITIAL;
  return text.split('\n').flatMap((line) => {
    const result = grammar.tokenizeLine(line, stack);
    stack = result.ruleStack;
    return result.tokens
      .map((token) => ({
        text: line.slice(token.startIndex, token.endIndex).trim(),
        scope: (token.scopes.at(-1) ?? '').replace(/^source\.ferrule$|\.ferrule$/, ''),
      }))
      .filter((token) => token.text !== '');
  });
}
