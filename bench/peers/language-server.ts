/** A server that speaks the Language Server Protocol over stdio. */
import { spawn } from 'node:child_process';
import { mkdtempSync, realpathSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { URI } from 'vscode-uri';
import {
  createProtocolConnection,
  StreamMessageReader,
  StreamMessageWriter,
  type Diagnostic,
  type ProtocolConnection,
} from 'vscode-languageserver/node.js';
import { Lines, peakMiBOf, type Peer, type PeerFiles } from './peer.js';

export interface LanguageServer extends Peer {
  readonly connection: ProtocolConnection;
  readonly uri: string;
  readonly lines: Lines;
}

export interface LanguageServerOptions {
  readonly command: readonly string[];
  readonly language: string;
  /** Answers to what the server asks its client for. */
  readonly settings?: (folder: string) => object;
}

export async function startLanguageServer(
  { files, edited }: PeerFiles,
  { command, language, settings }: LanguageServerOptions,
): Promise<LanguageServer> {
  const folder = realpathSync(mkdtempSync(path.join(tmpdir(), 'ferrule-bench-')));
  for (const [name, text] of Object.entries(files)) {
    writeFileSync(path.join(folder, name), text);
  }
  const [program = '', ...rest] = command;
  const server = spawn(program, rest, { stdio: ['pipe', 'pipe', 'ignore'] });
  const connection = createProtocolConnection(
    new StreamMessageReader(server.stdout),
    new StreamMessageWriter(server.stdin),
  );
  const uri = URI.file(path.join(folder, edited)).toString();
  let heard: (diagnostics: readonly Diagnostic[]) => void = () => undefined;
  connection.onNotification(
    'textDocument/publishDiagnostics',
    (params: { uri: string; diagnostics: Diagnostic[] }) => {
      if (params.uri === uri) {
        heard(params.diagnostics);
      }
    },
  );
  const hears = (wanted: (diagnostics: readonly Diagnostic[]) => boolean) =>
    new Promise<void>((done) => {
      heard = (diagnostics) => {
        if (wanted(diagnostics)) {
          done();
        }
      };
    });
  connection.onRequest('workspace/configuration', ({ items }: { items: { section: string }[] }) =>
    items.map(({ section }) => (settings?.(folder) as Record<string, unknown>)?.[section] ?? null),
  );
  connection.onRequest('client/registerCapability', () => null);
  connection.onRequest('window/workDoneProgress/create', () => null);
  connection.listen();
  await connection.sendRequest('initialize', {
    processId: process.pid,
    rootUri: URI.file(folder).toString(),
    workspaceFolders: [{ uri: URI.file(folder).toString(), name: 'bench' }],
    capabilities: {
      workspace: { configuration: true, didChangeConfiguration: { dynamicRegistration: true } },
      textDocument: {
        publishDiagnostics: {},
        completion: { completionItem: { snippetSupport: true } },
        documentSymbol: { hierarchicalDocumentSymbolSupport: true },
      },
    },
  });
  const text = files[edited]!;
  const first = hears(() => true);
  await connection.sendNotification('initialized', {});
  await connection.sendNotification('textDocument/didOpen', {
    textDocument: { uri, languageId: language, version: 1, text },
  });
  await first;
  const lines = new Lines(text);
  let version = 1;
  return {
    connection,
    uri,
    lines,
    async change(offset, removed, inserted, until) {
      const start = lines.at(offset);
      const end = { ...start, character: start.character + removed };
      const fresh = hears(
        (diagnostics) =>
          diagnostics.some(({ severity }) => severity === 1) === (until === 'errors'),
      );
      version += 1;
      const before = performance.now();
      await connection.sendNotification('textDocument/didChange', {
        textDocument: { uri, version },
        contentChanges: [{ range: { start, end }, text: inserted }],
      });
      await fresh;
      return performance.now() - before;
    },
    peakMiB: () => peakMiBOf(server.pid!),
    async stop() {
      await connection.sendRequest('shutdown').catch(() => undefined);
      server.kill();
      connection.dispose();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
