import { Range, TabInputText, Uri, ViewColumn, window, workspace } from 'vscode';
import type { TextPlace } from '../../../server/protocol.js';

/** Puts the cursor on a place in the text, in the group that has the file open, never over the drawing. */
export async function openText(place: TextPlace, drawing: ViewColumn | undefined): Promise<void> {
  const uri = Uri.parse(place.uri);
  const { line, character } = place.range.start;
  await window.showTextDocument(await workspace.openTextDocument(uri), {
    viewColumn: columnOf(uri, drawing) ?? columnBeside(drawing),
    selection: new Range(line, character, line, character),
  });
}

function columnOf(uri: Uri, drawing: ViewColumn | undefined): ViewColumn | undefined {
  return window.tabGroups.all.find(
    (group) =>
      group.viewColumn !== drawing &&
      group.tabs.some(
        ({ input }) => input instanceof TabInputText && input.uri.toString() === uri.toString(),
      ),
  )?.viewColumn;
}

function columnBeside(drawing: ViewColumn | undefined): ViewColumn {
  const other = window.visibleTextEditors.find((editor) => editor.viewColumn !== drawing);
  return other?.viewColumn ?? (drawing === ViewColumn.One ? ViewColumn.Two : ViewColumn.One);
}
