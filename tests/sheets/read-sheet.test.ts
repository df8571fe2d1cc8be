/** Sheets as other programs save them: workbooks of the pack, CSV of several countries, and what is none. */
import { describe, expect, it } from 'vitest';
import writeWorkbook from 'write-excel-file/node';
import { inProject } from '../../scripts/lib/root.mjs';
import { nodeFiles } from '../../src/disk/node-files.js';
import { workbookOf } from '../../src/print/workbook/workbook.js';
import { readSheets } from '../../src/sheets/read-sheet.js';
import { observationText } from '../../src/workbench/observation-lines.js';
import { packValueOf } from '../../src/workbench/outputs.js';
import { recordedObservations, recordSheets } from '../../src/workbench/record/record-sheet.js';
import { Workbench } from '../../src/workbench/workbench.js';

const bytes = (text: string) => new TextEncoder().encode(text);

describe('CSV', () => {
  it.each([
    ['commas', 'a,b\n1,"2,5"\n'],
    ['semicolons', 'a;b\r\n1;2,5\r\n'],
    ['tabs', 'a\tb\n1\t2,5\n'],
    ['a mark in front', '\ufeffa,b\n1,"2,5"\n'],
  ])('with %s gives the same cells', async (_name, text) => {
    const [sheet] = await readSheets(bytes(text));
    expect(sheet!.rows.slice(0, 2)).toEqual([
      ['a', 'b'],
      ['1', '2,5'],
    ]);
  });

  it('of old spreadsheets and in UTF-16 keeps its letters', async () => {
    const old = Uint8Array.from([0x52, 0xe9, 0x2c, 0x62, 0x0a]);
    expect((await readSheets(old))[0]!.rows[0]).toEqual(['Ré', 'b']);
    const wide = Buffer.concat([Buffer.from([0xff, 0xfe]), Buffer.from('Ré,b\n', 'utf16le')]);
    expect((await readSheets(wide))[0]!.rows[0]).toEqual(['Ré', 'b']);
  });

  it('keeps its rows where they are, empty ones too', async () => {
    const [sheet] = await readSheets(bytes('a,b\n\n1,2\n'));
    expect(sheet!.rows[2]).toEqual(['1', '2']);
  });

  it('whose quote is not closed is refused, since the rest would be one cell', async () => {
    await expect(readSheets(bytes('a,b\n1,"2\n3,4\n'))).rejects.toThrow('not closed');
  });
});

describe('a workbook', () => {
  it('of the pack, filled in and saved by a program, is read table by table', async () => {
    const files = nodeFiles({ base: inProject(), places: ['examples/library'] });
    const checked = new Workbench(files).check('examples/library/library.ferrule', '2026-11-25')!;
    const sheets = await readSheets(await workbookOf(packValueOf(checked)));
    const filled = sheets.map(({ name, rows }) => {
      const seen = rows[0]!.indexOf('seen');
      const date = rows[0]!.indexOf('date');
      return {
        sheet: name!,
        data: rows.map((row, at) => {
          const isFilled = at === 1 && /^Commissioning (?:finds|ohms|idle)$/u.test(name!);
          return row.map((cell, column) => {
            if (isFilled && column === seen) {
              return name!.endsWith('finds')
                ? { type: Number, value: 7 }
                : { type: String, value: '60,8' };
            }
            return isFilled && column === date
              ? { type: Date, value: new Date('2026-11-20T00:00:00Z'), format: 'dd/mm/yyyy' }
              : cell === ''
                ? null
                : { type: String, value: cell };
          });
        }),
      };
    });
    const read = await readSheets(
      await writeWorkbook(filled as Parameters<typeof writeWorkbook>[0]).toBuffer(),
    );
    const tables = recordSheets(
      checked.open,
      read.map(({ name, rows }) => ({ shown: name!, name: name!, rows })),
      '2026-11-25',
    );
    expect(tables.flatMap(({ wrong }) => wrong)).toEqual([]);
    expect(recordedObservations(tables).map(observationText)).toEqual([
      'observed central measures 60.8 ohm power-off on 2026-11-20',
      'observed central measures 60.8 mV idle on 2026-11-20',
      'observed GW-1 finds 7 on 2026-11-20',
    ]);
  });

  it('that is an archive of something else, or cut short, is refused', async () => {
    await expect(readSheets(bytes('PK\u0003\u0004 nothing'))).rejects.toThrow('no workbook');
    const files = nodeFiles({ base: inProject(), places: ['examples/library'] });
    const checked = new Workbench(files).check('examples/library/library.ferrule', '2026-11-25')!;
    const whole = await workbookOf(packValueOf(checked));
    await expect(readSheets(whole.subarray(0, whole.length / 2))).rejects.toThrow('no workbook');
  });
});
