/** Tables on paper: widths of columns, rows that never part, the heading again on each page. */
import { isPhrase, printedColumns } from '../../documents/document.js';
import type { Cell, Column, Table } from '../../documents/document.js';
import { MARK_LETTERS, numberText, quantityText } from '../../documents/render/numbers.js';
import { printTexts } from '../texts.js';
import type { Flow } from './flow.js';
import { printable, widthOf } from './fonts.js';
import { INK, MUTED, RULE, SHADE } from './paper.js';
import { phraseText } from './phrase.js';
import { widestPiece, wrapped } from './wrap.js';

const SIZES = [8, 7.5, 7, 6.5, 6] as const;
const PADDING = 3;
/** Room for a hand. */
const WRITING_WIDTH = 42;
const WRITING_HEIGHT = 15;
const BOX = 7;
/** A column of text is not made narrower for the sake of another one than this. */
const WIDEST_PIECE = 96;
const USUAL_WIDTH = 420;
/** A word up to this width stays whole. */
const WHOLE_WORD = 64;
/**
 * The part of the width between the least and the usual one that makes a table easy to read, and the
 * smallest type that is worth it; the last resort only cuts nothing.
 */
const COMFORTS = [
  [0.4, 7],
  [0.15, 7],
  [0, 6],
] as const;
/** So many rows stay with their heading. */
const FIRST_ROWS = 3;

interface PrintedTable {
  readonly columns: readonly Column[];
  readonly headings: readonly string[];
  /** Text of each cell; undefined for a box. */
  readonly rows: readonly (readonly (string | undefined)[])[];
}

interface Fitted {
  readonly sizePt: number;
  readonly widths: readonly number[];
}

export function writeTable(flow: Flow, table: Table, nothing: string): void {
  const caption = printable(phraseText(table.caption));
  if (table.rows.length === 0) {
    flow.paragraph(caption === '' ? nothing : `${caption}: ${nothing}`, {
      sizePt: 8.5,
      colour: MUTED,
    });
    flow.space(6);
    return;
  }
  const printed = printedOf(table, flow.pageOf);
  const fitted = fittedTo(printed, flow.width);
  const headHeight = headingHeight(printed, fitted);
  const firstHeight = sum(
    printed.rows.slice(0, FIRST_ROWS).map((row) => rowHeight(printed, fitted, row)),
  );
  flow.ensure((caption === '' ? 0 : 16) + headHeight + firstHeight + 2);
  if (caption !== '') {
    flow.paragraph(caption, { sizePt: 9, weight: 700 });
    flow.space(2);
  }
  writeHeading(flow, printed, fitted, headHeight);
  for (const row of printed.rows) {
    const height = rowHeight(printed, fitted, row);
    if (flow.ensure(height)) {
      if (caption !== '') {
        flow.paragraph(printTexts.continued(caption), { sizePt: 8, colour: MUTED });
        flow.space(2);
      }
      writeHeading(flow, printed, fitted, headHeight);
    }
    writeRow(flow, printed, fitted, row, height);
  }
  flow.space(10);
}

function printedOf(table: Table, pageOf: Flow['pageOf']): PrintedTable {
  const shown = printedColumns(table);
  return {
    columns: shown.map(({ column }) => column),
    headings: shown.map(({ column }) =>
      printable(
        column.unit === undefined || column.unit === ''
          ? column.heading
          : `${column.heading} ${column.unit}`,
      ),
    ),
    rows: table.rows.map((row) =>
      shown.map(({ column, index }) => {
        const text = cellText(column, row[index] ?? '');
        return text === undefined ? undefined : printable(referenceText(text, pageOf));
      }),
    ),
  };
}

/** The name of another file of the pack is the page on which it stands here. */
function referenceText(text: string, pageOf: Flow['pageOf']): string {
  const page = pageOf.get(text);
  return page === undefined ? text : printTexts.onPage(page);
}

/** Undefined for a box. */
function cellText(column: Column, cell: Cell): string | undefined {
  if (typeof cell === 'string') {
    return cell;
  }
  if (isPhrase(cell)) {
    return phraseText(cell);
  }
  switch (cell.kind) {
    case 'quantity': {
      const text = column.unit === undefined ? quantityText(cell) : numberText(cell);
      return `${text} (${MARK_LETTERS[cell.mark]})`;
    }
    case 'missing':
      return cell.why;
    case 'box':
      return undefined;
    case 'blank':
      return '';
  }
}

/** The largest type in which columns get much of what they would like, else in which nothing is cut. */
function fittedTo(table: PrintedTable, widthPt: number): Fitted {
  for (const [share, leastPt] of COMFORTS) {
    for (const sizePt of SIZES.filter((one) => one >= leastPt)) {
      const needs = needsOf(table, sizePt);
      if (sum(needs.map(({ least, usual }) => least + (usual - least) * share)) <= widthPt) {
        return { sizePt, widths: shared(table, needs, widthPt) };
      }
    }
  }
  const sizePt = SIZES[SIZES.length - 1]!;
  const needs = needsOf(table, sizePt);
  const factor = widthPt / sum(needs.map(({ least }) => least));
  return { sizePt, widths: needs.map(({ least }) => least * factor) };
}

interface ColumnNeed {
  readonly least: number;
  readonly usual: number;
}

function needsOf(table: PrintedTable, sizePt: number): readonly ColumnNeed[] {
  return table.columns.map((column, index) => {
    const heading = widestPiece(table.headings[index]!, sizePt, 700, WHOLE_WORD);
    if (column.kind === 'box') {
      const least = Math.max(heading, BOX + 2) + 2 * PADDING;
      return { least, usual: least };
    }
    if (column.kind === 'write') {
      const least = Math.max(heading + 2 * PADDING, WRITING_WIDTH);
      return { least, usual: Math.max(least, 60) };
    }
    let piece = heading;
    let whole = heading;
    for (const row of table.rows) {
      const text = row[index];
      if (text !== undefined && text !== '') {
        // A number stays on its line; words may break.
        const isShort = column.kind === 'number' && text.length < 16;
        const width = widthOf(text, sizePt, 400);
        piece = Math.max(
          piece,
          isShort ? width : Math.min(widestPiece(text, sizePt, 400, WHOLE_WORD), WIDEST_PIECE),
        );
        whole = Math.max(whole, width);
      }
    }
    return {
      least: piece + 2 * PADDING + 0.5,
      usual: Math.max(piece, Math.min(whole, USUAL_WIDTH)) + 2 * PADDING + 0.5,
    };
  });
}

/** What is left goes to columns that would like more, then to those that are written into. */
function shared(
  table: PrintedTable,
  needs: readonly ColumnNeed[],
  widthPt: number,
): readonly number[] {
  const least = sum(needs.map((need) => need.least));
  const wishes = needs.map((need) => need.usual - need.least);
  const part = Math.min(1, (widthPt - least) / Math.max(1e-9, sum(wishes)));
  const widths = needs.map((need, index) => need.least + wishes[index]! * part);
  const rest = Math.max(0, widthPt - sum(widths));
  const writing = table.columns.map((column) => (column.kind === 'write' ? 1 : 0));
  const writers = sum(writing);
  // Without a hand's column a table may stay narrower than the page.
  return writers === 0
    ? widths
    : widths.map(
        (width, index) => width + (writing[index]! * Math.min(rest, writers * 60)) / writers,
      );
}

function headingHeight(table: PrintedTable, { sizePt, widths }: Fitted): number {
  const lines = table.headings.map(
    (heading, index) => wrapped(heading, widths[index]! - 2 * PADDING, sizePt, 700).length,
  );
  return Math.max(1, ...lines) * sizePt * 1.2 + 2 * PADDING;
}

function rowHeight(
  table: PrintedTable,
  { sizePt, widths }: Fitted,
  row: readonly (string | undefined)[],
): number {
  const lines = row.map((text, index) =>
    text === undefined || text === ''
      ? 1
      : wrapped(text, widths[index]! - 2 * PADDING, sizePt, 400).length,
  );
  const height = Math.max(1, ...lines) * sizePt * 1.2 + 2 * PADDING;
  const isWritten = table.columns.some(({ kind }) => kind === 'write');
  return isWritten ? Math.max(height, WRITING_HEIGHT) : height;
}

function writeHeading(
  flow: Flow,
  table: PrintedTable,
  { sizePt, widths }: Fitted,
  height: number,
): void {
  flow.paper.fill(flow.left, flow.y, sum(widths), height, SHADE);
  let x = flow.left;
  table.headings.forEach((heading, index) => {
    const column = table.columns[index]!;
    const width = widths[index]!;
    const align = alignOf(column);
    wrapped(heading, width - 2 * PADDING, sizePt, 700).forEach((line, at) => {
      flow.paper.text(line, anchorOf(x, width, align), flow.y + PADDING + sizePt * (1 + 1.2 * at), {
        sizePt,
        weight: 700,
        align,
      });
    });
    x += width;
  });
  flow.y += height;
  flow.paper.line(flow.left, flow.y, x, flow.y, { widthPt: 0.8, colour: INK });
}

function writeRow(
  flow: Flow,
  table: PrintedTable,
  { sizePt, widths }: Fitted,
  row: readonly (string | undefined)[],
  height: number,
): void {
  let x = flow.left;
  row.forEach((text, index) => {
    const column = table.columns[index]!;
    const width = widths[index]!;
    if (text === undefined) {
      flow.paper.frame(x + (width - BOX) / 2, flow.y + PADDING, BOX, BOX, {
        widthPt: 0.7,
        colour: INK,
      });
    } else if (text !== '') {
      const align = alignOf(column);
      wrapped(text, width - 2 * PADDING, sizePt, 400).forEach((line, at) => {
        flow.paper.text(
          line,
          anchorOf(x, width, align),
          flow.y + PADDING + sizePt * (0.95 + 1.2 * at),
          { sizePt, align },
        );
      });
    }
    if (column.kind === 'write') {
      for (const edge of [x, x + width]) {
        flow.paper.line(edge, flow.y, edge, flow.y + height, { widthPt: 0.4, colour: RULE });
      }
    }
    x += width;
  });
  flow.y += height;
  flow.paper.line(flow.left, flow.y, x, flow.y, { widthPt: 0.4, colour: RULE });
}

function alignOf(column: Column): 'left' | 'right' | 'centre' {
  return column.kind === 'number' ? 'right' : column.kind === 'box' ? 'centre' : 'left';
}

function anchorOf(x: number, width: number, align: 'left' | 'right' | 'centre'): number {
  switch (align) {
    case 'left':
      return x + PADDING;
    case 'right':
      return x + width - PADDING;
    case 'centre':
      return x + width / 2;
  }
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
