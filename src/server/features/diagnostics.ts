/** Findings as diagnostics, for every file of a site, unopened ones too. */
import { DiagnosticSeverity, type Diagnostic } from 'vscode-languageserver';
import type { CheckedSite } from '../../workbench/workbench.js';
import { messageOf, type LocatedFinding } from '../../workbench/types.js';
import { detailsOf } from './diagnostic-details.js';
import type { Session } from '../session.js';

/** A check that waits for a burst of changes to end waits no longer than so many turns. */
const mostTurns = 20;

export class Diagnostics {
  /** What the client was told, by file. */
  private readonly told = new Map<string, string>();
  private readonly waiting = new Set<string>();
  private isScheduled = false;
  private hasNews = false;
  private everything = false;

  constructor(private readonly session: Session) {}

  /** Checks the sites of a file soon. */
  schedule(uri: string): void {
    this.waiting.add(uri);
    this.soon();
  }

  /** Checks every known file soon. */
  checkAll(): void {
    this.everything = true;
    this.soon();
  }

  private soon(): void {
    this.hasNews = true;
    if (!this.isScheduled) {
      this.isScheduled = true;
      this.nextTurn(mostTurns);
    }
  }

  /**
   * Changes that have arrived already are checked once: a connection hands over one message a turn, so
   * a turn without a change says that none is waiting. A single change is checked without a wait.
   */
  private nextTurn(turnsLeft: number): void {
    setTimeout(() => {
      if (this.hasNews && turnsLeft > 0) {
        this.hasNews = false;
        this.nextTurn(turnsLeft - 1);
      } else {
        this.isScheduled = false;
        this.run();
      }
    });
  }

  private run(): void {
    const { session } = this;
    const uris = this.everything ? session.workbench.paths() : [...this.waiting];
    this.everything = false;
    this.waiting.clear();
    session.revision++;
    let files: readonly string[] = uris;
    try {
      const roots = new Set(
        session.workbench.rootsOfAll(uris).concat(uris.flatMap((uri) => this.rootsToldAbout(uri))),
      );
      const checked = [...roots].flatMap(
        (root) => session.workbench.check(root, session.host.today()) ?? [],
      );
      files = this.publish(uris, checked);
    } catch (error) {
      session.connection.console.error(`A check failed and was left out: ${String(error)}`);
    }
    session.onChecked(uris);
    void session.connection.sendNotification('ferrule/changed', {
      revision: session.revision,
      uris: files,
    });
  }

  /** Sites that a file belonged to before its last change. */
  private readonly rootsBefore = new Map<string, readonly string[]>();

  private rootsToldAbout(uri: string): readonly string[] {
    return this.rootsBefore.get(uri) ?? [];
  }

  private publish(changed: readonly string[], checked: readonly CheckedSite[]): string[] {
    const byFile = new Map<string, Map<string, Diagnostic>>();
    const filesSeen = new Set<string>(changed);
    const rootsOfFile = new Map<string, string[]>();
    for (const site of checked) {
      for (const file of site.open.files) {
        filesSeen.add(file.path);
        byFile.set(file.path, byFile.get(file.path) ?? new Map());
        rootsOfFile.set(file.path, [...(rootsOfFile.get(file.path) ?? []), site.open.root]);
      }
    }
    // A file of several sites shows what any of them finds, once.
    for (const site of this.session.sitesOf(filesSeen)) {
      for (const located of site.findings) {
        const { file } = located.at;
        if (filesSeen.has(file)) {
          const diagnostic = diagnosticOf(located);
          const list = byFile.get(file) ?? new Map<string, Diagnostic>();
          list.set(
            JSON.stringify([diagnostic.range, diagnostic.code, diagnostic.message]),
            diagnostic,
          );
          byFile.set(file, list);
        }
      }
    }
    for (const file of filesSeen) {
      this.rootsBefore.set(file, rootsOfFile.get(file) ?? []);
      const diagnostics = [...(byFile.get(file)?.values() ?? [])];
      const text = JSON.stringify(diagnostics);
      if (this.told.get(file) !== text && (diagnostics.length > 0 || this.told.has(file))) {
        this.told.set(file, text);
        void this.session.connection.sendDiagnostics({ uri: file, diagnostics });
      } else if (!this.told.has(file)) {
        this.told.set(file, text);
        void this.session.connection.sendDiagnostics({ uri: file, diagnostics });
      }
    }
    return [...filesSeen];
  }
}

const severities = {
  error: DiagnosticSeverity.Error,
  warning: DiagnosticSeverity.Warning,
  hint: DiagnosticSeverity.Hint,
} as const;

/** A finding as editors show it; a waived one stays visible as a hint with its reason. */
export function diagnosticOf({ finding, at, related }: LocatedFinding): Diagnostic {
  const waived = finding.waived;
  return {
    range: at.range,
    severity: waived === null ? severities[finding.severity] : DiagnosticSeverity.Hint,
    code: finding.rule,
    ...detailsOf(finding),
    source: 'ferrule',
    message: waived === null ? messageOf(finding) : `Accepted (${waived.because}): ${finding.what}`,
    relatedInformation: related.map((one) => ({
      location: { uri: one.file, range: one.range },
      message: one.message,
    })),
  };
}
