/** The sheets of a workbook as values: which cells stand where, before any library writes them. */
import { isPhrase, tablesOf } from '../../documents/document.js';
import type {
  Block,
  Cell,
  Column,
  Document,
  Phrase,
  Quantity,
  Table,
} from '../../documents/document.js';
import { groupBy } from '../../documents/group-by.js';
import type { Pack } from '../../documents/pack.js';
import { markedText } from '../../documents/render/numbers.js';
import { frameTexts } from '../../documents/texts/frame.js';
import { printTexts as texts } from '../texts.js';

/** Text, a number with the decimals that are shown, or nothing. */
export type SheetCell = string | { readonly number: number; readonly digits: number } | undefined;

export interface Sheet {
  readonly name: string;
  readonly headings: readonly string[];
  readonly rows: readonly (readonly SheetCell[])[];
}

/**
 * For each document a sheet with its prose (fields, steps, cautions, commands) where it has any, then
 * one for each of its tables, because a filter and a frozen heading belong to one table.
 */
export function sheetsOf({ documents }: Pack): readonly Sheet[] {
  const sheets = documents.flatMap((document) => [
    ...proseSheet(document),
    ...[...groupBy(tablesOf(document), ({ name }) => name)].map(([name, tables]) =>
      tableSheet(name, tables),
    ),
  ]);
  return named(sheets);
}

function tableSheet(name: string, tables: readonly Table[]): Sheet {
  const columns = tables[0]?.columns ?? [];
  return {
    name: `${name.slice(0, 1).toUpperCase()}${name.slice(1).replaceAll('-', ' ')}`,
    headings: columns.flatMap(headingsOf),
    rows: tables.flatMap((table) =>
      table.rows.map((row) =>
        columns.flatMap((column, index) => cellsOf(column, row[index] ?? '')),
      ),
    ),
  };
}

/** A number stands alone, its unit and how it is known in cells of their own. */
function headingsOf(column: Column): readonly string[] {
  if (column.use === 'print') {
    return [];
  }
  if (column.kind !== 'number') {
    return [column.heading];
  }
  return hasUnit(column)
    ? [
        column.heading,
        `${column.heading} ${texts.sheet.unit}`,
        `${column.heading} ${texts.sheet.basis}`,
      ]
    : [column.heading, `${column.heading} ${texts.sheet.basis}`];
}

function cellsOf(column: Column, cell: Cell): readonly SheetCell[] {
  if (column.use === 'print') {
    return [];
  }
  if (column.kind !== 'number') {
    return [textOf(cell)];
  }
  if (typeof cell === 'object' && !isPhrase(cell) && cell.kind === 'quantity') {
    return [numberCell(cell), ...(hasUnit(column) ? [cell.unit] : []), cell.mark];
  }
  const why =
    typeof cell === 'object' && !isPhrase(cell) && cell.kind === 'missing' ? cell.why : undefined;
  return [undefined, ...(hasUnit(column) ? [undefined] : []), why];
}

function hasUnit(column: Column): boolean {
  return column.unit !== '';
}

function numberCell({ value, digits }: Quantity): SheetCell {
  return Number.isFinite(value) ? { number: value, digits } : undefined;
}

function textOf(cell: Cell): SheetCell {
  if (typeof cell === 'string') {
    return cell;
  }
  if (isPhrase(cell)) {
    return phraseText(cell);
  }
  switch (cell.kind) {
    case 'quantity':
      return markedText(cell);
    case 'missing':
      return cell.why;
    case 'box':
    case 'blank':
      return undefined;
  }
}

function phraseText(phrase: Phrase): string {
  return phrase.map((each) => (typeof each === 'string' ? each : markedText(each))).join('');
}

type ProseRow = readonly [section: string, step: SheetCell, text: string, value: SheetCell];

/** Empty where a document is nothing but tables and words around them. */
function proseSheet(document: Document): readonly Sheet[] {
  const parts = [{ heading: '', blocks: document.introduction }, ...document.sections];
  const blocks = parts.flatMap((part) => part.blocks);
  if (!blocks.some(({ kind }) => kind === 'fields' || kind === 'steps' || kind === 'commands')) {
    return [];
  }
  const rows = parts.flatMap(({ heading, blocks: ofPart }) =>
    ofPart.flatMap((block) => proseRows(heading, block)),
  );
  const { section, step, text, value, done, initials } = texts.sheet;
  const hasSteps = blocks.some(({ kind }) => kind === 'steps');
  return [
    {
      name: document.title,
      headings: hasSteps ? [section, step, text, value, done, initials] : [section, text, value],
      rows: rows.map(([ofSection, number, what, content]) =>
        hasSteps
          ? [ofSection, number, what, content, undefined, undefined]
          : [ofSection, what, content],
      ),
    },
  ];
}

function proseRows(section: string, block: Block): readonly ProseRow[] {
  const row = (text: string, value?: SheetCell): ProseRow => [section, undefined, text, value];
  switch (block.kind) {
    case 'paragraph':
      return [row(phraseText(block.text))];
    case 'note':
      return [row(`${frameTexts.noteWord}: ${phraseText(block.text)}`)];
    case 'caution':
      return [row(`${frameTexts.cautionWord[block.level]}: ${phraseText(block.text)}`)];
    case 'list':
      return block.items.map((item) => row(phraseText(item)));
    case 'fields':
      return block.fields.map(({ label, content }) =>
        row(label, isPhrase(content) ? phraseText(content) : undefined),
      );
    case 'steps':
      return block.steps.flatMap((step): ProseRow[] => [
        [section, { number: step.number, digits: 0 }, phraseText(step.text), undefined],
        ...step.details.flatMap((detail) => proseRows(section, detail)),
      ]);
    case 'commands':
      return block.lines.map((line) => row(block.label, line));
    case 'links':
      return block.links.map((link) => row(link.title, phraseText(link.about)));
    case 'table':
    case 'drawing':
    case 'labels':
    case 'plot':
      return [];
  }
}

/** The longest name that a spreadsheet takes. */
const LONGEST_NAME = 31;

/** Makes names short, free of signs that spreadsheets refuse, and different where capitals do not count. */
function named(sheets: readonly Sheet[]): readonly Sheet[] {
  const used = new Set<string>();
  return sheets.map((sheet) => {
    const plain = sheet.name.replace(/[[\]:*?/\\'\p{Cc}]+/gu, ' ').trim() || 'Sheet';
    let name = cut(plain, LONGEST_NAME);
    for (let times = 2; used.has(name.toLowerCase()); times += 1) {
      name = `${cut(plain, LONGEST_NAME - 1 - String(times).length)} ${times}`;
    }
    used.add(name.toLowerCase());
    return { ...sheet, name };
  });
}

/** At most so many UTF-16 units, no pair of them cut apart. */
function cut(text: string, units: number): string {
  let kept = '';
  for (const character of text) {
    if (kept.length + character.length > units) {
      break;
    }
    kept += character;
  }
  return kept.trimEnd();
}
