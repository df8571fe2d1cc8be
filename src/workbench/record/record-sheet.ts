/** A filled-in commissioning sheet as observations of a site: all of its tables together. */
import type { Observation } from '../../model/records.js';
import type { OpenSite } from '../open-site.js';
import { readTable, type ReadTable } from './read-table.js';
import { tableIn } from './table-kinds.js';

export interface SheetGrid {
  /** The file, or the file and its sheet, for messages. */
  readonly shown: string;
  /** The name of the sheet, or of the file, which may tell what it holds. */
  readonly name: string;
  readonly rows: readonly (readonly string[])[];
}

export interface RecordedTable extends ReadTable {
  readonly shown: string;
}

/** The tables that are filled in; other sheets of a workbook are left out. */
export function recordSheets(
  { site }: OpenSite,
  grids: readonly SheetGrid[],
  today: string,
): readonly RecordedTable[] {
  return grids.flatMap((grid) => {
    const table = tableIn(grid);
    return table === undefined ? [] : [{ shown: grid.shown, ...readTable(site, table, today) }];
  });
}

/** All that can be merged, in the order of the sheets. */
export function recordedObservations(tables: readonly RecordedTable[]): readonly Observation[] {
  return tables.flatMap(({ observations }) => observations);
}
