/**
 * The laws of the formatter, on random documents: comments, empty lines and needless blanks in them,
 * line ends of either kind, and every fourth with slips. FERRULE_RUNS raises the number of documents
 * (the long form: 10,000).
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { formatText } from '../../src/language/format.js';
import { parsePiece } from '../../src/language/parse.js';
import { splitText } from '../../src/language/split.js';
import { applyChanges } from '../../src/language/write.js';
import { formatRange } from '../../src/workbench/editing/formatting.js';
import { SourceFiles } from '../../src/workbench/source-file.js';
import { randomText, withComments } from '../support/random-text.js';
import { commentsOf, damagedText, recordsOf } from '../support/text-laws.js';

const runs = { numRuns: Math.max(1000, Number(process.env['FERRULE_RUNS'] ?? 1000)) };
/** Ten thousand documents take minutes. */
const patience = { timeout: 1_200_000 };

interface Document {
  readonly text: string;
  readonly isWhole: boolean;
}

function document(): fc.Arbitrary<Document> {
  const whole = fc
    .tuple(randomText(), fc.nat())
    .map(([text, seed]) => ({ text: withComments(text, seed), isWhole: true }));
  const damaged = damagedText().map((text) => ({ text, isWhole: false }));
  return fc
    .tuple(
      fc.oneof({ weight: 3, arbitrary: whole }, { weight: 1, arbitrary: damaged }),
      fc.boolean(),
    )
    .map(([one, isDos]) =>
      isDos ? { ...one, text: one.text.replaceAll(/\r?\n/gu, '\r\n') } : one,
    );
}

const hasSyntaxError = (text: string) =>
  splitText(text).some((piece) => parsePiece(piece.text).problems.length > 0);

describe('formatter', () => {
  it('keeps meaning, comments and line ends, is done after one pass, or refuses', patience, () => {
    const seen = { formatted: 0, refused: 0, dos: 0, comments: 0 };
    fc.assert(
      fc.property(document(), ({ text, isWhole }) => {
        const result = formatText(text);
        if (result.kind === 'refused') {
          seen.refused++;
          expect(isWhole).toBe(false);
          expect(hasSyntaxError(text)).toBe(true);
          expect(result.offset).toBeLessThanOrEqual(text.length);
          expect(result.why).not.toBe('');
          return;
        }
        seen.formatted++;
        seen.dos += text.includes('\r\n') ? 1 : 0;
        seen.comments += commentsOf(text).length > 0 ? 1 : 0;
        expect(hasSyntaxError(text)).toBe(false);
        expect(formatText(result.text)).toEqual(result);
        expect(commentsOf(result.text)).toEqual(commentsOf(text));
        expect(recordsOf(result.text)).toEqual(recordsOf(text));
        expect(/(?<!\r)\n/u.test(result.text)).toBe(
          result.text.includes('\n') && !text.includes('\r\n'),
        );
      }),
      runs,
    );
    // Each kind of document was among them, so that no law held for want of a case.
    const least = runs.numRuns / 20;
    expect(Math.min(...Object.values(seen))).toBeGreaterThan(least);
  });

  it('of a range touches only whole declarations, and changes no meaning', patience, () => {
    fc.assert(
      fc.property(document(), fc.nat(), fc.nat(), ({ text }, one, other) => {
        const file = new SourceFiles().read('a.ferrule', text);
        const [start, end] = [one % (text.length + 1), other % (text.length + 1)].sort(
          (left, right) => left - right,
        ) as [number, number];
        const after = applyChanges(text, formatRange(file, start, end));
        expect(commentsOf(after)).toEqual(commentsOf(text));
        expect(recordsOf(after)).toEqual(recordsOf(text));
        const untouched = file.pieces.filter(
          (piece) => piece.start > end || piece.start + piece.text.length < start,
        );
        untouched.forEach((piece) => expect(after).toContain(piece.text));
      }),
      runs,
    );
  });

  it('leaves a number with what is no unit in one piece', () => {
    const text = 'bus B : T {\n  land A.p 2e\n}\n';
    expect(formatText(text)).toEqual({ kind: 'formatted', text });
  });

  it('refuses where several slips of one line explain each other', () => {
    expect(formatText('bus B : T u}sing C {\n}\n').kind).toBe('refused');
    expect(formatText('{inment B "text" divided {\n').kind).toBe('refused');
  });

  it('refuses a text with a syntax error', () => {
    expect(formatText('device A : X {\n  lnad\n}\n')).toMatchObject({
      kind: 'refused',
      offset: 17,
    });
  });
});
