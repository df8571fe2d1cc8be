import { Uri, workspace } from 'vscode';
import type { PackFile } from '../../../server/protocol.js';

/** Says which files a pack wrote and what they held; the command line keeps the same list. */
export const listName = '.ferrule-pack.json';

interface PackList {
  schemaVersion: 1;
  /** SHA-256 by path. */
  files: Record<string, string>;
}

export async function listOf(files: readonly PackFile[]): Promise<Uint8Array> {
  const list: PackList = { schemaVersion: 1, files: {} };
  for (const { path, text } of [...files].sort((one, other) => (one.path < other.path ? -1 : 1))) {
    list.files[path] = await hashOf(new TextEncoder().encode(text));
  }
  return new TextEncoder().encode(`${JSON.stringify(list, null, 2)}\n`);
}

/** A list that cannot be read vouches for nothing. */
export async function readList(folder: Uri): Promise<ReadonlyMap<string, string>> {
  try {
    const bytes = await workspace.fs.readFile(Uri.joinPath(folder, listName));
    const list = JSON.parse(new TextDecoder().decode(bytes)) as PackList;
    return new Map(Object.entries(list.files));
  } catch {
    return new Map();
  }
}

export async function hashOf(bytes: Uint8Array): Promise<string> {
  const digest = await crypto.subtle.digest('SHA-256', new Uint8Array(bytes));
  return [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, '0')).join('');
}
