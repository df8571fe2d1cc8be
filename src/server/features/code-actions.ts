import {
  CodeActionKind,
  type CodeAction,
  type TextEdit,
  type WorkspaceEdit,
} from 'vscode-languageserver';
import { acceptingFix, writtenFixes, type WrittenFix } from '../../workbench/fixes.js';
import type { CheckedSite } from '../../workbench/workbench.js';
import type { LocatedFinding, Range } from '../../workbench/types.js';
import { diagnosticOf } from './diagnostics.js';
import { rangeIn, type Session } from '../session.js';

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
    return checked.findings
      .filter(
        (one) =>
          one.at.file === textDocument.uri &&
          touches(one.at.range, range) &&
          one.finding.waived === null,
      )
      .flatMap((one) => actionsFor(session, checked, one));
  });
}

function actionsFor(session: Session, checked: CheckedSite, located: LocatedFinding): CodeAction[] {
  const diagnostic = diagnosticOf(located);
  const fixes = writtenFixes(checked.open, located.finding);
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
  const edits = new Map<string, TextEdit[]>();
  for (const change of fix.changes) {
    const file = checked.open.files.find((one) => one.path === change.file);
    if (file !== undefined) {
      const edit = { range: rangeIn(file, change.start, change.end), newText: change.text };
      edits.set(change.file, [...(edits.get(change.file) ?? []), edit]);
    }
  }
  const edit: WorkspaceEdit = { changes: Object.fromEntries(edits) };
  return { title: fix.title, edit };
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
