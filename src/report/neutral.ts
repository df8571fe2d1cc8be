/** Makes text from a site harmless in a terminal, and counts the columns it takes there. */

/** Line breaks and everything that moves the cursor, changes colours or turns the reading direction. */
const harmful = /[\p{Cc}\p{Zl}\p{Zp}\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff]/gu;

/** Characters that take two columns: East Asian scripts and pictures. */
const wide =
  /[\u1100-\u115f\u2e80-\u303e\u3041-\ua4cf\ua960-\ua97c\uac00-\ud7a3\uf900-\ufaff\ufe30-\ufe6f\uff01-\uff60\uffe0-\uffe6\u{1f300}-\u{1faff}\u{20000}-\u{3fffd}]/u;

/** Characters that take no column of their own. */
const narrowless = /[\p{Mn}\p{Me}\u200b-\u200d\ufe00-\ufe0f]/u;

/**
 * The text with each harmful character replaced by one visible character, so that positions stay
 * as they are. A tab counts as one blank.
 */
export function neutralised(text: string): string {
  return text.replaceAll('\t', ' ').replace(harmful, visible);
}

/** The columns of a terminal with a fixed pitch that a neutralised text takes. */
export function columnsOf(text: string): number {
  let columns = 0;
  for (const character of text) {
    columns += narrowless.test(character) ? 0 : wide.test(character) ? 2 : 1;
  }
  return columns;
}

/** Fills a text with blanks up to a number of columns. */
export function padded(text: string, columns: number): string {
  return text + ' '.repeat(Math.max(0, columns - columnsOf(text)));
}

function visible(character: string): string {
  const code = character.codePointAt(0)!;
  if (code < 0x20) {
    return String.fromCodePoint(0x2400 + code);
  }
  return code === 0x7f ? '\u2421' : '\ufffd';
}
