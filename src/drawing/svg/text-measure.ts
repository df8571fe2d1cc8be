import type { TextMeasure } from '../layout/text-measure.js';
import { UNITS_PER_EM, WIDTHS_400, WIDTHS_700, type WidthRun } from './font-metrics.js';

/** Fonts in order of preference; the first four have the widths of the table. */
export const FONT_STACK = "Arimo, 'Liberation Sans', Arial, Helvetica, sans-serif";

/** Measures with the table of the drawings' font. Texts are drawn in exactly this width (`textLength`). */
export const fontMeasure: TextMeasure = {
  width(text, sizePx, weight) {
    const widths = weight === 700 ? BOLD : REGULAR;
    let units = 0;
    for (const character of text) units += widths.get(character) ?? widthOfUnknown(character);
    return (units * sizePx) / UNITS_PER_EM;
  },
};

const REGULAR = byCharacter(WIDTHS_400);
const BOLD = byCharacter(WIDTHS_700);

function byCharacter(runs: readonly WidthRun[]): ReadonlyMap<string, number> {
  const widths = new Map<string, number>();
  for (const [first, list] of runs) {
    list.forEach((width, index) => {
      if (width > 0) widths.set(String.fromCodePoint(first + index), width);
    });
  }
  // Signs that the font's subsets leave out and fonts of the same widths have.
  for (const sign of ['≈', '≤', '≥', '≠']) if (!widths.has(sign)) widths.set(sign, 1124);
  for (const sign of ['→', '←', '↑', '↓']) if (!widths.has(sign)) widths.set(sign, 2048);
  return widths;
}

/** A combining mark takes no room; anything else outside the table is set in another font, so it gets a full em. */
function widthOfUnknown(character: string): number {
  return /\p{Mark}/u.test(character) ? 0 : UNITS_PER_EM;
}
