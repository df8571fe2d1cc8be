import {
  CodeActionKind,
  type CodeAction,
  type TextEdit,
  type WorkspaceEdit,
} from 'vscode-languageserver';
import { acceptingFix, writtenFixes, type WrittenFix } from '../../workbench/fixes.js';
import { triedFixes } from '../../workbench/tried-fixes.js';
import { useFixes } from '../../workbench/use-fixes.js';
import type { CheckedSite } from '../../workbench/workbench.js';
import type { LocatedFinding, Position, Range } from '../../workbench/types.js';
import type { TextChange } from '../../language/write.js';
import { refactorsAt, type Refactor } from '../../workbench/editing/refactors.js';
import { offsetAt } from '../../workbench/source-file.js';
import { diagnosticOf } from './diagnostics.js';
import { otherFiles, rangeIn, type Session } from '../session.js';

export function codeActions(session: Session): void {
  session.connection.onCodeAction(({ textDocument, range, context }): CodeAction[] => {
    const checked = session.siteOf(textDocument.uri);
    if (checked === undefined) {
      return [];
    }
    const wanted = context.only;
    if (wanted?.some((kind) => kind.startsWith('source'))) {
      return fixAll(checked, textDocument.uri);
    }
    const wants = (kind: string) => wanted?.some((one) => kind.startsWith(one)) ?? true;
    const fixes = (wants(CodeActionKind.QuickFix) ? checked.findings : [])
      .filter(
        (one) =>
          one.at.file === textDocument.uri &&
          touches(one.at.range, range) &&
          one.finding.waived === null,
      )
      .flatMap((one) => actionsFor(session, checked, one));
    const refactors = wanted === undefined || wanted.some((one) => one.startsWith('refactor'));
    return refactors
      ? [...fixes, ...refactorings(session, checked, textDocument.uri, range.start, wants)]
      : fixes;
  });
}

const refactorKinds = {
  move: 'refactor.move',
  rewrite: CodeActionKind.RefactorRewrite,
  extract: CodeActionKind.RefactorExtract,
} as const;

function refactorings(
  session: Session,
  checked: CheckedSite,
  uri: string,
  position: Position,
  wants: (kind: string) => boolean,
): CodeAction[] {
  const file = checked.open.files.find((one) => one.path === uri);
  const taken = (path: string) => session.workbench.read(path).kind !== 'missing';
  const found = file && refactorsAt(checked.open, uri, offsetAt(file, position), taken);
  return (found ?? [])
    .filter((one) => wants(refactorKinds[one.kind]))
    .filter((one) => one.newFiles.length === 0 || session.client.createsFiles)
    .map((one) => ({
      title: one.title,
      kind: refactorKinds[one.kind],
      edit: workspaceEdit(checked, one.changes, one.newFiles),
    }));
}

function actionsFor(session: Session, checked: CheckedSite, located: LocatedFinding): CodeAction[] {
  const diagnostic = diagnosticOf(located);
  const fixes = [
    ...triedFixes(session.workbench, checked.open.root, checked, located.finding),
    ...useFixes(checked.open, located.finding, otherFiles(session)),
  ];
  const actions = fixes.map((fix, index) => ({
    ...actionOf(checked, fix),
    kind: CodeActionKind.QuickFix,
    diagnostics: [diagnostic],
    isPreferred: index === 0,
  }));
  const accept = acceptingFix(
    checked.open,
    located.finding,
    dayAfter(session.host.today(), acceptedForDays),
  );
  return accept === undefined
    ? actions
    : [
        ...actions,
        { ...actionOf(checked, accept), kind: CodeActionKind.QuickFix, diagnostics: [diagnostic] },
      ];
}

/** All safe fixes of a file at once: those that leave the site's meaning as it is. */
function fixAll(checked: CheckedSite, uri: string): CodeAction[] {
  const changes = checked.findings
    .filter((one) => one.at.file === uri && one.finding.waived === null)
    .flatMap((one) =>
      writtenFixes(checked.open, one.finding)
        .filter((fix) => fix.kind === 'safe')
        .slice(0, 1),
    )
    .flatMap((fix) => fix.changes);
  const apart = changes.filter((one, index) =>
    changes
      .slice(0, index)
      .every(
        (other) => other.file !== one.file || other.end <= one.start || one.end <= other.start,
      ),
  );
  return apart.length === 0
    ? []
    : [
        {
          ...actionOf(checked, { title: 'Apply all safe fixes', kind: 'safe', changes: apart }),
          kind: CodeActionKind.SourceFixAll,
        },
      ];
}

function actionOf(checked: CheckedSite, fix: WrittenFix): CodeAction {
  return { title: fix.title, edit: workspaceEdit(checked, fix.changes, []) };
}

function workspaceEdit(
  checked: CheckedSite,
  changes: readonly TextChange[],
  newFiles: Refactor['newFiles'],
): WorkspaceEdit {
  const edits = new Map<string, TextEdit[]>();
  for (const change of changes) {
    const file = checked.open.files.find((one) => one.path === change.file);
    if (file !== undefined) {
      const edit = { range: rangeIn(file, change.start, change.end), newText: change.text };
      edits.set(change.file, [...(edits.get(change.file) ?? []), edit]);
    }
  }
  if (newFiles.length === 0) {
    return { changes: Object.fromEntries(edits) };
  }
  const start = { line: 0, character: 0 };
  return {
    documentChanges: [
      ...newFiles.flatMap(({ path, text }) => [
        { kind: 'create' as const, uri: path },
        {
          textDocument: { uri: path, version: null },
          edits: [{ range: { start, end: start }, newText: text }],
        },
      ]),
      ...[...edits].map(([uri, list]) => ({
        textDocument: { uri, version: null },
        edits: list,
      })),
    ],
  };
}

function touches(one: Range, other: Range): boolean {
  const startsAfter =
    one.start.line > other.end.line ||
    (one.start.line === other.end.line && one.start.character > other.end.character);
  const endsBefore =
    one.end.line < other.start.line ||
    (one.end.line === other.start.line && one.end.character < other.start.character);
  return !startsAfter && !endsBefore;
}

/** How long a finding is accepted until somebody writes another day. */
const acceptedForDays = 90;

function dayAfter(day: string, days: number): string {
  const [year = 0, month = 1, date = 1] = day.split('-').map(Number);
  return new Date(Date.UTC(year, month - 1, date + days)).toISOString().slice(0, 10);
}
