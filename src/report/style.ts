/** How words are set off in a terminal. Without colours everything still reads. */
import type { Severity } from '../model/finding.js';

export interface Style {
  readonly strong: (text: string) => string;
  readonly faint: (text: string) => string;
  readonly severity: (severity: Severity | 'accepted', text: string) => string;
}

export const plain: Style = {
  strong: (text) => text,
  faint: (text) => text,
  severity: (_, text) => text,
};

const codes: Readonly<Record<Severity | 'accepted', number>> = {
  error: 31,
  warning: 33,
  hint: 36,
  accepted: 32,
};

/** ECMA-48 select graphic rendition. */
export const coloured: Style = {
  strong: (text) => rendition(1, text),
  faint: (text) => rendition(2, text),
  severity: (severity, text) => rendition(codes[severity], text),
};

function rendition(code: number, text: string): string {
  return `\u001b[${code}m${text}\u001b[0m`;
}
