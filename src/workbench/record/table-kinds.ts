/** Which table of the commissioning sheet a grid is, by its headings: they may stand in any order. */
import { commissioningTexts } from '../../documents/texts/commissioning.js';

const { columns: headings } = commissioningTexts;

export type TableKind = 'ohms' | 'idle' | 'pair' | 'voltages' | 'finds' | 'addresses' | 'pages';

/** A grid with its headings found. Rows count from 1, as a spreadsheet shows them. */
export interface FoundTable {
  readonly kind: TableKind;
  /** Index of a column by its heading in small letters. */
  readonly columns: ReadonlyMap<string, number>;
  readonly rows: readonly { readonly number: number; readonly cells: readonly string[] }[];
}

/** How far down a heading may stand, below titles that somebody put on top. */
const DEEPEST_HEADING = 20;

/** The table of a grid; undefined where it is none that is filled in. */
export function tableIn(grid: {
  readonly name: string | undefined;
  readonly rows: readonly (readonly string[])[];
}): FoundTable | undefined {
  for (const [index, row] of grid.rows.slice(0, DEEPEST_HEADING).entries()) {
    const columns = columnsOf(row);
    const kind = kindOf(columns, grid.name ?? '');
    if (kind !== undefined) {
      const rows = grid.rows.map((cells, at) => ({ number: at + 1, cells })).slice(index + 1);
      return { kind, columns, rows };
    }
  }
  return undefined;
}

/** The first column of a heading counts: what people add stands behind. */
function columnsOf(row: readonly string[]): ReadonlyMap<string, number> {
  const columns = new Map<string, number>();
  row.forEach((cell, index) => {
    const heading = cell
      .replace(/^\ufeff/u, '')
      .trim()
      .toLowerCase();
    if (heading !== '' && !columns.has(heading)) {
      columns.set(heading, index);
    }
  });
  return columns;
}

function kindOf(columns: ReadonlyMap<string, number>, name: string): TableKind | undefined {
  const has = (...all: readonly string[]) => all.every((heading) => columns.has(heading));
  if (!has(headings.seen)) {
    return undefined;
  }
  if (has(headings.controller, headings.knownAs)) {
    return 'addresses';
  }
  if (has(headings.controller)) {
    return 'finds';
  }
  if (has(headings.page, headings.host)) {
    return 'pages';
  }
  if (has(headings.bus, headings.at)) {
    return pairKind(columns, name);
  }
  return has(headings.at) ? 'voltages' : undefined;
}

/** Ohms and millivolts stand in tables of the same headings but for the unit. */
function pairKind(columns: ReadonlyMap<string, number>, name: string): TableKind {
  const unitIn = (unit: string) =>
    [headings.expected, headings.least, headings.most].some((one) => columns.has(`${one} ${unit}`));
  if (unitIn('ohm') || /\bohms\b/iu.test(name)) {
    return 'ohms';
  }
  return unitIn('mv') || /\bidle\b/iu.test(name) ? 'idle' : 'pair';
}
