/**
 * Documents as values: what a paper says, before any text form is chosen.
 *
 * Renderers know nothing of sites, and builders nothing of text forms. A number is never part of a
 * plain string: it is a {@link Quantity} with its unit and with the mark that says how surely it is
 * known, so that no form of the document can lose either.
 */
import type { PlotScene } from '../drawing/index.js';
import type { Basis } from '../model/finding.js';

/**
 * How a number is known: as the model knows it, or read in a published standard. What is not known
 * at all is no number but a {@link Missing}.
 */
export type Mark = Exclude<Basis, 'unknown'> | 'published';

/** A number as a document shows it. */
export interface Quantity {
  readonly kind: 'quantity';
  readonly value: number;
  /** Unit symbol; empty for counts and addresses. */
  readonly unit: string;
  /** Most decimals that are shown. */
  readonly digits: number;
  readonly mark: Mark;
}

/** A value that nobody knows, with the reason or with what would make it known. */
export interface Missing {
  readonly kind: 'missing';
  readonly why: string;
}

/** A box to be ticked by hand. */
export interface Box {
  readonly kind: 'box';
}

/** A place to be written into by hand. */
export interface Blank {
  readonly kind: 'blank';
}

/** Running text with numbers in it. */
export type Phrase = readonly (string | Quantity)[];

/** What stands in a cell of a table. */
export type Cell = string | Phrase | Quantity | Missing | Box | Blank;

export type ColumnKind = 'text' | 'number' | 'box' | 'write';

/** Where a column appears: in print, in data for other programs, or in both. */
export type ColumnUse = 'both' | 'print' | 'data';

export interface Column {
  readonly heading: string;
  readonly kind: ColumnKind;
  /** The unit of all numbers of the column; left out where each number brings its own. */
  readonly unit?: string;
  readonly use: ColumnUse;
}

/** A table. Each row has a cell for each column. */
export interface Table {
  readonly kind: 'table';
  /**
   * Left out where it stands in every form; `data` where only other programs read it; `print` for a
   * choice of rows of a table that stands in the data as a whole.
   */
  readonly use?: 'data' | 'print';
  /** Names the table's data: tables of one name have the same columns and make one data file. */
  readonly name: string;
  readonly caption: Phrase;
  readonly columns: readonly Column[];
  readonly rows: readonly (readonly Cell[])[];
}

/** One numbered step. Numbers run through the document. */
export interface Step {
  readonly number: number;
  readonly text: Phrase;
  /** What to tick or sign, such as `done` and `initials`. */
  readonly boxes: readonly string[];
  /** What belongs to the step: cautions, tables, lists. */
  readonly details: readonly Block[];
}

export type Block =
  | { readonly kind: 'paragraph'; readonly text: Phrase }
  /** `danger` warns of death or injury, `caution` of damage or of work to be done again. */
  | { readonly kind: 'caution'; readonly level: 'danger' | 'caution'; readonly text: Phrase }
  | { readonly kind: 'note'; readonly text: Phrase }
  | { readonly kind: 'list'; readonly items: readonly Phrase[] }
  /** Label and content, as in a title block; a missing content is a line to be filled in. */
  | {
      readonly kind: 'fields';
      readonly fields: readonly { readonly label: string; readonly content: Phrase | Blank }[];
    }
  | { readonly kind: 'steps'; readonly steps: readonly Step[] }
  /** Text to be typed into a computer as it stands. */
  | { readonly kind: 'commands'; readonly label: string; readonly lines: readonly string[] }
  | { readonly kind: 'drawing'; readonly path: string; readonly title: string }
  /** Texts to be printed and cut out, each as it stands. */
  | { readonly kind: 'labels'; readonly labels: readonly string[] }
  | Plot
  /** Another document of the pack. */
  | { readonly kind: 'links'; readonly links: readonly DocumentLink[] }
  | Table;

/** A value along a run, beside the table that holds its numbers. */
export interface Plot extends PlotScene {
  readonly kind: 'plot';
}

export interface DocumentLink {
  readonly path: string;
  readonly title: string;
  readonly about: Phrase;
}

export interface Section {
  readonly heading: string;
  readonly blocks: readonly Block[];
}

export interface Document {
  /** Stem of the file names: `connection-schedule`. */
  readonly id: string;
  readonly title: string;
  readonly orientation: 'portrait' | 'landscape';
  readonly introduction: readonly Block[];
  readonly sections: readonly Section[];
}

/** What stands on every document of a pack: whose it is, which revision, what it may be used for. */
export interface Frame {
  readonly site: string;
  readonly owner: string;
  readonly drawing: string;
  readonly revision: string;
  /** ISO date on which the site was checked. */
  readonly checkedOn: string;
  /** Short, in capitals where it forbids: `NOT FOR CONSTRUCTION`. */
  readonly status: string;
  /** True where the status forbids to build from the pack. */
  readonly forbidsWork: boolean;
  /** Sentences that stand on every sheet. */
  readonly reservations: readonly string[];
}

/** Builds a number for a document. */
export function quantity(value: number, unit: string, mark: Mark, digits = 3): Quantity {
  return { kind: 'quantity', value, unit, digits, mark };
}

/** A number that was counted from the model. */
export function count(value: number): Quantity {
  return quantity(value, '', 'computed', 0);
}

export function missing(why: string): Missing {
  return { kind: 'missing', why };
}

export const box: Box = { kind: 'box' };
export const blank: Blank = { kind: 'blank' };

/** Writes a phrase: numbers in the template stay numbers, phrases are joined in. */
export function say(
  strings: TemplateStringsArray,
  ...values: readonly (string | Quantity | Phrase)[]
): Phrase {
  const parts: (string | Quantity)[] = [];
  strings.forEach((text, index) => {
    if (text !== '') {
      parts.push(text);
    }
    const value = values[index];
    if (value === undefined || value === '') {
      return;
    }
    if (isPhrase(value)) {
      parts.push(...value);
    } else {
      parts.push(value);
    }
  });
  return parts;
}

export function paragraph(text: Phrase | string): Block {
  return { kind: 'paragraph', text: phraseOf(text) };
}

export function danger(text: Phrase | string): Block {
  return { kind: 'caution', level: 'danger', text: phraseOf(text) };
}

export function caution(text: Phrase | string): Block {
  return { kind: 'caution', level: 'caution', text: phraseOf(text) };
}

export function note(text: Phrase | string): Block {
  return { kind: 'note', text: phraseOf(text) };
}

export function list(items: readonly (Phrase | string)[]): Block {
  return { kind: 'list', items: items.map(phraseOf) };
}

export function phraseOf(text: Phrase | string): Phrase {
  if (typeof text !== 'string') {
    return text;
  }
  return text === '' ? [] : [text];
}

/** A column together with the way to its cell. */
export interface ColumnOf<Item> extends Column {
  readonly cell: (item: Item) => Cell;
}

export function textColumn<Item>(
  heading: string,
  cell: (item: Item) => Cell,
  use: ColumnUse = 'both',
): ColumnOf<Item> {
  return { heading, kind: 'text', use, cell };
}

/** A column of numbers; without `unit`, each number brings its own. */
export function numberColumn<Item>(
  heading: string,
  unit: string | undefined,
  cell: (item: Item) => Quantity | Missing | '',
  use: ColumnUse = 'both',
): ColumnOf<Item> {
  return { heading, kind: 'number', ...(unit === undefined ? {} : { unit }), use, cell };
}

/** A column of boxes to be ticked. */
export function boxColumn<Item>(heading: string): ColumnOf<Item> {
  return { heading, kind: 'box', use: 'both', cell: () => box };
}

/** A column to be written into. */
export function writeColumn<Item>(heading: string): ColumnOf<Item> {
  return { heading, kind: 'write', use: 'both', cell: () => blank };
}

/** Lays items out as a table. */
export function tableOf<Item>(
  name: string,
  caption: Phrase | string,
  columns: readonly ColumnOf<Item>[],
  items: readonly Item[],
): Table {
  return {
    kind: 'table',
    name,
    caption: phraseOf(caption),
    columns: columns.map(({ heading, kind, unit, use }) => ({
      heading,
      kind,
      ...(unit === undefined ? {} : { unit }),
      use,
    })),
    rows: items.map((item) => columns.map((column) => column.cell(item))),
  };
}

/** The columns that are printed: a column of text or numbers in which nothing stands only takes room. */
export function printedColumns(
  table: Table,
): readonly { readonly column: Column; readonly index: number }[] {
  return table.columns
    .map((column, index) => ({ column, index }))
    .filter(({ column, index }) => column.use !== 'data' && !isEmpty(table, column, index));
}

/** A table that stands in data files alone, because its print has another form. */
export function dataOnly(table: Table): Table {
  return { ...table, use: 'data' };
}

/** Counts steps through a document, so that sections can be built one after the other. */
export class StepCounter {
  #last = 0;

  step(
    text: Phrase | string,
    details: readonly Block[] = [],
    boxes: readonly string[] = DONE,
  ): Step {
    this.#last += 1;
    return { number: this.#last, text: phraseOf(text), boxes, details };
  }
}

const DONE: readonly string[] = ['done', 'initials'];

/** Every number of a document, in reading order. */
export function quantitiesOf(document: Document): readonly Quantity[] {
  const found: Quantity[] = [];
  const visit = (block: Block): void => {
    switch (block.kind) {
      case 'paragraph':
      case 'caution':
      case 'note':
        collect(found, block.text);
        break;
      case 'list':
        block.items.forEach((item) => collect(found, item));
        break;
      case 'fields':
        block.fields.forEach(({ content }) => collect(found, content));
        break;
      case 'steps':
        for (const step of block.steps) {
          collect(found, step.text);
          step.details.forEach(visit);
        }
        break;
      case 'links':
        block.links.forEach((link) => collect(found, link.about));
        break;
      case 'table':
        if (block.use === 'print') {
          // Its numbers are counted in the table that it was chosen from.
          break;
        }
        collect(found, block.caption);
        block.rows.forEach((row) => row.forEach((cell) => collect(found, cell)));
        break;
      case 'commands':
      case 'drawing':
      case 'labels':
      case 'plot':
        break;
    }
  };
  blocksOf(document).forEach(visit);
  return found;
}

/** The blocks of a document in reading order, those inside steps not opened. */
export function blocksOf(document: Document): readonly Block[] {
  return [...document.introduction, ...document.sections.flatMap((section) => section.blocks)];
}

/** The tables of a document's data in reading order, those inside steps included. */
export function tablesOf(document: Document): readonly Table[] {
  const inside = (block: Block): readonly Table[] => {
    if (block.kind === 'table') {
      return block.use === 'print' ? [] : [block];
    }
    return block.kind === 'steps'
      ? block.steps.flatMap((step) => step.details.flatMap(inside))
      : [];
  };
  return blocksOf(document).flatMap(inside);
}

export function isPhrase(cell: Cell): cell is Phrase {
  return Array.isArray(cell);
}

function isEmpty(table: Table, column: Column, index: number): boolean {
  const isWritten = column.kind === 'text' || column.kind === 'number';
  return isWritten && table.rows.every((row) => (row[index] ?? '') === '');
}

function collect(found: Quantity[], cell: Cell): void {
  if (typeof cell === 'string') {
    return;
  }
  if (isPhrase(cell)) {
    for (const each of cell) {
      if (typeof each !== 'string') {
        found.push(each);
      }
    }
    return;
  }
  if (cell.kind === 'quantity') {
    found.push(cell);
  }
}
