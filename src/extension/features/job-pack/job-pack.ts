import {
  commands,
  type Disposable,
  ProgressLocation,
  Uri,
  window,
  workspace,
  type WorkspaceFolder,
} from 'vscode';
import type { PackResult } from '../../../server/protocol.js';
import type { Server } from '../../server.js';
import { texts } from '../../texts.js';
import { writeFolder } from './write-folder.js';

/** The command that writes the job pack of the active file's site. */
export function registerJobPack(server: Server): Disposable {
  return commands.registerCommand('ferrule.writeJobPack', (site?: Uri, parent?: Uri) =>
    writeJobPack(server, site, parent),
  );
}

/**
 * @param site Any file of the site; the active one where left out.
 * @param parent The folder that gets the pack's folder; asked for where left out.
 */
async function writeJobPack(server: Server, site?: Uri, parent?: Uri): Promise<void> {
  const uri = site ?? activeSite();
  if (uri === undefined) {
    void window.showInformationMessage(texts.noFerruleFile());
    return;
  }
  const chosen = parent ?? (await askForFolder(uri));
  if (chosen === undefined) {
    return;
  }
  try {
    const pack = await withProgress(() => server.request('ferrule/pack', { uri: uri.toString() }));
    await writeInto(chosen, pack);
  } catch (error) {
    void window.showErrorMessage(texts.packFailed(reasonOf(error)));
  }
}

async function writeInto(parent: Uri, pack: PackResult): Promise<void> {
  if (pack.problem !== undefined || pack.files.length === 0) {
    void window.showErrorMessage(texts.packFailed(pack.problem ?? ''));
    return;
  }
  const folder = Uri.joinPath(parent, pack.folder.replaceAll(/[\\/]/g, '-'));
  await withProgress(() => writeFolder(folder, pack.files));
  const open = texts.openPack();
  const answer = await window.showInformationMessage(
    texts.packWritten(pack.files.length, pack.folder),
    open,
  );
  const first = pack.files.find((file) => file.path.endsWith('.md')) ?? pack.files[0];
  if (answer === open && first !== undefined) {
    await commands.executeCommand('vscode.open', Uri.joinPath(folder, first.path));
  }
}

/** The active file; while a drawing has the focus, the file beside it. */
function activeSite(): Uri | undefined {
  return [window.activeTextEditor, ...window.visibleTextEditors].find(
    (editor) => editor?.document.languageId === 'ferrule',
  )?.document.uri;
}

async function askForFolder(site: Uri): Promise<Uri | undefined> {
  const folder: WorkspaceFolder | undefined = workspace.getWorkspaceFolder(site);
  const chosen = await window.showOpenDialog({
    canSelectFiles: false,
    canSelectFolders: true,
    defaultUri: folder?.uri ?? Uri.joinPath(site, '..'),
    openLabel: texts.chooseFolder(),
    title: texts.chooseFolderTitle(),
  });
  return chosen?.[0];
}

function withProgress<Result>(work: () => Promise<Result>): Thenable<Result> {
  return window.withProgress(
    { location: ProgressLocation.Notification, title: texts.packInProgress() },
    work,
  );
}

function reasonOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
