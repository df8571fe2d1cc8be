import { commands, type ExtensionContext } from 'vscode';
import { startServer } from './server.node.js';
import { registerCommissioning } from './features/commissioning/commissioning.js';
import { registerDrawing } from './features/drawing/drawing.js';
import { registerJobPack } from './features/job-pack/job-pack.js';
import { registerNewSite } from './features/new-site/new-site.js';
import { registerPages } from './features/pages/pages.js';
import { registerPasteTable } from './features/paste-table/paste-table.js';
import { registerServerControl } from './features/server-control/server-control.js';
import { registerSiteTree } from './features/site-tree/site-tree.js';
import { registerStatus } from './features/status/status.js';
import { registerTasks } from './features/tasks/tasks.js';

/** VS Code calls this once, when the first Ferrule file is opened or a folder has one at its top. */
export function activate(context: ExtensionContext): void {
  const server = startServer(context);
  // From now on the views are there; a window without Ferrule files shows none of them.
  void commands.executeCommand('setContext', 'ferrule.isActive', true);
  context.subscriptions.push(
    server,
    registerServerControl(server),
    registerDrawing(context, server),
    registerJobPack(server),
    registerCommissioning(server),
    registerSiteTree(server),
    registerPages(server),
    registerPasteTable(server),
    registerNewSite(server),
    registerStatus(context, server),
    registerTasks(),
  );
}
