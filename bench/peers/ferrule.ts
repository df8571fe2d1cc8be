/** Our own server, as it is packaged, with the requests that have goals of their own. */
import { median } from '../figures.js';
import { slipPlaces } from '../edits.js';
import { startLanguageServer } from './language-server.js';
import type { Peer, PeerFiles } from './peer.js';

const ROUNDS = 9;
/** Lines that an editor shows at once. */
const VISIBLE_LINES = 60;

export async function startFerrule(files: PeerFiles): Promise<Peer> {
  const server = await startLanguageServer(files, {
    command: [process.execPath, 'dist/server/main.cjs', '--stdio'],
    language: 'ferrule',
  });
  const { connection, uri, lines } = server;
  const place = slipPlaces(files.files[files.edited]!, 'ferrule').at(-3)!;
  const at = lines.at(place);
  const textDocument = { uri };
  const visible = {
    start: { line: Math.max(0, at.line - VISIBLE_LINES / 2), character: 0 },
    end: { line: at.line + VISIBLE_LINES / 2, character: 0 },
  };
  const asked: Readonly<Record<string, [method: string, params: object]>> = {
    'completion at a reference': [
      'textDocument/completion',
      { textDocument, position: { ...at, character: '  land F'.length } },
    ],
    outline: ['textDocument/documentSymbol', { textDocument }],
    folding: ['textDocument/foldingRange', { textDocument }],
    'semantic tokens': ['textDocument/semanticTokens/full', { textDocument }],
    'visible tokens': ['textDocument/semanticTokens/range', { textDocument, range: visible }],
    'visible hints': ['textDocument/inlayHint', { textDocument, range: visible }],
    lenses: ['textDocument/codeLens', { textDocument }],
    hover: ['textDocument/hover', { textDocument, position: at }],
  };
  return {
    ...server,
    async requests() {
      const found: Record<string, number> = {};
      for (const [name, [method, params]] of Object.entries(asked)) {
        const times: number[] = [];
        for (let round = 0; round < ROUNDS; round += 1) {
          // An edit before each, so that nothing is answered from what was kept whole.
          await server.change(place, 0, 'x', 'errors');
          await server.change(place, 1, '', 'no errors');
          const before = performance.now();
          await connection.sendRequest(method, params);
          times.push(performance.now() - before);
        }
        found[name] = median(times);
      }
      return found;
    },
  };
}
