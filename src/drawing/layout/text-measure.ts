/** How wide a text is: the only thing that a layout knows about fonts. */
export interface TextMeasure {
  /** Width in px of a text set at a size in px. */
  width(text: string, sizePx: number, weight: FontWeight): number;
}

export type FontWeight = 400 | 700;

/** Cuts a text with an ellipsis so that it is not wider than a limit; an empty text where nothing fits. */
export function fitText(
  measure: TextMeasure,
  text: string,
  sizePx: number,
  weight: FontWeight,
  limitPx: number,
): string {
  if (measure.width(text, sizePx, weight) <= limitPx) return text;
  const characters = [...text];
  for (let length = characters.length - 1; length > 0; length--) {
    const shorter = `${characters.slice(0, length).join('').trimEnd()}…`;
    if (measure.width(shorter, sizePx, weight) <= limitPx) return shorter;
  }
  return '';
}

/** Breaks a text between words into lines that are not wider than a limit; a longer word gets a line of its own. */
export function wrapText(
  measure: TextMeasure,
  text: string,
  sizePx: number,
  weight: FontWeight,
  limitPx: number,
): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(/\s+/u).filter((part) => part !== '')) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (line !== '' && measure.width(longer, sizePx, weight) > limitPx) {
      lines.push(line);
      line = word;
    } else {
      line = longer;
    }
  }
  return line === '' ? lines : [...lines, line];
}
