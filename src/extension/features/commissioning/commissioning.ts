import { commands, Disposable, window } from 'vscode';
import type { Server } from '../../server.js';
import { TaskTree } from './task-tree.js';

/** Editing goes on while the tree is asked for anew, so it waits for a pause. */
const PAUSE_MS = 400;

/** The view of what is next on site, area by area, for the site of the active file. */
export function registerCommissioning(server: Server): Disposable {
  const tree = new TaskTree();
  const view = window.createTreeView('ferrule.commissioning', { treeDataProvider: tree });
  let pending: ReturnType<typeof setTimeout> | undefined;
  let asked = 0;
  const ask = async () => {
    const uri = window.activeTextEditor?.document;
    // While something else has the focus, the view keeps the site that it shows.
    if (uri?.languageId !== 'ferrule') {
      return;
    }
    const mine = ++asked;
    try {
      const { areas } = await server.request('ferrule/progress', { uri: uri.uri.toString() });
      if (mine === asked) {
        tree.show(areas);
        await commands.executeCommand('setContext', 'ferrule.hasSite', areas.length > 0);
      }
    } catch {
      // The server says in its log why it does not answer; the view keeps what it shows.
    }
  };
  const askSoon = () => {
    clearTimeout(pending);
    pending = setTimeout(() => void ask(), PAUSE_MS);
  };
  askSoon();
  return Disposable.from(
    view,
    tree,
    window.onDidChangeActiveTextEditor(askSoon),
    server.onChanged(askSoon),
    server.onStarted(askSoon),
    { dispose: () => clearTimeout(pending) },
  );
}
