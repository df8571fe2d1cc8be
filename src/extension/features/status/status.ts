import {
  commands,
  type Diagnostic,
  DiagnosticSeverity,
  Disposable,
  env,
  type ExtensionContext,
  type LanguageStatusItem,
  languages,
  LanguageStatusSeverity,
  version,
  window,
  workspace,
} from 'vscode';
import type { Server } from '../../server.js';
import { texts } from '../../texts.js';

/** What is wrong with the files of the window in one item of the status bar, and facts for a report. */
export function registerStatus(context: ExtensionContext, server: Server): Disposable {
  const item = languages.createLanguageStatusItem('ferrule.findings', { language: 'ferrule' });
  item.name = 'Ferrule';
  item.command = { command: 'workbench.actions.view.problems', title: texts.showProblems() };
  item.text = texts.starting();
  item.busy = true;
  const show = () => showFindings(item);
  return Disposable.from(
    item,
    languages.onDidChangeDiagnostics(show),
    server.onChanged(show),
    commands.registerCommand('ferrule.copySupportInfo', async () => {
      await env.clipboard.writeText(supportInfo(context));
      window.setStatusBarMessage(texts.supportInfoCopied(), 5000);
    }),
  );
}

function showFindings(item: LanguageStatusItem): void {
  const found = languages
    .getDiagnostics()
    .flatMap(([, diagnostics]) => diagnostics)
    .filter(({ source }) => source === 'ferrule');
  const errors = count(found, DiagnosticSeverity.Error);
  const warnings = count(found, DiagnosticSeverity.Warning);
  item.busy = false;
  item.text = texts.findingCount(errors, warnings) || texts.nothingFound();
  item.severity =
    errors > 0
      ? LanguageStatusSeverity.Error
      : warnings > 0
        ? LanguageStatusSeverity.Warning
        : LanguageStatusSeverity.Information;
}

function count(found: readonly Diagnostic[], severity: DiagnosticSeverity): number {
  return found.filter((one) => one.severity === severity).length;
}

/** Versions and settings, and nothing that names a site, a person or a folder. */
function supportInfo({ extension }: ExtensionContext): string {
  const settings = workspace.getConfiguration('ferrule');
  return [
    `Ferrule ${(extension.packageJSON as { version: string }).version}`,
    `VS Code ${version} (${env.appHost}, ${process.platform} ${process.arch}, Node ${process.versions.node})`,
    `Remote: ${env.remoteName ?? 'none'}`,
    `Folders: ${workspace.workspaceFolders?.length ?? 0}, trusted: ${workspace.isTrusted ? 'yes' : 'no'}`,
    `Open Ferrule files: ${workspace.textDocuments.filter(({ languageId }) => languageId === 'ferrule').length}`,
    `Settings: ${JSON.stringify(settings)}`,
    '',
  ].join('\n');
}
