/** Sheets of the job pack, filled in as people fill them in. */
import fc from 'fast-check';
import Papa from 'papaparse';
import { describe, expect, it } from 'vitest';
import { memoryFiles } from '../../src/workbench/files.js';
import { mergeObservations, observationText } from '../../src/workbench/observation-lines.js';
import type { Observation } from '../../src/workbench/observation-lines.js';
import { packOf } from '../../src/workbench/outputs.js';
import { readDay, readReading } from '../../src/workbench/record/cells.js';
import { recordSheets } from '../../src/workbench/record/record-sheet.js';
import { Workbench } from '../../src/workbench/workbench.js';
import { unitOf } from '../../src/model/quantity.js';
import { nodeFiles } from '../../src/disk/node-files.js';
import { inProject } from '../../scripts/lib/root.mjs';

const TODAY = '2026-11-25';
const ROOT = 'examples/library/library.ferrule';
const workbench = new Workbench(nodeFiles({ base: inProject(), places: ['examples/library'] }));
const checked = workbench.check(ROOT, TODAY)!;
const pack = new Map(packOf(checked).map((file) => [file.path, file.text]));

type Cells = Record<string, string>;

/** A table of the pack as rows of cells by heading. */
function printed(table: string): { headings: string[]; rows: Cells[] } {
  const { data, meta } = Papa.parse<Cells>(pack.get(`data/commissioning-${table}.csv`)!, {
    header: true,
    skipEmptyLines: true,
  });
  return { headings: meta.fields!, rows: data };
}

function recorded(headings: readonly string[], rows: readonly Cells[], name = 'sheet.csv') {
  const grid = [[...headings], ...rows.map((row) => headings.map((one) => row[one] ?? ''))];
  return recordSheets(checked.open, [{ shown: name, name, rows: grid }], TODAY)[0]!;
}

const textsOf = (observations: readonly Observation[]) => observations.map(observationText);

describe('a sheet of the pack', () => {
  it('counts: missing cells, further columns and reordered rows lose nothing', () => {
    const { headings, rows } = printed('finds');
    const filled = rows.map((row, index) => ({
      ...row,
      seen: index === 1 ? '' : index === 0 ? ' 7 ' : row['must find']!,
      date: index === 0 ? '20.11.2026' : index === 2 ? '' : '2026-11-21',
      initials: 'AB',
      remark: index === 0 ? 'one is slow' : '',
    }));
    const table = recorded(['remark', ...headings.toReversed()], filled.toReversed());
    expect(table.wrong).toEqual([]);
    expect(table.blank).toBe(1);
    expect(table.undated).toBe(1);
    expect(table.unread.toSorted()).toEqual(['initials', 'remark']);
    expect(table.revisions).toEqual(['C']);
    const expected = filled
      .filter(({ seen }) => seen !== '')
      .map(
        (row: Cells) =>
          `observed ${row['controller']} finds ${row['seen']!.trim()} on ${row['date'] === '20.11.2026' ? '2026-11-20' : row['date'] || TODAY}`,
      );
    expect(textsOf(table.observations).toSorted()).toEqual(expected.toSorted());
  });

  it('readings: decimal comma, units behind the number, other units of the same kind', () => {
    const ohms = printed('ohms');
    const seen = ['60,8', '61 ohm', '0.0605 kΩ'];
    const table = recorded(
      ohms.headings,
      ohms.rows.map((row, index) => ({ ...row, seen: seen[index]!, date: TODAY })),
    );
    expect(table.wrong).toEqual([]);
    expect(textsOf(table.observations)).toEqual([
      `observed central measures 60.8 ohm power-off on ${TODAY}`,
      `observed line-1 measures 61 ohm power-off on ${TODAY}`,
      `observed line-2 measures 60.5 ohm power-off on ${TODAY}`,
    ]);
    const idle = printed('idle');
    const volts = recorded(
      idle.headings,
      idle.rows.map((row, index) => ({ ...row, seen: ['269', '0,267 V', "'-12 mV"][index]! })),
    );
    expect(textsOf(volts.observations)).toEqual([
      `observed central measures 269 mV idle on ${TODAY}`,
      `observed line-1 measures 267 mV idle on ${TODAY}`,
      `observed line-2 measures -12 mV idle on ${TODAY}`,
    ]);
    const inlets = printed('voltages');
    const first: Cells = { ...inlets.rows[0]!, seen: '229,5', ok: 'x' };
    expect(textsOf(recorded(inlets.headings, [first]).observations)).toEqual([
      `observed ${first['measure at']} measures 229.5 V on ${TODAY}`,
    ]);
  });

  it('addresses: what was missed is kept, what was seen needs no line', () => {
    const { headings, rows } = printed('addresses');
    const filled = rows.slice(0, 5).map((row, index) => ({
      ...row,
      seen: ['yes', row['address']!, 'no', '99', ''][index]!,
      ok: index === 4 ? '✓' : '',
    }));
    const table = recorded(headings, filled);
    expect(table.confirmed).toBe(3);
    expect(textsOf(table.observations)).toEqual([
      `observed ${rows[2]!['controller']} misses ${rows[2]!['shown as']} on ${TODAY}`,
    ]);
    expect(table.wrong).toEqual([
      { row: 5, message: expect.stringContaining(`Address 99 was shown where`) as string },
    ]);
  });

  it('pages open or fail with what the browser said', () => {
    const { headings, rows } = printed('pages');
    const seen = (cells: Cells) =>
      textsOf(recorded(headings, [{ ...rows[0]!, ...cells }]).observations);
    const page = `observed ${rows[0]!['host']} page`;
    expect(seen({ ok: 'x', seen: 'warning, fingerprint compared' })).toEqual([
      `${page} opens on ${TODAY}`,
    ]);
    expect(seen({ seen: 'opens' })).toEqual([`${page} opens on ${TODAY}`]);
    expect(seen({ seen: 'says "expired"' })).toEqual([
      `${page} fails "says 'expired'" on ${TODAY}`,
    ]);
  });

  it('lists each wrong row with its number, why, and what to do', () => {
    const { headings, rows } = printed('finds');
    const filled: Cells[] = [
      { ...rows[0]!, seen: 'all' },
      { ...rows[1]!, seen: '2', date: '03/04/2026' },
      { ...rows[1]!, seen: '2', date: '2026-12-24' },
      { ...rows[1]!, seen: '2', date: '31.2.2026' },
      { ...rows[1]!, controller: 'WP-F11', seen: '2' },
      { ...rows[1]!, controller: '', seen: '2' },
      { ...rows[2]!, seen: '', ok: 'x' },
      { ...rows[3]!, seen: '1' },
      { ...rows[3]!, seen: '0' },
    ];
    const { wrong, observations } = recorded(headings, filled);
    expect(wrong.map(({ row, message }) => [row, message.slice(0, 44)])).toEqual([
      [2, '"all" is no count, and a controller finds a '],
      [3, '"03/04/2026" can be two days, since day and '],
      [4, '2026-12-24 is still to come; today is 2026-1'],
      [5, '"31.2.2026" is no date. Write year, month an'],
      [6, 'The site has no "WP-F11". Did you mean WP-F1'],
      [7, 'The cell under "controller" is empty, so nob'],
      [8, 'It is ticked as ok, but nothing stands under'],
      [10, 'Row 9 of the same sheet says something else '],
    ]);
    expect(observations).toHaveLength(1);
  });

  it('is known by its headings, below titles that somebody put on top', () => {
    const { headings, rows } = printed('finds');
    const grid = [['Our site'], [], headings, headings.map((one) => rows[0]![one]!)];
    grid[3]![headings.indexOf('seen')] = '8';
    const [table] = recordSheets(
      checked.open,
      [
        { shown: 'a', name: 'a', rows: grid },
        { shown: 'b', name: 'b', rows: [['a', 'b']] },
      ],
      TODAY,
    );
    expect(textsOf(table!.observations)).toEqual([
      `observed ${rows[0]!['controller']} finds 8 on ${TODAY}`,
    ]);
  });
});

describe('cells', () => {
  it.each([
    ['60,8', 60.8],
    ['60.8 Ohm', 60.8],
    ['1 kOhm', 1000],
    ['1,5', 1.5],
    ['\u221212', -12],
    ['0,125', 0.125],
  ])('%j is the reading %d', (cell, value) => {
    expect(readReading(cell, unitOf('ohm')!)).toEqual({ value });
  });

  it.each(['OL', '', '1,234', '12,500 ohm', '60 V', '60 parsecs', '1/2', '60 61'])(
    '%j is no reading in ohms',
    (cell) => {
      expect(readReading(cell, unitOf('ohm')!)).toHaveProperty('wrong');
    },
  );

  it('every day of many years is read in each unmistakable way, as the calendar has it', () => {
    fc.assert(
      fc.property(
        fc.date({ min: new Date('2000-01-01'), max: new Date('2026-11-25'), noInvalidDate: true }),
        (date) => {
          const iso = date.toISOString().slice(0, 10);
          const [year, month, day] = iso.split('-').map(Number) as [number, number, number];
          const ways = [
            iso,
            `${day}.${month}.${year}`,
            `${iso.slice(8)}.${iso.slice(5, 7)}.${year}`,
          ];
          if (day > 12) {
            ways.push(`${day}/${month}/${year}`, `${month}/${day}/${year}`);
          }
          ways.forEach((way) => expect(readDay(way, TODAY)).toEqual({ value: iso }));
          if (day <= 12 && day !== month) {
            expect(readDay(`${day}/${month}/${year}`, TODAY)).toHaveProperty('wrong');
          }
        },
      ),
      { numRuns: 1000 },
    );
  });
});

describe('merging observations into a text', () => {
  const names = fc.constantFrom('A-1', 'B-2.supply', 'C-3');
  const seen = fc.oneof(
    fc.record({ how: fc.constant('finds' as const), count: fc.nat(200) }),
    fc.record({ how: fc.constant('misses' as const), device: names }),
    fc.record({ how: fc.constant('page-opens' as const) }),
    fc.record({
      how: fc.constant('page-fails' as const),
      text: fc.constantFrom('expired', 'two words'),
    }),
    fc.record({
      how: fc.constant('measures' as const),
      value: fc.integer({ min: -9999, max: 99_999 }).map((number) => number / 1000),
      unit: fc.constant('V'),
      state: fc.constant('idle' as const),
    }),
  );
  const observations = fc.array(
    fc.record({
      kind: fc.constant('observed' as const),
      subject: names,
      seen,
      on: fc.constantFrom('2026-11-20', '2026-11-21'),
    }),
    { maxLength: 6 },
  );
  const scraps = fc.array(
    fc.constantFrom(
      'device X : Y { address 1 }',
      '// a remark of somebody',
      '/// about what follows',
      '',
      '  // indented',
      'observed A-1 finds 3 on 2026-11-19   // before lunch',
      'observed C-3 page opens on 2026-11-20',
      'zone Z {\n  unit A\n}',
    ),
    { maxLength: 8 },
  );

  it('keeps every byte and its order, adds each line once, and reads back what was meant', () => {
    fc.assert(
      fc.property(
        scraps,
        observations,
        fc.constantFrom('\n', '\r\n'),
        fc.boolean(),
        (lines, seenNow, newline, endsWithNewline) => {
          const text = [lines.join('\n'), ...(endsWithNewline && lines.length > 0 ? [''] : [])]
            .join('\n')
            .replaceAll('\n', newline);
          const merged = mergeObservations(text, seenNow, []);
          // What was there is what is left when the added lines are taken out again.
          const left = merged.text.split(/\r?\n/u);
          if (text.includes('\r\n')) {
            expect(merged.text).not.toMatch(/[^\r]\n/u);
          }
          merged.added.forEach((line) => left.splice(left.lastIndexOf(line), 1));
          const content = (all: readonly string[]) => all.filter((line) => line !== '');
          expect(content(left)).toEqual(content(text.split(/\r?\n/u)));
          const again = mergeObservations(merged.text, seenNow, []);
          expect(again.text).toBe(merged.text);
          expect(again.added).toEqual([]);
          const wanted = new Set(seenNow.map(observationText));
          expect(new Set([...merged.added, ...merged.known])).toEqual(wanted);
        },
      ),
      { numRuns: 1000 },
    );
  });

  it('writes lines that the language reads as they were meant', () => {
    fc.assert(
      fc.property(observations, (all) => {
        const text = all.map((one) => `${observationText(one)}\n`).join('');
        const open = new Workbench(memoryFiles({ 'a.ferrule': text })).open('a.ferrule');
        expect('failed' in open ? [] : open.site.observations.map(({ record }) => record)).toEqual(
          all,
        );
      }),
      { numRuns: 1000 },
    );
  });
});
