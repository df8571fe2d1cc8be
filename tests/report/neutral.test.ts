import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { columnsOf, neutralised, padded } from '../../src/report/neutral.js';

describe('text for a terminal', () => {
  it('keeps words of any script', () => {
    expect(neutralised('Straße, Öl 5 °C, 会議室')).toBe('Straße, Öl 5 °C, 会議室');
  });

  it('shows what would change colours, move the cursor or start a new line', () => {
    expect(neutralised('a\u001b[31mb')).toBe('a␛[31mb');
    expect(neutralised('a\r\nb\u0007')).toBe('a␍␊b␇');
    expect(neutralised('a\u009b31mb')).toBe('a\ufffd31mb');
    expect(neutralised('a\u007f\u2028')).toBe('a␡\ufffd');
  });

  it('takes away what turns the reading direction', () => {
    expect(neutralised('a\u202egpj.exe\u2066')).toBe('a\ufffdgpj.exe\ufffd');
  });

  it('leaves no control character and moves nothing, whatever the text', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 40 }), (text) => {
        const shown = neutralised(text);
        expect(shown).not.toMatch(/[\p{Cc}\p{Zl}\p{Zp}\u202a-\u202e\u2066-\u2069]/u);
        expect(shown.length).toBe(text.length);
      }),
      { numRuns: 1000 },
    );
  });

  it('counts two columns for wide characters and none for marks on others', () => {
    expect(columnsOf('abc')).toBe(3);
    expect(columnsOf('会議')).toBe(4);
    expect(columnsOf('e\u0301')).toBe(1);
    expect(padded('会', 4)).toBe('会  ');
  });
});
