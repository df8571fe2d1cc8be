/** The font of the printed forms, and what to do with characters that it lacks. */
import { inflateSync } from 'fflate';
import { BOLD, COVERED, REGULAR } from '../generated/fonts.js';
import { fontMeasure } from '../../drawing/svg/text-measure.js';

export type Weight = 400 | 700;

/** The font file of a weight. */
export function fontFile(weight: Weight): Buffer {
  return Buffer.from(inflateSync(Buffer.from(weight === 700 ? BOLD : REGULAR, 'base64')));
}

/** Width in the unit of the size. Kerning only ever makes a text narrower. */
export function widthOf(text: string, size: number, weight: Weight): number {
  return fontMeasure.width(text, size, weight);
}

/**
 * A text that the font can show: a character without a picture is named by its code point, so that it
 * is not lost without a trace; signs that only steer the direction or the joining of letters go.
 */
export function printable(text: string): string {
  if (/^[\x20-\x7e\n]*$/u.test(text)) {
    return text;
  }
  let shown = '';
  for (const character of text) {
    const code = character.codePointAt(0) ?? 0;
    if (character === '\n' || isCovered(code)) {
      shown += character;
    } else if (/[\t\r]/u.test(character)) {
      shown += ' ';
    } else if (!/[\p{Cf}\p{Cc}\p{Variation_Selector}]/u.test(character)) {
      shown += `[U+${code.toString(16).toUpperCase().padStart(4, '0')}]`;
    }
  }
  return shown;
}

function isCovered(code: number): boolean {
  return code >= 0x20 && COVERED.some(([first, last]) => code >= first && code <= last);
}
