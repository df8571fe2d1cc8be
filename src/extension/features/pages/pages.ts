import type { Uri } from 'vscode';
import {
  type CancellationToken,
  Disposable,
  EventEmitter,
  type TextDocumentContentProvider,
  workspace,
} from 'vscode';
import type { Server } from '../../server.js';
import { texts } from '../../texts.js';

/** The scheme of the pages that no file holds: a rule's page, the calculation behind a value. */
const SCHEME = 'ferrule-doc';

/** Read-only pages behind the codes of findings and the links of hovers; they need no network. */
export function registerPages(server: Server): Disposable {
  const changed = new EventEmitter<Uri>();
  const provider: TextDocumentContentProvider = {
    onDidChange: changed.event,
    provideTextDocumentContent: (uri, token) => textOf(server, uri, token),
  };
  // A calculation follows the text that it is computed from; a rule's page stays as it is.
  const refresh = () =>
    workspace.textDocuments
      .filter(({ uri }) => uri.scheme === SCHEME && uri.query !== '')
      .forEach(({ uri }) => changed.fire(uri));
  return Disposable.from(
    changed,
    workspace.registerTextDocumentContentProvider(SCHEME, provider),
    server.onChanged(refresh),
  );
}

async function textOf(server: Server, uri: Uri, token: CancellationToken): Promise<string> {
  try {
    // The address goes as it was made: its query holds an address with characters of its own.
    const page = await server.request('ferrule/document', { uri: uri.toString(true) }, token);
    return page.text ?? page.problem ?? '';
  } catch {
    return texts.pageFailed();
  }
}
