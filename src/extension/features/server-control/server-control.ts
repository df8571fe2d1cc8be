import { commands, Disposable, window } from 'vscode';
import type { Server } from '../../server.js';
import { texts } from '../../texts.js';

/** Commands for when the server itself is the question. */
export function registerServerControl(server: Server): Disposable {
  return Disposable.from(
    commands.registerCommand('ferrule.restartServer', async () => {
      await server.restart();
      window.setStatusBarMessage(texts.serverRestarted(), 5000);
    }),
    commands.registerCommand('ferrule.showLog', () => server.showLog()),
  );
}
