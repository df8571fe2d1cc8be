import {
  EventEmitter,
  type ExtensionContext,
  type FileSystemWatcher,
  type OutputChannel,
  Uri,
  window,
  workspace,
} from 'vscode';
import {
  InlayHintRequest,
  LanguageClient,
  State,
  TransportKind,
} from 'vscode-languageclient/node.js';
import type { ChangedParams } from '../server/protocol.js';
import type { Server } from './server.js';
import { texts } from './texts.js';

/** Sources, and the files that package managers write when they have installed something. */
const WATCHED =
  '**/{*.ferrule,ferrule-vendor/integrity.json,node_modules/.package-lock.json,node_modules/.modules.yaml}';

/** Runs the bundled server as a Node process of its own. */
export function startServer(context: ExtensionContext): Server {
  const log = window.createOutputChannel('Ferrule');
  // The server reads files that no editor shows, so it has to hear when they change on the disk.
  const watcher = workspace.createFileSystemWatcher(WATCHED);
  const changed = new EventEmitter<ChangedParams>();
  const started = new EventEmitter<void>();
  let client = start();
  const switched = workspace.onDidChangeConfiguration((change) => {
    if (change.affectsConfiguration('ferrule.inlayHints')) {
      askForHintsAnew(client);
    }
  });

  // A client that failed to start, or whose server hangs, can't be used again; so each start has its own.
  function start(): LanguageClient {
    const next = createClient(context.extensionUri, log, watcher);
    next.onNotification('ferrule/changed', (change: ChangedParams) => changed.fire(change));
    next.onDidChangeState(({ newState }) => {
      if (newState === State.Running) {
        started.fire();
      }
    });
    next.start().catch((error: unknown) => {
      next.error(texts.serverFailed(), error, false);
      void offerLog(log);
    });
    return next;
  }

  return {
    async request(method, params, token) {
      try {
        // A token that is left out must be left out here, too: it would be sent as a second parameter.
        return await (token === undefined
          ? client.sendRequest(method, params)
          : client.sendRequest(method, params, token));
      } catch (error) {
        if (token?.isCancellationRequested !== true) {
          client.error(`${method}:`, error, false);
        }
        throw error;
      }
    },
    onChanged: changed.event,
    onStarted: started.event,
    async restart() {
      await stop(client);
      client = start();
    },
    showLog: () => log.show(),
    dispose() {
      switched.dispose();
      changed.dispose();
      started.dispose();
      watcher.dispose();
      void stop(client).finally(() => log.dispose());
    },
  };
}

function createClient(
  extension: Uri,
  log: OutputChannel,
  watcher: FileSystemWatcher,
): LanguageClient {
  const module = Uri.joinPath(extension, 'dist', 'server', 'main.cjs').fsPath;
  const run = { module, transport: TransportKind.ipc };
  return new LanguageClient(
    'ferrule',
    'Ferrule',
    { run, debug: { ...run, options: { execArgv: ['--nolazy', '--inspect=6009'] } } },
    {
      // Files in other schemes, such as the old side of a comparison, would only repeat the findings.
      documentSelector: [
        { language: 'ferrule', scheme: 'file' },
        { language: 'ferrule', scheme: 'untitled' },
      ],
      synchronize: { fileEvents: watcher },
      middleware: {
        provideInlayHints: (document, range, token, next) =>
          workspace.getConfiguration('ferrule', document).get<boolean>('inlayHints.enabled') ===
          false
            ? []
            : next(document, range, token),
      },
      outputChannel: log,
    },
  );
}

/** What the editor shows stays until it hears that it may have changed. */
function askForHintsAnew(client: LanguageClient): void {
  const feature = client.getFeature(InlayHintRequest.method);
  for (const document of workspace.textDocuments) {
    feature.getProvider(document)?.onDidChangeInlayHints.fire();
  }
}

/** Ends the process even when the server no longer answers. */
async function stop(client: LanguageClient): Promise<void> {
  try {
    await client.dispose();
  } catch (error) {
    client.warn(String(error));
  }
}

async function offerLog(log: OutputChannel): Promise<void> {
  const showLog = texts.showLog();
  if ((await window.showErrorMessage(texts.serverFailed(), showLog)) === showLog) {
    log.show();
  }
}
