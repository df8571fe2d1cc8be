/** The connection schedule: every core from end to end, with boxes to tick. */
import type { SiteCable } from '../../analysis/cabling/cables.js';
import { resolvePowerPoint } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import {
  box,
  boxColumn,
  numberColumn,
  paragraph,
  list,
  quantity,
  tableOf,
  textColumn,
} from '../document.js';
import type { Block, ColumnOf, Document, Section, Table } from '../document.js';
import { groupBy } from '../group-by.js';
import { placeText, sizeCell } from '../marks.js';
import { scheduleTexts as texts } from '../texts/schedule.js';
import { words } from '../texts/words.js';
import { cablesOfPhase, rowsOfCable } from './connection-rows.js';
import type { ConnectionRow, Phase } from './connection-rows.js';
import { fittingsOf } from './fittings.js';
import type { Fitting } from './fittings.js';

/** The drawing on which a circuit is to be seen; empty where there is none. */
export type SheetOf = (circuit: string) => string;

export function connectionSchedule(site: Site, phase: Phase, sheetOf: SheetOf): Document {
  const cables = cablesOfPhase(site, phase);
  const fittings = groupBy(
    fittingsOf(site).filter((one) => phase === 'all' || !one.existing),
    (one) => one.circuit,
  );
  const duties = ['bus', 'feed', 'inlet-line', 'board-feed', 'network'] as const;
  const sections = duties.flatMap((duty): Section[] => {
    const ofDuty = cables.filter((cable) => cable.duty === duty);
    if (ofDuty.length === 0) {
      return [];
    }
    const circuits = groupBy(ofDuty, (cable) => cable.circuit);
    return [
      {
        heading: texts.sections[duty],
        blocks: [...circuits].flatMap(([circuit, ofCircuit]): Block[] => [
          circuitTable(site, circuit, ofCircuit, sheetOf),
          ...fittingsTable((fittings.get(circuit) ?? []).filter((one) => isOf(duty, one))),
        ]),
      },
    ];
  });
  return {
    id: 'connection-schedule',
    title: texts.connectionTitle,
    orientation: 'landscape',
    introduction: [
      paragraph(texts.connectionAbout),
      list([...texts.connectionIntroduction, texts.spareRule, texts.screenRule]),
    ],
    sections,
  };
}

function circuitTable(
  site: Site,
  circuit: string,
  cables: readonly SiteCable[],
  sheetOf: SheetOf,
): Table {
  const rows = cables.flatMap((cable) => rowsOfCable(site, cable));
  return tableOf('connection-schedule', captionOf(site, circuit, cables), columns(sheetOf), rows);
}

function captionOf(site: Site, circuit: string, cables: readonly SiteCable[]): string {
  const types = new Set(cables.map(({ cable, cableName }) => cableText(cable?.title, cableName)));
  return texts.caption(circuit, titleOf(site, circuit), [...types]);
}

function cableText(title: string | undefined, name: string | undefined): string {
  if (name === undefined) {
    return texts.cableTypeNotStated;
  }
  return title === undefined ? name : `${name} (${title})`;
}

/** What a circuit is for: its own title, its bus type, or the title of the way that feeds it. */
function titleOf(site: Site, circuit: string): string | undefined {
  const run = site.buses.get(circuit) ?? site.feeds.get(circuit) ?? site.networks.get(circuit);
  if (run !== undefined) {
    return run.title ?? (run.kind === 'bus' ? run.busType : undefined);
  }
  const cut = circuit.lastIndexOf('.');
  const point = resolvePowerPoint(site, {
    owner: circuit.slice(0, cut),
    member: circuit.slice(cut + 1),
  });
  return point?.kind === 'way' ? point.way.title : undefined;
}

function columns(sheetOf: SheetOf): readonly ColumnOf<ConnectionRow>[] {
  const { columns: headings } = texts;
  return [
    textColumn(headings.cable, (row) => row.cable.id),
    textColumn(headings.cableType, (row) => row.cable.cableName ?? words.notStated, 'data'),
    textColumn(headings.core, (row) => row.coreText),
    numberColumn(headings.size, undefined, (row) => sizeCell(row.core?.size)),
    textColumn(headings.wire, (row) => row.core?.wireNumber ?? ''),
    textColumn(headings.signal, (row) => row.signal),
    textColumn(headings.band, (row) => words.band[row.cable.band]),
    textColumn(headings.from, (row) => row.fromText, 'print'),
    textColumn(headings.fromDevice, (row) => row.cable.from.owner, 'data'),
    textColumn(headings.fromStrip, (row) => row.cable.from.member, 'data'),
    textColumn(headings.fromTerminal, (row) => row.core?.fromTerminal ?? '', 'data'),
    textColumn(headings.fromPlace, (row) => placeText(row.cable.from.room)),
    textColumn(headings.to, (row) => row.toText, 'print'),
    textColumn(headings.toDevice, (row) => row.cable.to.owner, 'data'),
    textColumn(headings.toStrip, (row) => row.cable.to.member, 'data'),
    textColumn(headings.toTerminal, (row) => row.core?.toTerminal ?? '', 'data'),
    textColumn(headings.toPlace, (row) => placeText(row.cable.to.room)),
    textColumn(headings.labelFrom, (row) => row.labelFrom),
    textColumn(headings.labelTo, (row) => row.labelTo),
    textColumn(headings.screenFrom, (row) => screenText(row, 'fromScreen'), 'data'),
    textColumn(headings.screenTo, (row) => screenText(row, 'toScreen'), 'data'),
    textColumn(headings.work, (row) => (row.cable.existing ? words.existing : words.fresh)),
    textColumn(headings.sheet, (row) => sheetOf(row.cable.circuit)),
    textColumn(headings.note, (row) => row.notes.join(' ')),
    // An existing cable is not pulled, but a new device still takes its ends.
    { ...boxColumn(headings.pulled), cell: (row) => (row.cable.existing ? '' : box) },
    boxColumn(headings.terminated),
    boxColumn(headings.tested),
  ];
}

function screenText(row: ConnectionRow, end: 'fromScreen' | 'toScreen'): string {
  const treatment = row.core?.[end];
  return treatment === undefined ? '' : words.screenTreatment[treatment];
}

function fittingsTable(fittings: readonly Fitting[]): readonly Block[] {
  if (fittings.length === 0) {
    return [];
  }
  const { columns: headings } = texts;
  return [
    tableOf<Fitting>(
      'terminal-fittings',
      texts.fittingsCaption,
      [
        textColumn(headings.circuit, (one) => one.circuit, 'data'),
        textColumn(headings.fitting, (one) => fittingText(one)),
        textColumn(headings.at, (one) => `${one.device}.${one.member}`),
        textColumn(headings.terminals, (one) => one.terminals.join(', ')),
        numberColumn(headings.value, undefined, (one) =>
          one.ohm === undefined ? '' : quantity(one.ohm, 'ohm', 'stated'),
        ),
        textColumn(headings.work, (one) => (one.existing ? words.existing : words.fresh)),
        boxColumn(headings.fitted),
      ],
      fittings,
    ),
  ];
}

/** What a fitting is, in words. */
export function fittingText(fitting: Fitting): string {
  switch (fitting.kind) {
    case 'terminator':
      return texts.fittings.terminator;
    case 'built-in-terminator':
      return texts.fittings.terminatorBuiltIn;
    case 'bond':
      return texts.fittings.bond;
    case 'cover':
      return texts.fittings.cover;
  }
}

/** A cover on an inlet line belongs to the lines, everything else to its run. */
function isOf(duty: SiteCable['duty'], fitting: Fitting): boolean {
  return duty === 'bus' || duty === 'feed' || (duty === 'inlet-line' && fitting.kind === 'cover');
}
