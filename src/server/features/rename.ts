import {
  ErrorCodes,
  ResponseError,
  type Range,
  type TextEdit,
  type WorkspaceEdit,
} from 'vscode-languageserver';
import { cursorAt, targetAt } from '../../workbench/editing/cursor.js';
import { renameChanges, renameProblem } from '../../workbench/editing/names.js';
import { offsetAt } from '../../workbench/source-file.js';
import { rangeIn, type Session } from '../session.js';

export function rename(session: Session): void {
  session.connection.onPrepareRename(
    ({ textDocument, position }): { range: Range; placeholder: string } | ResponseError => {
      const at = session.at(textDocument.uri, position);
      const cursor = at && cursorAt(at.checked.open, at.file.path, at.offset);
      const target = at && cursor && targetAt(at.checked.open, cursor);
      const span =
        cursor?.reference ?? (target && cursor?.declaration?.origins.get(target.place.part));
      if (at === undefined || cursor === undefined || target === undefined || span === undefined) {
        return refusal('There is no name here that could be changed.');
      }
      return {
        range: rangeIn(at.file, cursor.piece.start + span.start, cursor.piece.start + span.end),
        placeholder: target.name,
      };
    },
  );

  session.connection.onRenameRequest(
    ({ textDocument, position, newName }): WorkspaceEdit | ResponseError => {
      const edits = new Map<string, Map<string, TextEdit>>();
      for (const { open } of session.sitesOf([textDocument.uri])) {
        const file = open.files.find((one) => one.path === textDocument.uri);
        const cursor = file && cursorAt(open, file.path, offsetAt(file, position));
        const target = cursor && targetAt(open, cursor);
        if (target === undefined) {
          return refusal('There is no name here that could be changed.');
        }
        const problem = renameProblem(open, target.place, target.name, newName);
        if (problem !== undefined) {
          return refusal(problem);
        }
        for (const change of renameChanges(open, target.place, target.name, newName)) {
          const changed = open.files.find((one) => one.path === change.file)!;
          const edit = { range: rangeIn(changed, change.start, change.end), newText: change.text };
          const list = edits.get(change.file) ?? new Map<string, TextEdit>();
          list.set(JSON.stringify(edit.range), edit);
          edits.set(change.file, list);
        }
      }
      return {
        changes: Object.fromEntries([...edits].map(([uri, list]) => [uri, [...list.values()]])),
      };
    },
  );
}

function refusal(sentence: string): ResponseError {
  return new ResponseError(ErrorCodes.InvalidParams, sentence);
}
