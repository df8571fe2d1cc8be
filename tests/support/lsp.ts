/** A language client for tests: the bundled server as a process, spoken to over stdio. */
import { spawn, type ChildProcess } from 'node:child_process';
import { mkdtempSync, mkdirSync, realpathSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { build } from 'esbuild';
import { URI } from 'vscode-uri';
import {
  createProtocolConnection,
  StreamMessageReader,
  StreamMessageWriter,
  type CodeAction,
  type Diagnostic,
  type Position,
  type ProtocolConnection,
  type TextEdit,
  type WorkspaceEdit,
} from 'vscode-languageserver/node.js';

/** How long a check may take before the test gives up on it. */
const patienceMs = 10_000;

let bundled: Promise<string> | undefined;

/** Bundles the server once a test run, as the build does. */
export function bundledServer(): Promise<string> {
  bundled ??= (async () => {
    const folder = mkdtempSync(path.join(tmpdir(), 'ferrule-server-'));
    const outfile = path.join(folder, 'main.cjs');
    await build({
      entryPoints: ['src/server/main.node.ts'],
      outfile,
      bundle: true,
      platform: 'node',
      format: 'cjs',
      keepNames: true,
      mainFields: ['module', 'main'],
      define: { FERRULE_VERSION: '"test"' },
      logLevel: 'error',
    });
    return outfile;
  })();
  return bundled;
}

export class TestClient {
  private readonly diagnostics = new Map<string, Diagnostic[]>();
  private readonly texts = new Map<string, string>();
  private revision = 0;
  private readonly versions = new Map<string, number>();
  private waiting: { revision: number; done: () => void }[] = [];
  readonly stderr: string[] = [];
  /** What the server asked the client, by method. */
  readonly asked: string[] = [];

  private constructor(
    readonly connection: ProtocolConnection,
    private readonly server: ChildProcess,
    readonly folder: string,
  ) {}

  /** Starts a server on a folder with some files. */
  static async start(
    files: Readonly<Record<string, string>>,
    capabilities: object = {},
  ): Promise<TestClient> {
    const folder = realpathSync(mkdtempSync(path.join(tmpdir(), 'ferrule-site-')));
    for (const [name, text] of Object.entries(files)) {
      mkdirSync(path.dirname(path.join(folder, name)), { recursive: true });
      writeFileSync(path.join(folder, name), text);
    }
    const server = spawn(process.execPath, [await bundledServer(), '--stdio'], { stdio: 'pipe' });
    const connection = createProtocolConnection(
      new StreamMessageReader(server.stdout!),
      new StreamMessageWriter(server.stdin!),
    );
    const client = new TestClient(connection, server, folder);
    server.stderr!.on('data', (data: Buffer) => client.stderr.push(data.toString()));
    connection.onNotification(
      'textDocument/publishDiagnostics',
      (params: { uri: string; diagnostics: Diagnostic[] }) => {
        client.diagnostics.set(params.uri, params.diagnostics);
      },
    );
    connection.onNotification('window/logMessage', (params: { message: string }) => {
      client.stderr.push(params.message);
    });
    connection.onNotification('ferrule/changed', (params: { revision: number }) => {
      client.revision = params.revision;
      client.waiting = client.waiting.filter((one) => {
        if (one.revision <= params.revision) {
          one.done();
        }
        return one.revision > params.revision;
      });
    });
    // A handler for every request exists, though the connection's type does not say so.
    const anyRequest = connection as unknown as {
      onRequest(handler: (method: string) => null): void;
    };
    anyRequest.onRequest((method) => {
      client.asked.push(method);
      return null;
    });
    connection.listen();
    await connection.sendRequest('initialize', {
      processId: process.pid,
      rootUri: URI.file(folder).toString(),
      workspaceFolders: [{ uri: URI.file(folder).toString(), name: 'site' }],
      capabilities,
    });
    const checked = client.nextCheck();
    await connection.sendNotification('initialized', {});
    await checked;
    return client;
  }

  async stop(): Promise<void> {
    await this.connection.sendRequest('shutdown');
    await this.connection.sendNotification('exit');
    this.connection.dispose();
    this.server.kill();
    rmSync(this.folder, { recursive: true, force: true });
  }

  uri(name: string): string {
    return URI.file(path.join(this.folder, name)).toString();
  }

  /** Opens a file, or replaces its text; resolves after the next check. */
  async edit(name: string, text: string): Promise<void> {
    const uri = this.uri(name);
    const checked = this.nextCheck();
    const version = (this.versions.get(uri) ?? 0) + 1;
    this.versions.set(uri, version);
    await (version === 1
      ? this.connection.sendNotification('textDocument/didOpen', {
          textDocument: { uri, languageId: 'ferrule', version, text },
        })
      : this.connection.sendNotification('textDocument/didChange', {
          textDocument: { uri, version },
          contentChanges: [{ text }],
        }));
    this.texts.set(name, text);
    await checked;
  }

  textOf(name: string): string {
    return this.texts.get(name) ?? '';
  }

  /** The diagnostics of a file as `line:column rule`, from 1. */
  problems(name: string): string[] {
    return this.diagnosticsOf(name).map(
      (one) => `${one.range.start.line + 1}:${one.range.start.character + 1} ${String(one.code)}`,
    );
  }

  diagnosticsOf(name: string): Diagnostic[] {
    return this.diagnostics.get(this.uri(name)) ?? [];
  }

  /** The position of a text in a file, `behind` it or at its start. */
  position(name: string, needle: string, where: 'at' | 'behind' = 'at'): Position {
    const text = this.textOf(name);
    const start = text.indexOf(needle);
    if (start < 0) {
      throw new Error(`"${needle}" does not stand in ${name}`);
    }
    const before = text.slice(0, where === 'at' ? start : start + needle.length);
    const line = before.split('\n').length - 1;
    return { line, character: before.length - (before.lastIndexOf('\n') + 1) };
  }

  /** Asks for something at a text in a file. */
  at<Result>(
    method: string,
    name: string,
    needle: string,
    where: 'at' | 'behind' = 'at',
    more: object = {},
  ): Promise<Result> {
    return this.connection.sendRequest<Result>(method, {
      textDocument: { uri: this.uri(name) },
      position: this.position(name, needle, where),
      ...more,
    });
  }

  /** The quick-fixes at a text. */
  actions(name: string, needle: string): Promise<CodeAction[]> {
    const start = this.position(name, needle);
    const end = this.position(name, needle, 'behind');
    return this.connection.sendRequest('textDocument/codeAction', {
      textDocument: { uri: this.uri(name) },
      range: { start, end },
      context: { diagnostics: this.diagnosticsOf(name) },
    });
  }

  /** Applies a workspace edit to the open texts and waits for the check. */
  async apply(edit: WorkspaceEdit): Promise<void> {
    for (const [uri, edits] of Object.entries(edit.changes ?? {})) {
      const name = path.relative(this.folder, URI.parse(uri).fsPath);
      await this.edit(name, applied(this.textOf(name), edits));
    }
  }

  private nextCheck(): Promise<void> {
    const wanted = this.revision + 1;
    return new Promise((done, fail) => {
      const timer = setTimeout(
        () => fail(new Error(`the server did not check in time: ${this.stderr.join('')}`)),
        patienceMs,
      );
      this.waiting.push({
        revision: wanted,
        done: () => {
          clearTimeout(timer);
          done();
        },
      });
    });
  }
}

/** Applies edits to a text. */
export function applied(text: string, edits: readonly TextEdit[]): string {
  const lines = text.split('\n');
  const offset = (position: Position) =>
    lines.slice(0, position.line).reduce((sum, line) => sum + line.length + 1, 0) +
    position.character;
  return [...edits]
    .sort((one, other) => offset(other.range.start) - offset(one.range.start))
    .reduce(
      (current, edit) =>
        current.slice(0, offset(edit.range.start)) +
        edit.newText +
        current.slice(offset(edit.range.end)),
      text,
    );
}
