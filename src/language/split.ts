/**
 * Cuts a file into pieces.
 *
 * A declaration starts at column 0 and ends before the next, so each piece can be scanned, parsed and
 * lowered alone, is damaged alone by a missing brace, and is kept as long as its text stays the same.
 */

export interface TextPiece {
  /** Offset of the piece in its file. */
  readonly start: number;
  readonly text: string;
}

const lineStart = /^(?:[A-Za-zÀ-ÖØ-öø-ɏ]|\/\/\/)/gmu;

/** The pieces of a text, in order; together they are the text. `///` lines belong to the declaration below them. */
export function splitText(text: string): TextPiece[] {
  const starts: number[] = [];
  let docStart: number | undefined;
  let docEnd = -1;
  lineStart.lastIndex = 0;
  for (let match = lineStart.exec(text); match !== null; match = lineStart.exec(text)) {
    const offset = match.index;
    const end = endOfLine(text, offset);
    if (match[0] === '///') {
      if (docStart === undefined || docEnd !== offset) {
        docStart = offset;
      }
      docEnd = end;
    } else {
      starts.push(docStart !== undefined && docEnd === offset ? docStart : offset);
      docStart = undefined;
      docEnd = -1;
    }
    lineStart.lastIndex = end;
  }
  if (starts[0] !== 0) {
    starts.unshift(0);
  }
  return starts.map((start, index) => ({
    start,
    text: text.slice(start, starts[index + 1] ?? text.length),
  }));
}

function endOfLine(text: string, offset: number): number {
  const end = text.indexOf('\n', offset);
  return end < 0 ? text.length : end + 1;
}
