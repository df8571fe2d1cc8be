import { Disposable, window } from 'vscode';
import type { Server } from '../../server.js';
import { onSettledChange } from '../../site-in-hand.js';
import { TaskTree } from './task-tree.js';

/** The view of what is next on site, area by area, for the site of the active file. */
export function registerCommissioning(server: Server): Disposable {
  const tree = new TaskTree();
  return Disposable.from(
    window.createTreeView('ferrule.commissioning', { treeDataProvider: tree }),
    tree,
    onSettledChange(server, async (uri, isLatest) => {
      const { areas } = await server.request('ferrule/progress', { uri });
      if (isLatest()) {
        tree.show(areas);
      }
    }),
  );
}
