/** The line of text that a finding stands on, with carets under the place. */
import type { Range } from '../model/located.js';
import { columnsOf, neutralised } from './neutral.js';

export interface Excerpt {
  /** The line's number as people count. */
  readonly lineNumber: number;
  readonly line: string;
  /** Blanks and carets that stand under the line. */
  readonly carets: string;
}

/** Longer lines are cut on both sides of the place. */
const mostColumns = 100;
const before = 40;

/** Undefined where the text no longer has that line. */
export function excerptOf(text: string, range: Range): Excerpt | undefined {
  const raw = lineOf(text, range.start.line);
  if (raw === undefined) {
    return undefined;
  }
  const start = Math.min(range.start.character, raw.length);
  const end =
    range.end.line === range.start.line ? Math.min(range.end.character, raw.length) : raw.length;
  const { cut, from, lead, trail } = cutAround(raw, start);
  const shownStart = start - from;
  const shownEnd = Math.min(Math.max(end, start) - from, cut.length);
  const line = `${lead}${neutralised(cut)}${trail}`;
  const indent = columnsOf(lead + neutralised(cut.slice(0, shownStart)));
  const width = Math.max(1, columnsOf(neutralised(cut.slice(shownStart, shownEnd))));
  return {
    lineNumber: range.start.line + 1,
    line,
    carets: ' '.repeat(indent) + '^'.repeat(width),
  };
}

function lineOf(text: string, line: number): string | undefined {
  let start = 0;
  for (let number = 0; number < line; number++) {
    const end = text.indexOf('\n', start);
    if (end < 0) {
      return undefined;
    }
    start = end + 1;
  }
  const end = text.indexOf('\n', start);
  return text.slice(start, end < 0 ? text.length : end).replace(/\r$/u, '');
}

function cutAround(raw: string, start: number) {
  if (raw.length <= mostColumns) {
    return { cut: raw, from: 0, lead: '', trail: '' };
  }
  const from = wholeCharacter(raw, Math.max(0, Math.min(start - before, raw.length - mostColumns)));
  const to = wholeCharacter(raw, Math.min(raw.length, from + mostColumns));
  return {
    cut: raw.slice(from, to),
    from,
    lead: from > 0 ? '…' : '',
    trail: to < raw.length ? '…' : '',
  };
}

/** Moves an offset off the middle of a character that takes two UTF-16 units. */
function wholeCharacter(text: string, offset: number): number {
  const code = text.charCodeAt(offset);
  return code >= 0xdc00 && code <= 0xdfff ? offset - 1 : offset;
}
