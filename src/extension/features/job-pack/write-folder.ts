import { FileType, Uri, workspace } from 'vscode';
import type { PackFile } from '../../../server/protocol.js';
import { texts } from '../../texts.js';
import { hashOf, listOf, listName, readList } from './pack-list.js';

/**
 * Writes the folder of a pack whole or not at all, in whatever file system it stands: beside its
 * place first, then by renaming. What no pack wrote, or what was changed since, such as a sheet that
 * somebody filled in, is carried over; where the new pack would replace it nothing is written.
 */
export async function writeFolder(folder: Uri, files: readonly PackFile[]): Promise<void> {
  const fresh = sibling(folder, 'new');
  const old = sibling(folder, 'old');
  await bringBack(old, folder);
  await removeIfThere(fresh);
  const foreign = (await exists(folder)) ? await foreignIn(folder) : [];
  refuseInTheWay(foreign, files);
  try {
    await writeAll(fresh, files);
    for (const path of foreign) {
      await workspace.fs.copy(Uri.joinPath(folder, path), Uri.joinPath(fresh, path));
    }
    await swap(folder, fresh, old);
  } finally {
    await removeIfThere(fresh);
  }
}

async function writeAll(folder: Uri, files: readonly PackFile[]): Promise<void> {
  const { fs } = workspace;
  await fs.createDirectory(folder);
  for (const { path, text } of files) {
    await fs.writeFile(fileIn(folder, path), new TextEncoder().encode(text));
  }
  await fs.writeFile(Uri.joinPath(folder, listName), await listOf(files));
}

/** Paths in a folder, with `/`, of what is not as a pack left it; folders count by their files. */
async function foreignIn(folder: Uri): Promise<string[]> {
  const { fs } = workspace;
  const ours = await readList(folder);
  const foreign: string[] = [];
  const visit = async (inside: string): Promise<void> => {
    for (const [name, type] of await fs.readDirectory(Uri.joinPath(folder, inside))) {
      const path = inside === '' ? name : `${inside}/${name}`;
      if (type === FileType.Directory) {
        await visit(path);
      } else if (path !== listName) {
        const isOurs =
          type === FileType.File &&
          ours.get(path) === (await hashOf(await fs.readFile(Uri.joinPath(folder, path))));
        if (!isOurs) {
          foreign.push(path);
        }
      }
    }
  };
  await visit('');
  return foreign.sort();
}

function refuseInTheWay(foreign: readonly string[], files: readonly PackFile[]): void {
  const isIn = (outer: string, inner: string) => inner === outer || inner.startsWith(`${outer}/`);
  const inTheWay = foreign.filter((entry) =>
    files.some(({ path }) => isIn(entry, path) || isIn(path, entry)),
  );
  if (inTheWay.length > 0) {
    throw new Error(texts.packInTheWay(inTheWay));
  }
}

async function swap(folder: Uri, fresh: Uri, old: Uri): Promise<void> {
  const { fs } = workspace;
  if (!(await exists(folder))) {
    await fs.rename(fresh, folder);
    return;
  }
  await fs.rename(folder, old);
  try {
    await fs.rename(fresh, folder);
  } catch (error) {
    await fs.rename(old, folder);
    throw error;
  }
  await removeIfThere(old);
}

/** Undoes an attempt that was killed between its two renamings, and clears what one left after them. */
async function bringBack(old: Uri, folder: Uri): Promise<void> {
  if ((await exists(old)) && !(await exists(folder))) {
    await workspace.fs.rename(old, folder);
  }
  await removeIfThere(old);
}

async function exists(uri: Uri): Promise<boolean> {
  try {
    await workspace.fs.stat(uri);
    return true;
  } catch {
    return false;
  }
}

/** A hidden name beside the folder, so that renaming stays within one file system. */
function sibling(folder: Uri, suffix: string): Uri {
  const name = folder.path.slice(folder.path.lastIndexOf('/') + 1);
  return Uri.joinPath(folder, '..', `.${name}.ferrule-${suffix}`);
}

async function removeIfThere(uri: Uri): Promise<void> {
  if (await exists(uri)) {
    await workspace.fs.delete(uri, { recursive: true });
  }
}

/** Refuses a path that would leave the folder. */
function fileIn(folder: Uri, path: string): Uri {
  const file = Uri.joinPath(folder, path);
  if (!file.path.startsWith(`${folder.path}/`)) {
    throw new Error(`${path} is outside the folder.`);
  }
  return file;
}
