import { commands, type Disposable, FileSystemError, Uri, window, workspace } from 'vscode';
import type { NewSiteResult } from '../../../server/protocol.js';
import type { Server } from '../../server.js';
import { texts } from '../../texts.js';

/** The command that starts a site: a small one that is right, with generic equipment beside it. */
export function registerNewSite(server: Server): Disposable {
  return commands.registerCommand('ferrule.newSite', (folder?: Uri) => newSite(server, folder));
}

/** @param given The folder that becomes the site; asked for where left out. */
async function newSite(server: Server, given?: Uri): Promise<void> {
  const folder = given ?? (await askForFolder());
  if (folder === undefined) {
    return;
  }
  try {
    const name = folder.path.split('/').filter(Boolean).pop() ?? '';
    const made = await server.request('ferrule/newSite', { name });
    const inTheWay = await standing(folder, made);
    if (inTheWay.length > 0) {
      void window.showErrorMessage(texts.newSiteInTheWay(inTheWay));
      return;
    }
    // The site file is the last one: where it stands, everything that it uses stands.
    for (const { path, text } of made.files) {
      await workspace.fs.writeFile(Uri.joinPath(folder, path), new TextEncoder().encode(text));
    }
    await window.showTextDocument(
      await workspace.openTextDocument(Uri.joinPath(folder, made.site)),
    );
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    void window.showErrorMessage(texts.newSiteFailed(reason));
  }
}

/** Files that stand already where the site would be written. */
async function standing(folder: Uri, { files }: NewSiteResult): Promise<string[]> {
  const found: string[] = [];
  for (const { path } of files) {
    try {
      await workspace.fs.stat(Uri.joinPath(folder, path));
      found.push(path);
    } catch (error) {
      if (!(error instanceof FileSystemError && error.code === 'FileNotFound')) {
        throw error;
      }
    }
  }
  return found;
}

async function askForFolder(): Promise<Uri | undefined> {
  const chosen = await window.showOpenDialog({
    canSelectFiles: false,
    canSelectFolders: true,
    ...(workspace.workspaceFolders?.[0] === undefined
      ? {}
      : { defaultUri: workspace.workspaceFolders[0].uri }),
    openLabel: texts.chooseSiteFolder(),
    title: texts.chooseSiteFolderTitle(),
  });
  return chosen?.[0];
}
