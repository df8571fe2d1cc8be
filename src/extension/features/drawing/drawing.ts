import {
  commands,
  Disposable,
  type ExtensionContext,
  Position,
  Selection,
  type TextEditor,
  Uri,
  ViewColumn,
  type WebviewPanel,
  window,
  workspace,
} from 'vscode';
import type { DrawingView } from '../../../server/protocol.js';
import type { Server } from '../../server.js';
import { texts } from '../../texts.js';
import type { PageState, Target } from './messages.js';
import { DrawingPanel } from './panel.js';

const viewType = 'ferrule.drawing';

/** Drawings beside the text: one panel a view, each following the text that is being edited. */
export function registerDrawing(context: ExtensionContext, server: Server): Disposable {
  const panels = new Map<DrawingView, DrawingPanel>();

  const adopt = (webview: WebviewPanel, target: Target) => {
    panels.get(target.view)?.dispose();
    const panel = new DrawingPanel(webview, target, server, context.extensionUri);
    panels.set(target.view, panel);
    webview.onDidDispose(() => {
      if (panels.get(target.view) === panel) {
        panels.delete(target.view);
      }
    });
    return panel;
  };

  const show = async (view: DrawingView, file: Uri | string | undefined, at?: unknown) => {
    const editor = await editorFor(typeof file === 'string' ? Uri.parse(file) : file);
    if (editor === undefined) {
      void window.showInformationMessage(texts.noFerruleFile());
      return;
    }
    if (isPosition(at)) {
      // The line of values above a declaration says where it stands, and the panel follows the cursor.
      const position = new Position(at.line, at.character);
      editor.selection = new Selection(position, position);
    }
    let panel = panels.get(view);
    if (panel === undefined) {
      const { line, character } = editor.selection.active;
      const uri = editor.document.uri.toString();
      const target = { view, uri, position: { line, character } };
      panel = adopt(createWebview(view, context.extensionUri), target);
    } else {
      panel.reveal();
    }
    panel.follow(editor);
  };

  const eachPanel = (action: (panel: DrawingPanel) => void) => () => panels.forEach(action);
  const follow = (editor: TextEditor | undefined) => {
    if (editor !== undefined && isFerrule(editor)) {
      panels.forEach((panel) => panel.follow(editor));
    }
  };

  return Disposable.from(
    commands.registerCommand('ferrule.showDrawing', (uri?: Uri | string, at?: unknown) =>
      show('topology', uri, at),
    ),
    commands.registerCommand('ferrule.showTerminals', (uri?: Uri | string, at?: unknown) =>
      show('terminals', uri, at),
    ),
    window.registerWebviewPanelSerializer(viewType, {
      async deserializeWebviewPanel(webview, state: Partial<PageState> | undefined) {
        if (state?.target === undefined) {
          webview.dispose();
          return;
        }
        webview.webview.options = webviewOptions(context.extensionUri);
        adopt(webview, state.target);
      },
    }),
    window.onDidChangeActiveTextEditor(follow),
    window.onDidChangeTextEditorSelection((event) => follow(event.textEditor)),
    server.onStarted(eachPanel((panel) => panel.refresh())),
    server.onChanged(({ uris }) => panels.forEach((panel) => panel.textChanged(uris))),
    { dispose: eachPanel((panel) => panel.dispose()) },
  );
}

function isPosition(value: unknown): value is { line: number; character: number } {
  const { line, character } = (value ?? {}) as Record<string, unknown>;
  return typeof line === 'number' && typeof character === 'number';
}

function createWebview(view: DrawingView, extension: Uri): WebviewPanel {
  return window.createWebviewPanel(
    viewType,
    view === 'topology' ? texts.topology() : texts.terminals(),
    { viewColumn: ViewColumn.Beside, preserveFocus: true },
    { ...webviewOptions(extension), enableFindWidget: true },
  );
}

function webviewOptions(extension: Uri) {
  return { enableScripts: true, localResourceRoots: [Uri.joinPath(extension, 'dist', 'webview')] };
}

/** The editor of a file, opened where needed; without a file the active one. */
async function editorFor(uri: Uri | undefined): Promise<TextEditor | undefined> {
  const candidates = [window.activeTextEditor, ...window.visibleTextEditors];
  const open = candidates.find(
    (editor) =>
      editor !== undefined &&
      isFerrule(editor) &&
      (uri === undefined || editor.document.uri.toString() === uri.toString()),
  );
  if (open !== undefined || uri === undefined) {
    return open;
  }
  const editor = await window.showTextDocument(await workspace.openTextDocument(uri));
  return isFerrule(editor) ? editor : undefined;
}

function isFerrule(editor: TextEditor): boolean {
  return editor.document.languageId === 'ferrule';
}
