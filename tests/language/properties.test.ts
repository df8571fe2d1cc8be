/** Laws that hold for every text, on texts that the grammar itself generates. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { formatText } from '../../src/language/format.js';
import { lowerPiece } from '../../src/language/lower.js';
import { parsePiece, scan } from '../../src/language/parse.js';
import { splitText } from '../../src/language/split.js';
import type { Declaration } from '../../src/model/records.js';
import { grammarWords, randomText, withComments } from '../support/random-text.js';

const runs = { numRuns: 1000 };

describe('parser', () => {
  it('reads every text that the grammar generates, and the generator reaches every word', () => {
    const reached = new Set<string>();
    fc.assert(
      fc.property(randomText(), (text) => {
        for (const piece of splitText(text)) {
          expect(parsePiece(piece.text).problems.map((problem) => problem.what)).toEqual([]);
        }
        scan(text).tokens.forEach((token) => reached.add(token.image));
      }),
      { ...runs, numRuns: 1500 },
    );
    // Rare words need more texts than the law does; the bound only ends a hopeless search.
    const missing = () => grammarWords().filter((word) => !reached.has(word));
    for (let batch = 0; batch < 60 && missing().length > 0; batch++) {
      for (const text of fc.sample(randomText(), 1000)) {
        scan(text).tokens.forEach((token) => reached.add(token.image));
      }
    }
    expect(missing()).toEqual([]);
  });

  it('cuts a text into pieces that together are the text', () => {
    fc.assert(
      fc.property(fc.oneof(randomText(), fc.string({ unit: 'binary' }), damagedText()), (text) => {
        const pieces = splitText(text);
        expect(pieces.map((piece) => piece.text).join('')).toBe(text);
        pieces.forEach((piece) => expect(text.startsWith(piece.text, piece.start)).toBe(true));
      }),
      runs,
    );
  });

  it('never throws, and keeps problems inside the text', () => {
    fc.assert(
      fc.property(
        fc.oneof(damagedText(), fc.string({ unit: 'binary', maxLength: 200 })),
        (text) => {
          for (const piece of splitText(text)) {
            const { problems, declarations } = lowerPiece(piece.text);
            for (const problem of problems) {
              expect(problem.start).toBeGreaterThanOrEqual(0);
              expect(problem.end).toBeGreaterThanOrEqual(problem.start);
              expect(problem.end).toBeLessThanOrEqual(piece.text.length);
              expect(problem.what).not.toMatch(/undefined|NaN|\[object/u);
            }
            for (const { origins } of declarations) {
              for (const span of origins.values()) {
                expect(span.end).toBeLessThanOrEqual(piece.text.length);
              }
            }
          }
        },
      ),
      runs,
    );
  });

  it('damages one declaration with a missing brace, and no other', () => {
    fc.assert(
      fc.property(randomText(4), fc.nat(), (text, choice) => {
        const braces = [...text.matchAll(/^\s*\}$/gmu)].filter(
          (match) => !match[0].startsWith(' '),
        );
        fc.pre(braces.length > 0);
        const brace = braces[choice % braces.length]!;
        const damaged = text.slice(0, brace.index) + text.slice(brace.index + brace[0].length);
        const pieces = splitText(damaged).map((piece) => ({ ...piece, ...parsePiece(piece.text) }));
        const hurt = pieces.filter((piece) => piece.problems.length > 0);
        expect(hurt.length).toBe(1);
        expect(hurt[0]!.start).toBeLessThanOrEqual(brace.index);
        expect(hurt[0]!.problems).toHaveLength(1);
      }),
      runs,
    );
  });
});

describe('formatter', () => {
  it('changes neither meaning nor comments, and is done after one pass', () => {
    fc.assert(
      fc.property(randomText(), fc.nat(), (text, seed) => {
        const source = withComments(text, seed);
        const first = formatText(source);
        expect(first.kind).toBe('formatted');
        const formatted = first.kind === 'formatted' ? first.text : '';
        expect(formatText(formatted)).toEqual({ kind: 'formatted', text: formatted });
        expect(commentsOf(formatted)).toEqual(commentsOf(source));
        expect(recordsOf(formatted)).toEqual(recordsOf(source));
      }),
      runs,
    );
  });

  it('keeps line ends', () => {
    fc.assert(
      fc.property(randomText(), (text) => {
        const unix = formatText(text);
        const dos = formatText(text.replaceAll('\n', '\r\n'));
        expect(dos).toEqual({
          kind: 'formatted',
          text: unix.kind === 'formatted' ? unix.text.replaceAll('\n', '\r\n') : '',
        });
      }),
      { numRuns: 300 },
    );
  });

  it('refuses a text with a syntax error', () => {
    expect(formatText('device A : X {\n  lnad\n}\n')).toMatchObject({
      kind: 'refused',
      offset: 17,
    });
  });
});

/** A generated text with a few characters cut out, put in or changed. */
function damagedText(): fc.Arbitrary<string> {
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

function commentsOf(text: string): string[] {
  return splitText(text)
    .flatMap((piece) => scan(piece.text).hidden.map((token) => token.image.trim()))
    .sort();
}

/** What a text says; a doc comment counts with it. */
function recordsOf(text: string): Declaration[] {
  return splitText(text).flatMap((piece) =>
    lowerPiece(piece.text).declarations.map((one) => one.record),
  );
}
