/** Breaking texts into lines. */
import { widthOf } from './fonts.js';
import type { Weight } from './fonts.js';

/**
 * The lines of a text in a width. It breaks at blanks, inside a long name behind the signs that part
 * it (`field-1/FC-1-03` behind the slash), and inside a piece that is wider than the line.
 */
export function wrapped(
  text: string,
  widthPt: number,
  sizePt: number,
  weight: Weight,
): readonly string[] {
  return text
    .split('\n')
    .flatMap((line) => wrappedLine(line, Math.max(widthPt, sizePt), sizePt, weight));
}

/**
 * The width of the widest piece that is not broken if it can be helped: a word, or of one wider than
 * `wholePt` the widest part between two signs.
 */
export function widestPiece(text: string, sizePt: number, weight: Weight, wholePt: number): number {
  let widest = 0;
  for (const word of text.split(/\s+/u)) {
    const width = widthOf(word, sizePt, weight);
    if (width > widest) {
      widest = Math.max(
        widest,
        width <= wholePt
          ? width
          : Math.max(...piecesOf(word).map((piece) => widthOf(piece, sizePt, weight))),
      );
    }
  }
  return widest;
}

function wrappedLine(
  text: string,
  widthPt: number,
  sizePt: number,
  weight: Weight,
): readonly string[] {
  if (widthOf(text, sizePt, weight) <= widthPt) {
    return [text];
  }
  const lines: string[] = [];
  let line = '';
  const fits = (candidate: string) => widthOf(candidate, sizePt, weight) <= widthPt;
  const add = (piece: string, gap: string): void => {
    if (fits(line + gap + piece)) {
      line += gap + piece;
      return;
    }
    if (line !== '') {
      lines.push(line);
    }
    line = '';
    for (const part of fits(piece) ? [piece] : cutToWidth(piece, fits)) {
      if (line !== '') {
        lines.push(line);
      }
      line = part;
    }
  };
  for (const word of text.split(' ')) {
    const gap = line === '' ? '' : ' ';
    if (fits(word) || fits(line + gap + word)) {
      add(word, gap);
      continue;
    }
    piecesOf(word).forEach((piece, index) => add(piece, index === 0 ? gap : ''));
  }
  lines.push(line);
  return lines;
}

function piecesOf(word: string): readonly string[] {
  return word.split(/(?<=[/.,:;=@_-])(?=.)/u);
}

function cutToWidth(piece: string, fits: (text: string) => boolean): readonly string[] {
  const parts: string[] = [];
  let part = '';
  for (const character of piece) {
    if (part !== '' && !fits(part + character)) {
      parts.push(part);
      part = '';
    }
    part += character;
  }
  parts.push(part);
  return parts;
}
