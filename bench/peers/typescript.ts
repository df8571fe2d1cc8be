/** tsserver, in its own protocol: a request a line in, messages with a header out. */
import { spawn } from 'node:child_process';
import { mkdtempSync, realpathSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { Lines, peakMiBOf, type Peer, type PeerFiles } from './peer.js';

interface Message {
  readonly type: 'event' | 'response' | 'request';
  readonly event?: string;
  readonly body?: { readonly file?: string; readonly diagnostics?: readonly unknown[] };
}

export async function startTypeScript({ files, edited }: PeerFiles): Promise<Peer> {
  const folder = realpathSync(mkdtempSync(path.join(tmpdir(), 'ferrule-bench-')));
  for (const [name, text] of Object.entries(files)) {
    writeFileSync(path.join(folder, name), text);
  }
  writeFileSync(
    path.join(folder, 'tsconfig.json'),
    JSON.stringify({
      compilerOptions: { strict: true, target: 'es2022', types: [], noEmit: true },
      files: [edited],
    }),
  );
  const server = spawn(
    process.execPath,
    [
      '--max-old-space-size=8192',
      'bench/node_modules/typescript/lib/tsserver.js',
      '--disableAutomaticTypingAcquisition',
    ],
    { stdio: ['pipe', 'pipe', 'ignore'], cwd: process.cwd() },
  );
  const file = path.join(folder, edited);
  let heard: (message: Message) => void = () => undefined;
  let pending = Buffer.alloc(0);
  server.stdout.on('data', (data: Buffer) => {
    pending = Buffer.concat([pending, data]);
    for (;;) {
      const header = /^Content-Length: (\d+)\r?\n\r?\n/u.exec(pending.toString('latin1', 0, 64));
      const length = Number(header?.[1]);
      if (header === null || pending.length < header[0].length + length) {
        return;
      }
      const body = pending.toString('utf8', header[0].length, header[0].length + length);
      pending = pending.subarray(header[0].length + length);
      heard(JSON.parse(body) as Message);
    }
  });
  let sequence = 0;
  const send = (command: string, args: object) => {
    sequence += 1;
    server.stdin.write(
      `${JSON.stringify({ seq: sequence, type: 'request', command, arguments: args })}\n`,
    );
  };
  const diagnosed = (wanted: (count: number) => boolean) =>
    new Promise<void>((done) => {
      heard = ({ event, body }) => {
        if (event === 'semanticDiag' && body?.file === file && wanted(body.diagnostics!.length)) {
          done();
        }
      };
    });
  const first = diagnosed(() => true);
  const text = files[edited]!;
  send('open', { file, fileContent: text, scriptKindName: 'TS' });
  send('geterr', { files: [file], delay: 0 });
  await first;
  const lines = new Lines(text);
  return {
    async change(offset, removed, inserted, until) {
      const { line, character } = lines.at(offset);
      const fresh = diagnosed((count) => count > 0 === (until === 'errors'));
      const before = performance.now();
      send('change', {
        file,
        line: line + 1,
        offset: character + 1,
        endLine: line + 1,
        endOffset: character + removed + 1,
        insertString: inserted,
      });
      send('geterr', { files: [file], delay: 0 });
      await fresh;
      return performance.now() - before;
    },
    peakMiB: () => peakMiBOf(server.pid!),
    stop() {
      server.kill();
      rmSync(folder, { recursive: true, force: true });
      return Promise.resolve();
    },
  };
}
