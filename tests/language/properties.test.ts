/** Laws that hold for every text, on texts that the grammar itself generates. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lowerPiece } from '../../src/language/lower.js';
import { parsePiece, scan } from '../../src/language/parse.js';
import { splitText } from '../../src/language/split.js';
import { seedOfThisRun } from '../support/random.js';
import { grammarWords, randomText } from '../support/random-text.js';
import { damagedText } from '../support/text-laws.js';

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
      for (const text of fc.sample(randomText(), {
        numRuns: 1000,
        seed: seedOfThisRun() + batch,
      })) {
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
