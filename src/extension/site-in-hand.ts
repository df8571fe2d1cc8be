import { Disposable, type TreeView, window } from 'vscode';
import type { Server } from './server.js';

/** Editing goes on while a view is filled anew, so a view waits for a pause. */
const PAUSE_MS = 400;

/**
 * Fills a view when the active Ferrule file, or what the server says of its site, has changed and
 * typing pauses; not while nobody sees it, since that would cost each pause for nothing. While something
 * else has the focus, a view keeps the site that it shows.
 * @param fill Asks the server and fills the view where `isLatest()` still says so.
 */
export function fillView(
  view: TreeView<unknown>,
  server: Server,
  fill: (uri: string, isLatest: () => boolean) => Promise<void>,
): Disposable {
  let pending: ReturnType<typeof setTimeout> | undefined;
  let asked = 0;
  const ask = async () => {
    const document = window.activeTextEditor?.document;
    if (!view.visible || document?.languageId !== 'ferrule') {
      return;
    }
    const mine = ++asked;
    try {
      await fill(document.uri.toString(), () => mine === asked);
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
    window.onDidChangeActiveTextEditor(askSoon),
    view.onDidChangeVisibility(askSoon),
    server.onChanged(askSoon),
    server.onStarted(askSoon),
    { dispose: () => clearTimeout(pending) },
  );
}
