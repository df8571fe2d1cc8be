/** What must stay the same when a text is written anew: its comments and what it says. */
import fc from 'fast-check';
import { lowerPiece } from '../../src/language/lower.js';
import { scan } from '../../src/language/parse.js';
import { splitText } from '../../src/language/split.js';
import type { Declaration } from '../../src/model/records.js';
import { randomText } from './random-text.js';

/** A generated text with a few characters cut out, put in or changed. */
export function damagedText(): fc.Arbitrary<string> {
  const slip = fc.tuple(
    fc.nat(),
    fc.nat({ max: 6 }),
    fc.constantFrom('', '{', '}', '"', '\n', '=', '.', 'x', '7 ', '/', '//', '\u0000', '😀'),
  );
  return fc
    .tuple(randomText(), fc.array(slip, { minLength: 1, maxLength: 4 }))
    .map(([text, slips]) =>
      slips.reduce((current, [at, cut, put]) => {
        const start = at % (current.length + 1);
        return current.slice(0, start) + put + current.slice(start + cut);
      }, text),
    );
}

/** Comments without the blanks around them, sorted. */
export function commentsOf(text: string): string[] {
  return splitText(text)
    .flatMap((piece) => scan(piece.text).hidden.map((token) => token.image.trim()))
    .sort();
}

/** What a text says; a doc comment counts with it. */
export function recordsOf(text: string): Declaration[] {
  return splitText(text).flatMap((piece) =>
    lowerPiece(piece.text).declarations.map((one) => one.record),
  );
}
