import { describe, expect, it } from 'vitest';
import { excerptOf } from '../../src/report/excerpt.js';

function range(line: number, from: number, toLine: number, to: number) {
  return { start: { line, character: from }, end: { line: toLine, character: to } };
}

describe('the excerpt of a finding', () => {
  const text = 'one\n  land ZC-1.field 9 m\r\nthree';

  it('stands under the marked words', () => {
    expect(excerptOf(text, range(1, 7, 1, 17))).toEqual({
      lineNumber: 2,
      line: '  land ZC-1.field 9 m',
      carets: '       ^^^^^^^^^^',
    });
  });

  it('marks the rest of the line where the place goes on below', () => {
    expect(excerptOf(text, range(1, 18, 2, 2))?.carets).toBe(`${' '.repeat(18)}^^^`);
  });

  it('marks one column where the place is empty or behind the end', () => {
    expect(excerptOf(text, range(2, 5, 2, 5))?.carets).toBe('     ^');
    expect(excerptOf(text, range(2, 40, 2, 50))?.carets).toBe('     ^');
  });

  it('is missing where the text no longer has the line', () => {
    expect(excerptOf(text, range(9, 0, 9, 1))).toBeUndefined();
  });

  it('counts columns, not characters', () => {
    const wide = 'room "会議室" bad';
    expect(excerptOf(wide, range(0, 11, 0, 14))).toEqual({
      lineNumber: 1,
      line: wide,
      carets: '              ^^^',
    });
  });

  it('shows tabs and control characters as one column', () => {
    expect(excerptOf('\tland\u001b X', range(0, 7, 0, 8))).toEqual({
      lineNumber: 1,
      line: ' land␛ X',
      carets: '       ^',
    });
  });

  it('cuts long lines on both sides of the place', () => {
    const long = `${'a'.repeat(300)}HERE${'b'.repeat(300)}`;
    const excerpt = excerptOf(long, range(0, 300, 0, 304))!;
    expect(excerpt.line.length).toBeLessThanOrEqual(102);
    expect(excerpt.line).toMatch(/^….*HERE.*…$/u);
    const start = excerpt.carets.indexOf('^');
    expect(excerpt.line.slice(start, start + excerpt.carets.trim().length)).toBe('HERE');
  });

  it('never cuts a character in half', () => {
    const long = '😀'.repeat(200);
    expect(excerptOf(long, range(0, 201, 0, 203))?.line).not.toMatch(/\p{Surrogate}/u);
  });
});
