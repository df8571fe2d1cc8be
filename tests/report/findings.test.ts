import { describe, expect, it } from 'vitest';
import type { LocatedFinding } from '../../src/model/located.js';
import { placeOf } from '../../src/model/origin.js';
import { findingsJson } from '../../src/report/findings-json.js';
import { findingsText } from '../../src/report/findings-text.js';
import { countsOf, inReportOrder } from '../../src/report/order.js';
import { coloured, plain } from '../../src/report/style.js';

const text = 'bus line-1 : Line {\n  land N-1.line 140 m\n}\n';

const tooLong: LocatedFinding = {
  finding: {
    rule: 'bus-too-long',
    severity: 'error',
    subject: 'line-1',
    at: placeOf('line-1', 'land/1/length'),
    what: 'line-1 has 140 m of cable; Line allows 100 m.',
    why: 'The signal is too weak at the far end.',
    remedy: 'Shorten it.',
    related: [{ at: placeOf('line-1', 'name'), message: 'the bus' }],
    facts: [{ fact: 'total-length', value: 140, unit: 'm' }],
    waived: null,
  },
  at: { file: 'b.ferrule', range: at(1, 16, 21) },
  related: [{ file: 'b.ferrule', range: at(0, 4, 10), message: 'the bus' }],
};
const waived: LocatedFinding = {
  ...tooLong,
  finding: {
    ...tooLong.finding,
    waived: {
      because: 'existing cable, tested',
      until: '2027-03-31',
      upTo: { value: 150, unit: 'm' },
    },
  },
};
const hint: LocatedFinding = {
  ...tooLong,
  finding: { ...tooLong.finding, rule: 'length-estimated', severity: 'hint', why: '' },
  at: { file: 'a.ferrule', range: at(3, 0, 4) },
  related: [],
};

describe('the order of findings', () => {
  it('is by file and place, and nothing stands twice', () => {
    const shuffled = [tooLong, hint, structuredClone(tooLong), waived];
    expect(inReportOrder(shuffled)).toEqual([hint, tooLong, waived]);
    expect(inReportOrder([...shuffled].reverse()).map((one) => one.at.file)).toEqual([
      'a.ferrule',
      'b.ferrule',
      'b.ferrule',
    ]);
  });

  it('counts what is accepted apart', () => {
    expect(countsOf([tooLong, hint, waived])).toEqual({
      error: 1,
      warning: 0,
      hint: 1,
      accepted: 1,
    });
  });
});

describe('findings as text', () => {
  const options = {
    style: plain,
    textOf: (file: string) => (file === 'b.ferrule' ? text : undefined),
    fileCount: 2,
    on: '2026-11-25',
  };

  it('say where, what, why, what to do, and show the place', () => {
    expect(findingsText([tooLong], options)).toBe(
      [
        'b.ferrule:2:17 error bus-too-long on line-1',
        '  line-1 has 140 m of cable; Line allows 100 m.',
        '  The signal is too weak at the far end.',
        '  Shorten it.',
        '  2 |   land N-1.line 140 m',
        '    |                 ^^^^^',
        '  see b.ferrule:1:5 the bus',
        '',
        '1 error, 0 warnings, 0 hints in 2 files, judged for 2026-11-25',
        '',
      ].join('\n'),
    );
  });

  it('give an accepted finding one line with its reason', () => {
    expect(findingsText([waived], options)).toBe(
      [
        'b.ferrule:2:17 bus-too-long on line-1 accepted up to 150 m until 2027-03-31 because "existing cable, tested"',
        '',
        '0 errors, 0 warnings, 0 hints, 1 accepted in 2 files, judged for 2026-11-25',
        '',
      ].join('\n'),
    );
  });

  it('do without an excerpt where there is no text', () => {
    expect(findingsText([hint], options)).not.toContain('|');
  });

  it('have colours only where they are asked for, and the same words', () => {
    const escape = new RegExp(`${String.fromCharCode(27)}\\[\\d+m`, 'gu');
    const colours = findingsText([tooLong, waived, hint], { ...options, style: coloured });
    expect(colours).toMatch(escape);
    expect(colours.replace(escape, '')).toBe(findingsText([tooLong, waived, hint], options));
  });

  it('let no name reach the terminal as a command', () => {
    const evil = '\u001b]0;title\u0007\u001b[2J';
    const finding = {
      ...tooLong,
      finding: { ...tooLong.finding, what: evil, rule: evil },
      at: { ...tooLong.at, file: `${evil}.ferrule` },
      related: [{ ...tooLong.related[0]!, message: evil }],
    };
    const waivedEvil = {
      ...waived,
      finding: { ...waived.finding, waived: { because: evil, until: evil, upTo: null } },
    };
    const shown = findingsText([finding, waivedEvil], { ...options, textOf: () => `x\n${evil}\n` });
    // Line ends are the only control characters left.
    expect(shown.replaceAll('\n', '')).not.toMatch(/\p{Cc}/u);
  });
});

describe('findings as JSON', () => {
  it('have exactly the promised keys, counted from 1', () => {
    expect(JSON.parse(findingsJson([tooLong, waived]))).toEqual({
      schemaVersion: 1,
      findings: [
        {
          rule: 'bus-too-long',
          severity: 'error',
          message:
            'line-1 has 140 m of cable; Line allows 100 m. The signal is too weak at the far end. Shorten it.',
          file: 'b.ferrule',
          line: 2,
          column: 17,
          endLine: 2,
          endColumn: 22,
          subject: 'line-1',
          related: [{ file: 'b.ferrule', line: 1, column: 5, message: 'the bus' }],
          facts: [{ fact: 'total-length', value: 140, unit: 'm' }],
          waived: null,
        },
        expect.objectContaining({
          waived: {
            because: 'existing cable, tested',
            until: '2027-03-31',
            upTo: { value: 150, unit: 'm' },
          },
        }),
      ],
    });
  });

  it('end with one line break and keep the order of keys', () => {
    const json = findingsJson([tooLong]);
    expect(json).toMatch(/^\{\n {2}"schemaVersion": 1,\n {2}"findings": \[/u);
    expect(json).toMatch(/[^\n]\n$/u);
    expect(Object.keys(JSON.parse(json).findings[0])).toEqual([
      'rule',
      'severity',
      'message',
      'file',
      'line',
      'column',
      'endLine',
      'endColumn',
      'subject',
      'related',
      'facts',
      'waived',
    ]);
  });

  it('never show the last bits of binary arithmetic', () => {
    const measured = {
      ...tooLong,
      finding: {
        ...tooLong.finding,
        facts: [
          { fact: 'total-length', value: 0.1 + 0.2, unit: 'm' },
          { fact: 'load', value: -0, unit: 'A' },
        ],
      },
    };
    const [first, second] = JSON.parse(findingsJson([measured])).findings[0].facts;
    expect(first.value).toBe(0.3);
    expect(Object.is(second.value, 0)).toBe(true);
  });
});

function at(line: number, from: number, to: number) {
  return { start: { line, character: from }, end: { line, character: to } };
}
