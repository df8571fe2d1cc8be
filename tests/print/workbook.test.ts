/** The workbook, read back by another program: Python's own zip and XML readers. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { isPhrase, tablesOf } from '../../src/documents/document.js';
import { packValue } from '../../src/documents/pack.js';
import type { Pack } from '../../src/documents/pack.js';
import { sheetsOf } from '../../src/print/workbook/sheets.js';
import { workbookOf } from '../../src/print/workbook/workbook.js';
import { libraryText } from '../documents/library.js';
import { runPython } from '../support/python.js';
import { siteOf } from '../support/site.js';

const evil = `=HYPERLINK('a',1)|<b>|غرفة ⟨3⟩|@x|👷🏽|_x0041_|5 & 6`;
const text = libraryText
  .replace('"Millrace Community Library"', `"${evil}"`)
  .replace('"Touch panel"', `"${evil}"`)
  .replace('room Studio at', `room Studio "-1+1" at`);

interface ReadSheet {
  readonly name: string;
  readonly frozenRows: number;
  readonly filter: string;
  readonly formulas: number;
  /** Text or number of each cell, by its address. */
  readonly cells: Readonly<Record<string, string | number>>;
}

const folder = mkdtempSync(path.join(os.tmpdir(), 'ferrule-workbook-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('the workbook of a pack', () => {
  const pack = packOfText(text);
  let bytes: Uint8Array;
  let sheets: readonly ReadSheet[];

  beforeAll(async () => {
    bytes = await workbookOf(pack);
    const file = path.join(folder, 'pack.xlsx');
    writeFileSync(file, bytes);
    sheets = runPython(READER, file) as ReadSheet[];
  });

  it('is the same bytes for the same pack', async () => {
    expect(Buffer.compare(await workbookOf(packOfText(text)), bytes)).toBe(0);
  });

  it('has at least one sheet for each document, and no name twice', () => {
    expect(sheets.length).toBe(sheetsOf(pack).length);
    expect(new Set(sheets.map(({ name }) => name.toLowerCase())).size).toBe(sheets.length);
    for (const document of pack.documents) {
      const tables = tablesOf(document);
      expect(
        tables.length === 0 ||
          tables.every(({ name }) =>
            sheets.some((sheet) => sheet.name.toLowerCase() === name.replaceAll('-', ' ')),
          ),
        document.id,
      ).toBe(true);
    }
  });

  it('freezes the heading of each sheet and filters all of it', () => {
    for (const { name, frozenRows, filter, cells } of sheets) {
      expect(frozenRows, name).toBe(1);
      const rows = Math.max(...Object.keys(cells).map((at) => Number(/\d+$/u.exec(at)![0])));
      expect(filter, name).toMatch(/^A1:[A-Z]+\d+$/u);
      expect(Number(/\d+$/u.exec(filter)![0]), name).toBeGreaterThanOrEqual(rows);
    }
  });

  it('holds no formula, whatever a person wrote', () => {
    expect(sheets.map(({ formulas }) => formulas)).toEqual(sheets.map(() => 0));
  });

  it('keeps every text as written and every number as a number', () => {
    const all = sheets.flatMap(({ cells }) => Object.values(cells));
    expect(all.filter((cell) => cell === evil.replace('_x', '_x005F_x')).length).toBeGreaterThan(1);
    expect(all).toContain('Level1 / Studio'.replace('Studio', '-1+1'));
    for (const document of pack.documents) {
      for (const table of tablesOf(document)) {
        const sheet = sheets.find(
          ({ name }) => name.toLowerCase() === table.name.replaceAll('-', ' '),
        )!;
        const numbers = Object.values(sheet.cells).filter((cell) => typeof cell === 'number');
        for (const [index, column] of table.columns.entries()) {
          for (const row of table.rows) {
            const cell = row[index];
            if (
              column.kind === 'number' &&
              column.use !== 'print' &&
              typeof cell === 'object' &&
              !isPhrase(cell) &&
              cell.kind === 'quantity'
            ) {
              expect(numbers, `${table.name} ${column.heading}`).toContain(cell.value);
            }
          }
        }
      }
    }
  });

  it('gives unit and basis of each number columns of their own', () => {
    const sheet = sheets.find(({ name }) => name === 'Cable schedule')!;
    const headings = Object.entries(sheet.cells)
      .filter(([at]) => /^[A-Z]+1$/u.test(at))
      .map(([, cell]) => cell);
    expect(headings).toEqual(expect.arrayContaining(['length', 'length unit', 'length basis']));
    const column = (heading: string) =>
      Object.entries(sheet.cells)
        .find(([, cell]) => cell === heading)![0]
        .replace(/\d+$/u, '');
    expect([
      sheet.cells[`${column('length')}2`],
      sheet.cells[`${column('length unit')}2`],
      sheet.cells[`${column('length basis')}2`],
    ]).toEqual([18, 'm', 'stated']);
  });
});

function packOfText(source: string): Pack {
  return packValue(siteOf(source).site, { findings: [], on: '2026-11-25', drawings: [] });
}

/** Prints the sheets of a workbook as JSON; reads ECMA-376 with nothing but the standard library. */
const READER = `
import json, re, sys, zipfile
import xml.etree.ElementTree as ET
M = '{http://schemas.openxmlformats.org/spreadsheetml/2006/main}'
R = '{http://schemas.openxmlformats.org/officeDocument/2006/relationships}'
book = zipfile.ZipFile(json.load(sys.stdin))
assert book.testzip() is None
xml = lambda name: ET.fromstring(book.read(name))
for name in book.namelist():
    if name.endswith('.xml') or name.endswith('.rels'):
        xml(name)
shared = [''.join(t.text or '' for t in si.iter(M + 't')) for si in xml('xl/sharedStrings.xml').iter(M + 'si')]
targets = {r.get('Id'): r.get('Target') for r in xml('xl/_rels/workbook.xml.rels')}
sheets = []
for sheet in xml('xl/workbook.xml').iter(M + 'sheet'):
    root = xml('xl/' + targets[sheet.get(R + 'id')].replace('/xl/', ''))
    order = [child.tag.replace(M, '') for child in root]
    known = ['sheetPr', 'sheetViews', 'cols', 'sheetData', 'autoFilter', 'mergeCells', 'pageMargins', 'pageSetup', 'headerFooter', 'drawing']
    assert order == sorted(order, key=known.index), order
    pane = root.find('.//' + M + 'pane')
    cells = {}
    for c in root.iter(M + 'c'):
        v = c.find(M + 'v')
        if v is not None:
            cells[c.get('r')] = shared[int(v.text)] if c.get('t') == 's' else float(v.text)
    sheets.append({
        'name': sheet.get('name'),
        'frozenRows': int(pane.get('ySplit')) if pane is not None and pane.get('state') == 'frozen' else 0,
        'filter': root.find(M + 'autoFilter').get('ref'),
        'formulas': len(list(root.iter(M + 'f'))),
        'cells': cells,
    })
print(json.dumps(sheets))
`;
