/** Wires a connection to the features. Host-specific things come from the host. */
import {
  TextDocuments,
  TextDocumentSyncKind,
  type Connection,
  type FileOperationRegistrationOptions,
  type InitializeParams,
  type InitializeResult,
} from 'vscode-languageserver';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { codeActions } from './features/code-actions.js';
import { completion } from './features/completion.js';
import { definition } from './features/definition.js';
import { Diagnostics } from './features/diagnostics.js';
import { drawing } from './features/drawing.js';
import { formatting } from './features/formatting.js';
import { hover } from './features/hover.js';
import { outline } from './features/outline.js';
import { newSite } from './features/new-site.js';
import { pack } from './features/pack.js';
import { paste } from './features/paste.js';
import { progress } from './features/progress.js';
import { references } from './features/references.js';
import { rename } from './features/rename.js';
import { hierarchy } from './features/hierarchy.js';
import { highlight } from './features/highlight.js';
import { lenses } from './features/lenses.js';
import { movedFiles } from './features/moved-files.js';
import { search } from './features/search.js';
import { signature } from './features/signature.js';
import { tokens, tokensLegend } from './features/tokens.js';
import { documents as pages } from './features/documents.js';
import { siteTree } from './features/site-tree.js';
import { structure } from './features/structure.js';
import { types } from './features/types.js';
import { checkAtStart } from './start-progress.js';
import { Refresh } from './refresh.js';
import { Session, type ClientAbilities, type Host } from './session.js';

/** Files whose `use` lines may have to follow. */
const movedFilters: FileOperationRegistrationOptions['filters'] = [
  { pattern: { glob: '**/*.ferrule', matches: 'file' } },
  { pattern: { glob: '**', matches: 'folder' } },
];

export function startServer(connection: Connection, host: Host): void {
  const session = new Session(connection, host);
  const documents = new TextDocuments(TextDocument);
  const diagnostics = new Diagnostics(session);

  const refresh = new Refresh(session, () => documents.keys());
  session.onChecked = (changed) => refresh.afterCheck(changed);

  let tellsFolders = false;

  connection.onInitialize((params: InitializeParams): InitializeResult => {
    tellsFolders = params.capabilities.workspace?.workspaceFolders === true;
    host.setFolders(foldersOf(params));
    session.client = abilitiesOf(params);
    return {
      serverInfo: { name: 'Ferrule' },
      capabilities: {
        textDocumentSync: TextDocumentSyncKind.Incremental,
        completionProvider: { triggerCharacters: ['.', ' ', ':'], resolveProvider: true },
        hoverProvider: true,
        signatureHelpProvider: { triggerCharacters: ['{', ' '], retriggerCharacters: [' '] },
        semanticTokensProvider: { legend: tokensLegend, full: { delta: true }, range: true },
        definitionProvider: true,
        referencesProvider: true,
        renameProvider: { prepareProvider: true },
        documentSymbolProvider: true,
        documentHighlightProvider: true,
        documentLinkProvider: {},
        foldingRangeProvider: true,
        selectionRangeProvider: true,
        typeDefinitionProvider: true,
        implementationProvider: true,
        callHierarchyProvider: true,
        workspaceSymbolProvider: true,
        codeLensProvider: { resolveProvider: true },
        inlayHintProvider: true,
        documentFormattingProvider: true,
        documentRangeFormattingProvider: true,
        documentOnTypeFormattingProvider: {
          firstTriggerCharacter: '}',
          moreTriggerCharacter: ['\n'],
        },
        codeActionProvider: {
          codeActionKinds: [
            'quickfix',
            'refactor.move',
            'refactor.rewrite',
            'refactor.extract',
            'source.fixAll',
          ],
        },
        workspace: {
          workspaceFolders: { supported: true, changeNotifications: true },
          fileOperations: { willRename: { filters: movedFilters } },
        },
      },
    };
  });
  connection.onInitialized(() => {
    if (tellsFolders) {
      connection.workspace.onDidChangeWorkspaceFolders(async () => {
        const folders = await connection.workspace.getWorkspaceFolders();
        host.setFolders((folders ?? []).map((folder) => folder.uri));
        diagnostics.checkAll();
      });
    }
    void checkAtStart(session, () => diagnostics.checkAll());
  });

  documents.onDidChangeContent(({ document }) => {
    session.workbench.setText(document.uri, document.getText());
    diagnostics.schedule(document.uri);
  });
  documents.onDidClose(({ document }) => {
    session.workbench.clearText(document.uri);
    session.onClosed.forEach((forget) => {
      forget(document.uri);
    });
    diagnostics.schedule(document.uri);
  });
  connection.onDidChangeWatchedFiles(({ changes }) => {
    host.filesChanged();
    changes.forEach((change) => session.workbench.fileChanged(change.uri));
    diagnostics.checkAll();
  });

  for (const feature of [
    codeActions,
    completion,
    definition,
    drawing,
    formatting,
    hierarchy,
    highlight,
    hover,
    lenses,
    movedFiles,
    newSite,
    outline,
    pack,
    pages,
    paste,
    progress,
    references,
    rename,
    search,
    signature,
    siteTree,
    structure,
    tokens,
    types,
  ]) {
    feature(session);
  }
  documents.listen(connection);
  connection.listen();
}

function abilitiesOf({ capabilities }: InitializeParams): ClientAbilities {
  const { workspace, textDocument, window } = capabilities;
  return {
    snippets: textDocument?.completion?.completionItem?.snippetSupport === true,
    createsFiles:
      workspace?.workspaceEdit?.documentChanges === true &&
      workspace.workspaceEdit.resourceOperations?.includes('create') === true,
    refreshesLenses: workspace?.codeLens?.refreshSupport === true,
    refreshesHints: workspace?.inlayHint?.refreshSupport === true,
    refreshesTokens: workspace?.semanticTokens?.refreshSupport === true,
    showsProgress: window?.workDoneProgress === true,
  };
}

function foldersOf(params: InitializeParams): string[] {
  if (params.workspaceFolders !== undefined && params.workspaceFolders !== null) {
    return params.workspaceFolders.map((folder) => folder.uri);
  }
  return params.rootUri === null || params.rootUri === undefined ? [] : [params.rootUri];
}
