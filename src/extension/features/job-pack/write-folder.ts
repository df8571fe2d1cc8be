import { Uri, workspace } from 'vscode';
import type { PackFile } from '../../../server/protocol.js';

/**
 * Writes a folder whole or not at all, in whatever file system it stands: beside its place first,
 * then by renaming. A folder that was there is replaced, and put back when that fails.
 */
export async function writeFolder(folder: Uri, files: readonly PackFile[]): Promise<void> {
  const { fs } = workspace;
  const fresh = sibling(folder, 'new');
  const old = sibling(folder, 'old');
  await removeIfThere(fresh);
  if ((await exists(old)) && !(await exists(folder))) {
    // An earlier attempt was killed between its two renamings.
    await fs.rename(old, folder);
  }
  await removeIfThere(old);
  try {
    await fs.createDirectory(fresh);
    for (const { path, text } of files) {
      await fs.writeFile(fileIn(fresh, path), new TextEncoder().encode(text));
    }
    const replaces = await exists(folder);
    if (replaces) {
      await fs.rename(folder, old);
    }
    try {
      await fs.rename(fresh, folder);
    } catch (error) {
      if (replaces) {
        await fs.rename(old, folder);
      }
      throw error;
    }
    await removeIfThere(old);
  } finally {
    await removeIfThere(fresh);
  }
}

export async function exists(uri: Uri): Promise<boolean> {
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
  return Uri.joinPath(folder, '..', `.${name}.${suffix}`);
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
