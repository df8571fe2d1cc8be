/** Test sheets: one table for each enclosure, one row for each terminal that holds a conductor. */
import type { Site } from '../../model/site.js';
import {
  boxColumn,
  count,
  list,
  numberColumn,
  paragraph,
  quantity,
  tableOf,
  textColumn,
  writeColumn,
} from '../document.js';
import type { Document } from '../document.js';
import { ownersInOrder } from '../labels/labels.js';
import { placeText } from '../marks.js';
import { testingTexts as texts } from '../texts/testing.js';
import { words } from '../texts/words.js';
import { terminalRows } from './terminal-rows.js';
import type { TerminalRow } from './terminal-rows.js';

/** Of the work at hand: with `new`, the terminals on which a new cable lands. */
export function terminalTests(site: Site, phase: 'new' | 'all'): Document {
  const rows = terminalRows(site);
  const tables = ownersInOrder(site, [...rows.keys()]).flatMap((owner) => {
    const ofOwner = (rows.get(owner) ?? []).filter((row) => phase === 'all' || isNew(row));
    return ofOwner.length === 0 ? [] : [tableOfOwner(owner, ofOwner)];
  });
  return {
    id: 'terminal-tests',
    title: texts.title,
    orientation: 'landscape',
    introduction: [
      paragraph(tables.length === 0 ? texts.nothing : texts.about),
      ...(tables.length === 0 ? [] : [list(texts.rules)]),
      ...tables,
    ],
    sections: [],
  };
}

function isNew(row: TerminalRow): boolean {
  return row.cores.some(({ cable }) => !cable.existing);
}

function emptyCore(isScreen: boolean): string {
  return isScreen ? texts.screen : texts.coreNotStated;
}

function tableOfOwner(owner: string, rows: readonly TerminalRow[]) {
  const { columns: headings } = texts;
  return tableOf<TerminalRow>(
    'terminal-tests',
    texts.caption(owner, placeText(rows.find(({ end }) => end.room !== undefined)?.end.room)),
    [
      textColumn(headings.device, () => owner, 'data'),
      textColumn(headings.strip, ({ end }) => end.member),
      textColumn(headings.terminal, ({ terminal, isScreen }) =>
        isScreen ? `${terminal} (${texts.screen})` : terminal,
      ),
      textColumn(headings.wire, ({ cores }) =>
        [...new Set(cores.map(({ wireNumber }) => wireNumber))].join(', '),
      ),
      textColumn(headings.lands, ({ cores, isScreen }) =>
        cores
          .map(({ core, cable, other }) =>
            texts.coreOf(core === '' ? emptyCore(isScreen) : core, cable.id, other),
          )
          .join('; '),
      ),
      numberColumn(headings.conductors, '', ({ cores, fitted }) => count(cores.length + fitted)),
      numberColumn(headings.takes, '', ({ takes }) =>
        takes === undefined ? '' : quantity(takes, '', 'stated', 0),
      ),
      textColumn(headings.work, (row) => (isNew(row) ? words.fresh : words.existing)),
      textColumn(headings.note, ({ cores }) =>
        cores.some(({ cable }) => cable.band === 'mains') ? texts.mains : '',
      ),
      boxColumn(headings.landed),
      boxColumn(headings.pulled),
      writeColumn(headings.torque),
      writeColumn(headings.continuity),
      writeColumn(headings.insulation),
      writeColumn(headings.initials),
    ],
    rows,
  );
}
