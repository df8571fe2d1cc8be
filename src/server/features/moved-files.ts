import type { TextEdit, WorkspaceEdit } from 'vscode-languageserver';
import { useChanges } from '../../workbench/editing/moved-files.js';
import { rangeIn, type Session } from '../session.js';

/** Keeps `use` lines right when files or folders are renamed or moved in the editor. */
export function movedFiles(session: Session): void {
  session.connection.workspace.onWillRenameFiles(({ files: moves }): WorkspaceEdit | null => {
    const files = session.workbench.paths().flatMap((path) => {
      const open = session.workbench.open(path);
      return 'failed' in open ? [] : [open.files[0]!];
    });
    const changes = useChanges(
      files,
      moves.map(({ oldUri, newUri }) => ({ from: oldUri, to: newUri })),
      session.host.files.resolve,
    );
    const edits: Record<string, TextEdit[]> = {};
    for (const change of changes) {
      const file = files.find((one) => one.path === change.file)!;
      (edits[change.file] ??= []).push({
        range: rangeIn(file, change.start, change.end),
        newText: change.text,
      });
    }
    return changes.length === 0 ? null : { changes: edits };
  });
}
