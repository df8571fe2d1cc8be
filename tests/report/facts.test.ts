import { describe, expect, it } from 'vitest';
import type { Fact } from '../../src/model/finding.js';
import { factsJson } from '../../src/report/facts-json.js';
import { explainedFactText, factsText } from '../../src/report/facts-text.js';
import { plain } from '../../src/report/style.js';

const length: Fact = {
  subject: 'line-1',
  fact: 'total-length',
  value: 40,
  unit: 'm',
  limit: 100,
  margin: 0.6,
  basis: 'computed',
  source: 'common practice: cable lengths added',
  terms: [{ name: 'M-1.line to N-1.line', value: 40, unit: 'm', basis: 'stated' }],
};
const scan: Fact = {
  subject: 'line-1',
  fact: 'scan-time',
  value: null,
  unit: 's',
  basis: 'unknown',
  needs: 'bustype Line { signal rs485 { rate 9600 baud } }',
  terms: [],
};
const found: Fact = {
  subject: 'M-1',
  fact: 'found-units',
  value: ['N-1', 'N-2'],
  unit: '',
  basis: 'computed',
  terms: [],
};
const leak: Fact = {
  ...length,
  fact: 'voltage-drop',
  value: 0.012345,
  unit: '%',
  basis: 'assumed',
};

describe('facts as JSON', () => {
  it('are one flat list with exactly the promised keys', () => {
    expect(JSON.parse(factsJson([length, scan, found]))).toEqual({
      schemaVersion: 1,
      facts: [
        {
          subject: 'line-1',
          fact: 'total-length',
          value: 40,
          unit: 'm',
          limit: 100,
          margin: 0.6,
          basis: 'computed',
          source: 'common practice: cable lengths added',
          terms: [{ name: 'M-1.line to N-1.line', value: 40, unit: 'm', basis: 'stated' }],
        },
        {
          subject: 'line-1',
          fact: 'scan-time',
          value: null,
          unit: 's',
          basis: 'unknown',
          needs: 'bustype Line { signal rs485 { rate 9600 baud } }',
          terms: [],
        },
        {
          subject: 'M-1',
          fact: 'found-units',
          value: ['N-1', 'N-2'],
          unit: '',
          basis: 'computed',
          terms: [],
        },
      ],
    });
  });
});

describe('facts as text', () => {
  it('stand under their subjects with limit, margin and what would make them known', () => {
    expect(factsText([length, scan, found, leak], plain)).toBe(
      [
        'line-1',
        '  total-length  40 m      limit 100 m, margin 60 %',
        '  scan-time     unknown   would be known with: bustype Line { signal rs485 { rate 9600 baud } }',
        '',
        'M-1',
        '  found-units   N-1, N-2',
        '',
        'line-1',
        '  voltage-drop  0.0123 %  limit 100 %, margin 60 %, assumed',
        '',
      ].join('\n'),
    );
  });

  it('say so where nothing is computed', () => {
    expect(factsText([], plain)).toMatch(/^Nothing is computed/u);
  });

  it('show the working of one of them', () => {
    expect(explainedFactText(length, 'the sum of all cables', plain)).toBe(
      [
        'line-1.total-length = 40 m  (limit 100 m, margin 60 %)',
        '',
        'Formula  the sum of all cables',
        'Basis    computed',
        'Source   common practice: cable lengths added',
        '',
        'Terms',
        '  M-1.line to N-1.line  40 m  stated',
        '',
      ].join('\n'),
    );
  });

  it('let no name reach the terminal as a command', () => {
    const evil = '\u001b[2J';
    const fact: Fact = {
      ...length,
      subject: evil,
      value: evil,
      needs: evil,
      source: evil,
      terms: [{ name: evil, value: evil, unit: '', basis: 'unknown' }],
    };
    const shown = factsText([fact], plain) + explainedFactText(fact, evil, plain);
    expect(shown.replaceAll('\n', '')).not.toMatch(/\p{Cc}/u);
  });
});
