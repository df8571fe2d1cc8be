/** CSV as other programs read it. Quoting: RFC 4180. What starts a formula: common practice (= + - @ and control characters). */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  count,
  numberColumn,
  quantity,
  tableOf,
  textColumn,
} from '../../src/documents/document.js';
import type { Document } from '../../src/documents/document.js';
import { harmless, renderCsv } from '../../src/documents/render/csv.js';
import { PYTHON_INSTALL, pythonIsInstalled, runPython } from '../support/python.js';
import { plainFrame } from './frame.js';

const STARTS_FORMULA = /^[\s\u00a0]*[=+\-@＝＋－＠]|^[\t\r\n]/u;

/** Texts that break careless writers, mixed with arbitrary ones. */
const texts = fc.oneof(
  fc.string({ unit: 'binary', maxLength: 20 }),
  fc.constantFrom(
    '=1+1',
    '+cmd',
    '-2',
    '@SUM(A1)',
    ' =1',
    '\t=1',
    '\r=1',
    '\n=1',
    'a;=1+1',
    'a\t@x',
    '"',
    '""',
    'a"b',
    'a,b',
    'a\nb',
    'a\r\nb',
    ' a ',
    'غرفة',
    'חדר, 3',
    '👷🏽‍♀️ lift',
    'é',
    '',
    "'=1",
    '＝1',
  ),
);

describe('harmless text', () => {
  it('never starts a formula, and changes nothing else', () => {
    fc.assert(
      fc.property(texts, (text) => {
        const safe = harmless(text);
        expect(STARTS_FORMULA.test(safe)).toBe(false);
        for (const part of safe.split(/[;\t\r\n]/u).slice(1)) {
          expect(/^[ \u00a0]*[=+\-@＝＋－＠]/u.test(part)).toBe(false);
        }
        expect(safe.replaceAll("'", '')).toBe(text.replaceAll("'", ''));
      }),
      { numRuns: 5000 },
    );
  });

  it.each([
    ['=1+1', "'=1+1"],
    ['plain', 'plain'],
    ['a-b', 'a-b'],
    ['FC-1-01', 'FC-1-01'],
    [' =1', "' =1"],
    ['a;=1', "a;'=1"],
    ['\u200e=1', "'\u200e=1"],
  ])('%j becomes %j', (text, expected) => {
    expect(harmless(text)).toBe(expected);
  });
});

describe('CSV', () => {
  it('gives back every text as it was made harmless, by a reader of its own', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(texts, texts), { minLength: 1, maxLength: 4 }), (rows) => {
        const parsed = parseCsv(csvOf(rows));
        expect(parsed.slice(1)).toEqual(
          rows.map(([one, other]) => [
            harmless(one),
            harmless(other),
            plainFrame.revision,
            plainFrame.status,
          ]),
        );
      }),
      { numRuns: 2000 },
    );
  });

  it.skipIf(!pythonIsInstalled())(
    `is read the same by Python's csv module (${PYTHON_INSTALL})`,
    () => {
      // Python's reader refuses the null character, and JSON carries no lone surrogates.
      const samples = fc.sample(
        fc
          .tuple(texts, texts)
          .filter((pair) => pair.every((text) => !/\p{Surrogate}|\0/u.test(text))),
        { numRuns: 1000, seed: 7 },
      );
      const read = runPython(
        [
          'import csv, io, json, sys',
          'text = json.load(sys.stdin)',
          'print(json.dumps(list(csv.reader(io.StringIO(text, newline="")))))',
        ].join('\n'),
        csvOf(samples),
      );
      expect((read as string[][]).slice(1).map((row) => row.slice(0, 2))).toEqual(
        samples.map((pair) => pair.map(harmless)),
      );
    },
  );

  it('puts a number alone in its cell, its unit into the heading, its basis beside it', () => {
    const table = tableOf<number>(
      'numbers',
      '',
      [
        numberColumn('length', 'm', (value) => quantity(value, 'm', 'estimated', 2)),
        numberColumn('size', undefined, (value) => quantity(value, 'mm2', 'stated')),
        numberColumn('pieces', '', () => count(3)),
      ],
      [-1.5, 1200],
    );
    expect(renderCsv(documentWith(table), plainFrame)[0]?.text).toBe(
      [
        'length m,length basis,size,size unit,size basis,pieces,pieces basis,revision,status',
        '-1.5,estimated,-1.5,mm2,stated,3,computed,A,Preliminary',
        '1200,estimated,1200,mm2,stated,3,computed,A,Preliminary',
        '',
      ].join('\n'),
    );
  });

  it('joins tables of one name into one file', () => {
    const part = (text: string) =>
      tableOf('rows', '', [textColumn<string>('text', (one) => one)], [text]);
    const document = documentWith(part('one'), part('two'));
    expect(renderCsv(document, plainFrame).map(({ name, text }) => [name, text])).toEqual([
      ['rows', 'text,revision,status\none,A,Preliminary\ntwo,A,Preliminary\n'],
    ]);
  });
});

function csvOf(rows: readonly (readonly [string, string])[]): string {
  const table = tableOf<readonly [string, string]>(
    'texts',
    '',
    [textColumn('one', ([one]) => one), textColumn('other', ([, other]) => other)],
    rows,
  );
  return renderCsv(documentWith(table), plainFrame)[0]?.text ?? '';
}

function documentWith(...blocks: Document['introduction']): Document {
  return { id: 'd', title: 'D', orientation: 'portrait', introduction: blocks, sections: [] };
}

/** A reader by RFC 4180, written apart from the writer. */
function parseCsv(text: string): string[][] {
  const rows: string[][] = [[]];
  let field = '';
  let at = 0;
  const end = () => {
    rows.at(-1)!.push(field);
    field = '';
  };
  while (at < text.length) {
    if (text[at] === '"') {
      for (at += 1; !(text[at] === '"' && text[at + 1] !== '"'); at += 1) {
        if (text[at] === '"') {
          at += 1;
        }
        field += text[at];
      }
      at += 1;
    } else if (text[at] === ',') {
      end();
      at += 1;
    } else if (text[at] === '\n') {
      end();
      rows.push([]);
      at += 1;
    } else {
      field += text[at];
      at += 1;
    }
  }
  return rows.slice(0, -1);
}
