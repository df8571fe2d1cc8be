/** The server as a Node process: files from the disk, the day from the clock. */
import { readdirSync, readFileSync, statSync } from 'node:fs';
import path from 'node:path';
import { createConnection, ProposedFeatures } from 'vscode-languageserver/node.js';
import { URI } from 'vscode-uri';
import { joinPath, type FileContent, type Files } from '../workbench/files.js';
import { startServer } from './server.js';

/** Folders that hold no site of their own. */
const skipped = new Set(['node_modules', 'dist', 'out', '.git', '.vscode-test']);

let folders: readonly string[] = [];
let listed: readonly string[] | undefined;

const files: Files = {
  read: (uri) => readFromDisk(uri),
  resolve: joinPath,
  list: () => (listed ??= folders.flatMap((folder) => listFolder(URI.parse(folder).fsPath)).sort()),
};

startServer(createConnection(ProposedFeatures.all), {
  files,
  today: () => {
    const now = new Date();
    const twoDigits = (number: number) => String(number).padStart(2, '0');
    return `${now.getFullYear()}-${twoDigits(now.getMonth() + 1)}-${twoDigits(now.getDate())}`;
  },
  setFolders: (uris) => {
    folders = uris;
    listed = undefined;
  },
  filesChanged: () => {
    listed = undefined;
  },
});

function readFromDisk(uri: string): FileContent {
  const parsed = URI.parse(uri);
  if (parsed.scheme !== 'file') {
    return { kind: 'missing' };
  }
  try {
    if (statSync(parsed.fsPath).isDirectory()) {
      return { kind: 'folder' };
    }
    return { kind: 'text', text: readFileSync(parsed.fsPath, 'utf8') };
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    return code === 'ENOENT' || code === 'ENOTDIR'
      ? { kind: 'missing' }
      : { kind: 'unreadable', why: whyOf(code) };
  }
}

function whyOf(code: string | undefined): string {
  return code === 'EACCES' || code === 'EPERM'
    ? 'you have no permission to read it'
    : `the system says ${code ?? 'no more'}`;
}

function listFolder(folder: string): string[] {
  const found: string[] = [];
  const walk = (current: string): void => {
    let entries;
    try {
      entries = readdirSync(current, { withFileTypes: true });
    } catch {
      // A folder that cannot be listed holds nothing that could be checked.
      return;
    }
    for (const entry of entries) {
      const full = path.join(current, entry.name);
      if (entry.isDirectory()) {
        if (!skipped.has(entry.name) && !entry.name.startsWith('.')) {
          walk(full);
        }
      } else if (entry.name.endsWith('.ferrule')) {
        found.push(URI.file(full).toString());
      }
    }
  };
  walk(folder);
  return found;
}
