import { Disposable, window } from 'vscode';
import type { Server } from '../../server.js';
import { fillView } from '../../site-in-hand.js';
import { TaskTree } from './task-tree.js';

/** The view of what is next on site, area by area, for the site of the active file. */
export function registerCommissioning(server: Server): Disposable {
  const tree = new TaskTree();
  const view = window.createTreeView('ferrule.commissioning', { treeDataProvider: tree });
  return Disposable.from(
    view,
    tree,
    fillView(view, server, async (uri, isLatest) => {
      const { areas } = await server.request('ferrule/progress', { uri });
      if (isLatest()) {
        tree.show(areas);
      }
    }),
  );
}
