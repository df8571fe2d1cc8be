/** What a diagnostic says beside place and message: its page, and how an editor may fade or strike it. */
import { DiagnosticTag, type Diagnostic } from 'vscode-languageserver';
import { ruleDocument } from '../../workbench/editing/documents.js';
import type { Finding } from '../../workbench/types.js';

const tagsOfRule: Readonly<Record<string, DiagnosticTag>> = {
  'template-unused': DiagnosticTag.Unnecessary,
  'import-unused': DiagnosticTag.Unnecessary,
  'waiver-unused': DiagnosticTag.Unnecessary,
  'template-deprecated': DiagnosticTag.Deprecated,
};

export function detailsOf({ rule }: Finding): Pick<Diagnostic, 'codeDescription' | 'tags'> {
  const tag = tagsOfRule[rule];
  return {
    codeDescription: { href: ruleDocument(rule) },
    ...(tag === undefined ? {} : { tags: [tag] }),
  };
}
