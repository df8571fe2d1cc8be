import {
  commands,
  type Disposable,
  env,
  Range,
  type TextEditor,
  window,
  workspace,
  WorkspaceEdit,
} from 'vscode';
import type { PasteResult } from '../../../server/protocol.js';
import type { Server } from '../../server.js';
import { texts } from '../../texts.js';

/** The command that writes the table on the clipboard as devices, at the cursor. */
export function registerPasteTable(server: Server): Disposable {
  return commands.registerCommand('ferrule.pasteDevices', () => pasteDevices(server));
}

async function pasteDevices(server: Server): Promise<void> {
  const editor = window.activeTextEditor;
  if (editor?.document.languageId !== 'ferrule') {
    void window.showInformationMessage(texts.noFerruleFile());
    return;
  }
  const text = await env.clipboard.readText();
  if (text.trim() === '') {
    void window.showInformationMessage(texts.nothingToPaste());
    return;
  }
  const { version } = editor.document;
  const { line, character } = editor.selection.active;
  const uri = editor.document.uri.toString();
  let result: PasteResult;
  try {
    result = await server.request('ferrule/paste', { uri, position: { line, character }, text });
  } catch {
    void window.showErrorMessage(texts.pasteFailed());
    return;
  }
  // What was computed for another text must not be put into this one.
  if (editor.document.version !== version || !(await applied(editor, result))) {
    void window.showErrorMessage(texts.pasteFailed());
    return;
  }
  await tell(result);
}

async function applied(editor: TextEditor, { edits }: PasteResult): Promise<boolean> {
  const change = new WorkspaceEdit();
  for (const { range, newText } of edits) {
    const { start, end } = range;
    change.replace(
      editor.document.uri,
      new Range(start.line, start.character, end.line, end.character),
      newText,
    );
  }
  return edits.length === 0 || workspace.applyEdit(change);
}

/** How many devices came, and each line and cell that did not, to read and to copy from. */
async function tell({ devices, left }: PasteResult): Promise<void> {
  if (left.length === 0) {
    window.setStatusBarMessage(texts.pasted(devices.length), 5000);
    return;
  }
  const show = texts.showLeftOut();
  const answer = await window.showWarningMessage(
    texts.pastedWithout(devices.length, left.length),
    show,
  );
  if (answer === show) {
    const content = left
      .map(({ line, text, why }) => `${texts.tableLine(line)}: ${why}\n    ${text}\n`)
      .join('\n');
    await window.showTextDocument(
      await workspace.openTextDocument({ language: 'plaintext', content }),
    );
  }
}
