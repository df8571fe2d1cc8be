/** `ferrule record`: a filled-in commissioning sheet becomes observations of a site. */
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { reasonOf } from '../disk/reason.js';
import { neutralised } from '../report/neutral.js';
import { readSheets, UnreadableSheet } from '../sheets/read-sheet.js';
import { recordSheets, recordedObservations } from '../workbench/record/record-sheet.js';
import type { RecordedTable, SheetGrid } from '../workbench/record/record-sheet.js';
import { progressOf } from '../workbench/progress.js';
import { dayIn } from './arguments.js';
import { CannotRun } from './cannot-run.js';
import type { Run } from './command.js';
import type { Host } from './host.js';
import { mergeInto } from './merge-into.js';
import { openOneSite, pathsIn } from './places.js';
import { progressText } from './progress-text.js';
import { recordTexts as texts } from './texts-record.js';

export const run: Run = async (host, args) => {
  const today = dayIn(args, host.today);
  const [place, ...sheets] = pathsIn(args, texts.record);
  const site = openOneSite(host, place!);
  if (sheets.length === 0) {
    host.print(progressText(progressOf(site.open)));
    return 0;
  }
  const grids = (await Promise.all(sheets.map((sheet) => gridsOf(host, sheet)))).flat();
  const tables = recordSheets(site.open, grids, today);
  if (tables.length === 0) {
    throw new CannotRun(texts.noTable(sheets));
  }
  tables.forEach((table) => remarkTable(host, table, today, site.open.site.settings?.revision));
  const wrong = tables.reduce((sum, table) => sum + table.wrong.length, 0);
  if (wrong > 0 && !args.flags.has('partly')) {
    host.remark(texts.nothingWritten(wrong));
    return 1;
  }
  host.print(
    mergeInto(host, site, args.values.get('out') ?? site.root, recordedObservations(tables)),
  );
  return wrong > 0 ? 1 : 0;
};

async function gridsOf(host: Host, file: string): Promise<readonly SheetGrid[]> {
  try {
    const sheets = await readSheets(readFileSync(path.resolve(host.folder, file)));
    return sheets.map(({ name, rows }) => ({
      shown: name === undefined ? file : texts.sheetOf(file, name),
      name: name ?? path.basename(file),
      rows,
    }));
  } catch (error) {
    throw new CannotRun(
      texts.unreadable(file, error instanceof UnreadableSheet ? error.message : reasonOf(error)),
    );
  }
}

function remarkTable(
  host: Host,
  table: RecordedTable,
  today: string,
  revision: string | undefined,
): void {
  const shown = neutralised(table.shown);
  const others = table.revisions.filter((one) => revision !== undefined && one !== revision);
  host.remark(
    [
      texts.counts(shown, table.observations.length, table.confirmed, table.blank),
      ...(table.undated === 0 ? [] : [texts.undated(shown, table.undated, today)]),
      ...(table.unread.length === 0 ? [] : [texts.unread(shown, table.unread.map(neutralised))]),
      ...(others.length === 0
        ? []
        : [texts.otherRevision(shown, others.map(neutralised), revision!)]),
      ...table.wrong.map(({ row, message }) => texts.wrongRow(shown, row, neutralised(message))),
    ]
      .map((line) => `${line}\n`)
      .join(''),
  );
}
