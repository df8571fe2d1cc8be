/** Findings with their places in files: what the outer rings print, show and send. */
import type { Finding } from './finding.js';

/** A position as editors count it: line and character from 0, characters in UTF-16 units. */
export interface Position {
  readonly line: number;
  readonly character: number;
}

/** A span of text; `end` is exclusive. */
export interface Range {
  readonly start: Position;
  readonly end: Position;
}

export interface FileRange {
  /** The file's path as its door names it. */
  readonly file: string;
  readonly range: Range;
}

export interface LocatedFinding {
  readonly finding: Finding;
  readonly at: FileRange;
  readonly related: readonly (FileRange & { readonly message: string })[];
}
