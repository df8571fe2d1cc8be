/**
 * The pack as one XLSX workbook.
 *
 * Every text is written as a text and in the format of texts, so that no cell is a formula and none
 * becomes one when somebody edits it.
 */
import { unzipSync, zipSync } from 'fflate';
import type { Zippable } from 'fflate';
import writeWorkbook from 'write-excel-file/node';
import type { CellObject, Feature, Options, Row } from 'write-excel-file/node';
import type { Frame } from '../../documents/document.js';
import type { Pack } from '../../documents/pack.js';
import { printTexts } from '../texts.js';
import { sheetsOf } from './sheets.js';
import type { Sheet, SheetCell } from './sheets.js';

/** The bytes of the workbook; the same for the same pack. */
export async function workbookOf(pack: Pack): Promise<Uint8Array> {
  const sheets = sheetsOf(pack);
  const written = await writeWorkbook(
    sheets.map((sheet) => ({
      sheet: sheet.name,
      data: [headingRow(sheet), ...sheet.rows.map((row) => row.map(cellOf))],
      columns: widthsOf(sheet).map((width) => ({ width })),
      stickyRowsCount: 1,
      orientation: 'landscape' as const,
    })),
    { fontFamily: 'Arial', fontSize: 10, features: [filters(sheets, pack.frame)] },
  ).toBuffer();
  return withoutClock(written);
}

/** What the library takes as content of a file; here it is only ever text. */
type FileContent = Parameters<typeof writeWorkbook>[1] extends Options<infer Content> | undefined
  ? Content
  : never;

/** The most characters that a cell of a spreadsheet takes. */
const LONGEST_TEXT = 32_767;

const TEXT = { type: String, format: '@', wrap: true, alignVertical: 'top' } as const;

function headingRow(sheet: Sheet): Row {
  return sheet.headings.map((heading): CellObject => ({
    ...TEXT,
    value: safeText(heading),
    fontWeight: 'bold',
    backgroundColor: '#E4E8EC',
  }));
}

function cellOf(cell: SheetCell): CellObject | null {
  if (cell === undefined || cell === '') {
    return null;
  }
  if (typeof cell === 'string') {
    return { ...TEXT, value: safeText(cell) };
  }
  return {
    type: Number,
    value: cell.number,
    format: cell.digits === 0 ? '0' : `0.${'#'.repeat(cell.digits)}`,
    alignVertical: 'top',
  };
}

/** What XML cannot hold is replaced; `_x0041_` is no escape when a person wrote it (ECMA-376, 22.9.2.19). */
function safeText(text: string): string {
  return text
    .replace(/[^\t\n\r\u0020-\uD7FF\uE000-\uFFFD\u{10000}-\u{10FFFF}]/gu, '\uFFFD')
    .replace(/_(?=x[0-9A-Fa-f]{4}_)/gu, '_x005F_')
    .slice(0, LONGEST_TEXT);
}

/** Widths in characters: room for most of what stands in a column, within reason. */
function widthsOf({ headings, rows }: Sheet): readonly number[] {
  return headings.map((heading, index) => {
    const lengths = rows.map((row) => shownLength(row[index])).sort((one, other) => one - other);
    const usual = lengths[Math.floor((lengths.length - 1) * 0.95)] ?? 0;
    return Math.min(60, Math.max(6, Math.min(heading.length, 14) + 2, usual + 2));
  });
}

function shownLength(cell: SheetCell): number {
  return cell === undefined ? 0 : typeof cell === 'string' ? cell.length : 8;
}

/** A filter over each table, its heading on each printed page, the page as wide as the paper. */
function filters(sheets: readonly Sheet[], frame: Frame): Feature<FileContent> {
  const range = ({ headings, rows }: Sheet): string =>
    `A1:${columnLetters(headings.length - 1)}${rows.length + 1}`;
  return {
    files: {
      transform: {
        'xl/worksheets/sheet{id}.xml': {
          transform: (xml, _options, { sheetIndex }) =>
            [
              (text: string) =>
                after(text, '</sheetData>', `<autoFilter ref="${range(sheets[sheetIndex]!)}"/>`),
              (text: string) =>
                after(text, /<pageSetup [^>]*\/>/u, pageMarks(frame)).replace(
                  '<pageSetup ',
                  '<pageSetup fitToWidth="1" fitToHeight="0" ',
                ),
              (text: string) =>
                after(
                  text,
                  /<worksheet [^>]*>/u,
                  '<sheetPr><pageSetUpPr fitToPage="1"/></sheetPr>',
                ),
            ].reduce((text, change) => change(text), xml),
        },
        'xl/workbook.xml': {
          transform: (xml) =>
            xml.replace(
              /<definedNames\s*\/>/u,
              () => `<definedNames>${definedNames(sheets, range)}</definedNames>`,
            ),
        },
      },
    },
  };
}

/** Who the sheet belongs to and what it may be used for, on each printed page (ECMA-376, 18.3.1.46). */
function pageMarks(frame: Frame): string {
  const left = [
    frame.site,
    printTexts.drawing(frame.drawing),
    printTexts.revision(frame.revision),
  ].filter((text) => text !== '');
  const header = `&amp;L${coded(left.join(' · '))}&amp;R${coded(frame.status)}`;
  return `<headerFooter><oddHeader>${header}</oddHeader><oddFooter>&amp;L&amp;A&amp;R&amp;P / &amp;N</oddFooter></headerFooter>`;
}

/** Text of a header: an ampersand in it is doubled, then all of it escaped for XML. */
function coded(text: string): string {
  return escaped(safeText(text).slice(0, 100).replaceAll('&', '&&'));
}

function definedNames(sheets: readonly Sheet[], range: (sheet: Sheet) => string): string {
  return sheets
    .flatMap((sheet, index) => {
      const name = escaped(`'${sheet.name.replaceAll("'", "''")}'`);
      const area = range(sheet).replace(/[A-Z]+|\d+/gu, (part) => `$${part}`);
      return [
        `<definedName name="_xlnm._FilterDatabase" localSheetId="${index}" hidden="1">${name}!${area}</definedName>`,
        `<definedName name="_xlnm.Print_Titles" localSheetId="${index}">${name}!$1:$1</definedName>`,
      ];
    })
    .join('');
}

function escaped(text: string): string {
  return text
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;');
}

/** Puts markup behind what must be there: a library that writes otherwise must not go unnoticed. */
function after(xml: string, anchor: string | RegExp, markup: string): string {
  const found = typeof anchor === 'string' ? anchor : anchor.exec(xml)?.[0];
  const at = found === undefined ? -1 : xml.indexOf(found);
  if (found === undefined || at < 0) {
    throw new Error(`The workbook has no ${String(anchor)}.`);
  }
  return xml.slice(0, at + found.length) + markup + xml.slice(at + found.length);
}

/** `A` for 0, `AA` for 26. */
function columnLetters(index: number): string {
  const letter = String.fromCharCode(65 + (index % 26));
  return index < 26 ? letter : columnLetters(Math.floor(index / 26) - 1) + letter;
}

/** The archive again with one date on every file, because the library writes the time of the day. */
function withoutClock(archive: Uint8Array): Uint8Array {
  const files = unzipSync(archive);
  const zippable: Zippable = {};
  for (const name of Object.keys(files).sort()) {
    zippable[name] = files[name]!;
  }
  return zipSync(zippable, { mtime: new Date(1980, 0, 1), level: 6 });
}
