import type { ExtensionContext } from 'vscode';
import { startServer } from './server.node.js';
import { registerCommissioning } from './features/commissioning/commissioning.js';
import { registerDrawing } from './features/drawing/drawing.js';
import { registerJobPack } from './features/job-pack/job-pack.js';
import { registerServerControl } from './features/server-control/server-control.js';

/** VS Code calls this once, when the first Ferrule file is opened. */
export function activate(context: ExtensionContext): void {
  const server = startServer(context);
  context.subscriptions.push(
    server,
    registerServerControl(server),
    registerDrawing(context, server),
    registerJobPack(server),
    registerCommissioning(server),
  );
}
