/**
 * Tables as CSV (RFC 4180 quoting, UTF-8, one line feed a row).
 *
 * A number stands alone in its cell, with its unit in the heading and how it is known in a cell
 * beside it. Nothing that a person wrote can become a formula in a spreadsheet.
 */
import { isPhrase, tablesOf } from '../document.js';
import type { Cell, Column, Document, Frame, Phrase, Table } from '../document.js';
import { groupBy } from '../group-by.js';
import { markedText, numberText } from './numbers.js';

export interface CsvFile {
  /** Name of the table. */
  readonly name: string;
  readonly text: string;
}

/** One file for each table name of a document, in reading order. Tables of one name are joined. */
export function renderCsv(document: Document, frame: Frame): readonly CsvFile[] {
  return [...groupBy(tablesOf(document), (table) => table.name)].map(([name, tables]) => ({
    name,
    text: csvOf(tables, frame),
  }));
}

/** A cell's text made harmless: it never starts, at its begin or after a list separator, with what starts a formula. */
export function harmless(text: string): string {
  return text
    .replace(/^(?=[\s\u00a0\u200b-\u200f\u202a-\u202e\u2060-\u2069\ufeff]*[=+\-@＝＋－＠])/u, "'")
    .replace(/^(?=[\t\r\n])/u, "'")
    .replace(/([;\t\r\n][ \u00a0]*)(?=[=+\-@＝＋－＠])/gu, "$1'");
}

function csvOf(tables: readonly Table[], frame: Frame): string {
  const columns = tables[0]?.columns ?? [];
  const heading = [...columns.flatMap(headingsOf), 'revision', 'status'];
  const rows = tables.flatMap((table) =>
    table.rows.map((row) => [
      ...columns.flatMap((column, index) => fieldsOf(column, row[index] ?? '')),
      field(frame.revision),
      field(frame.status),
    ]),
  );
  return [heading.map(field), ...rows].map((row) => `${row.join(',')}\n`).join('');
}

function headingsOf(column: Column): readonly string[] {
  if (column.use === 'print') {
    return [];
  }
  if (column.kind !== 'number') {
    return [column.heading];
  }
  if (column.unit === undefined) {
    return [column.heading, `${column.heading} unit`, `${column.heading} basis`];
  }
  const unit = column.unit === '' ? '' : ` ${column.unit}`;
  return [`${column.heading}${unit}`, `${column.heading} basis`];
}

function fieldsOf(column: Column, cell: Cell): readonly string[] {
  if (column.use === 'print') {
    return [];
  }
  if (column.kind !== 'number') {
    return [field(textOf(cell))];
  }
  const several = column.unit === undefined;
  if (typeof cell === 'object' && !isPhrase(cell) && cell.kind === 'quantity') {
    return [numberText(cell), ...(several ? [field(cell.unit)] : []), cell.mark];
  }
  const basis = typeof cell === 'object' && !isPhrase(cell) && cell.kind === 'missing';
  return ['', ...(several ? [''] : []), basis ? 'unknown' : ''];
}

function textOf(cell: Cell): string {
  if (typeof cell === 'string') {
    return cell;
  }
  if (isPhrase(cell)) {
    return plainText(cell);
  }
  switch (cell.kind) {
    case 'quantity':
      return markedText(cell);
    case 'missing':
      return cell.why;
    case 'box':
    case 'blank':
      return '';
  }
}

function plainText(phrase: Phrase): string {
  return phrase.map((each) => (typeof each === 'string' ? each : markedText(each))).join('');
}

function field(text: string): string {
  const safe = harmless(text);
  return /[",;\r\n\t]|^[ ']|[ ]$/u.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}
