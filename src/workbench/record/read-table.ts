/** Rows of a filled-in commissioning sheet → observations, and the rows that cannot be taken. */
import { nearNames } from '../../analysis/near-names.js';
import { commissioningTexts } from '../../documents/texts/commissioning.js';
import { unitOf, type UnitDefinition } from '../../model/quantity.js';
import type { Observation, Seen } from '../../model/records.js';
import { memberKey, resolveInlet, resolvePort } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import { readCount, readDay, readReading, readTick, tidy, type Read } from './cells.js';
import type { FoundTable } from './table-kinds.js';
import { recordTexts as texts } from './texts.js';

const { columns: headings } = commissioningTexts;

export interface WrongRow {
  /** As a spreadsheet counts, the heading's row included. */
  readonly row: number;
  readonly message: string;
}

export interface ReadTable {
  readonly observations: readonly Observation[];
  readonly wrong: readonly WrongRow[];
  /** Rows in which nothing was written. */
  readonly blank: number;
  /** Rows that say that all is as it should be, where the language has nothing to keep: a unit was seen. */
  readonly confirmed: number;
  /** Rows without a date: they got the day of the record. */
  readonly undated: number;
  /** Headings under which something was written that no observation holds. */
  readonly unread: readonly string[];
  /** Revisions of the job pack that the rows come from. */
  readonly revisions: readonly string[];
}

/** Reads the rows of a table. `today` dates rows without a date, and bounds those with one. */
export function readTable(site: Site, table: FoundTable, today: string): ReadTable {
  const observations: (Observation & { readonly row: number })[] = [];
  const wrong: WrongRow[] = [];
  const unread = new Set<string>();
  const revisions = new Set<string>();
  let blank = 0;
  let confirmed = 0;
  let undated = 0;
  for (const { number, cells } of table.rows) {
    const row = new Row(table, cells);
    if (!row.isFilled) {
      blank += row.isEmpty ? 0 : 1;
      continue;
    }
    row.unread.forEach((heading) => unread.add(heading));
    if (row.at('revision') !== '') {
      revisions.add(row.at('revision'));
    }
    const date = row.at(headings.date);
    const on: Read<string> = date === '' ? { value: today } : readDay(date, today);
    const seen = readRow(site, table, row);
    const problem = 'wrong' in seen ? seen.wrong : 'wrong' in on ? on.wrong : undefined;
    if (problem !== undefined) {
      wrong.push({ row: number, message: problem });
      continue;
    }
    if ('value' in seen && 'value' in on) {
      if (seen.value === 'confirmed') {
        confirmed += 1;
        continue;
      }
      undated += date === '' ? 1 : 0;
      const found = { kind: 'observed' as const, ...seen.value, on: on.value };
      const other = observations.find((one) => contradicts(one, found));
      if (other === undefined) {
        observations.push({ ...found, row: number });
      } else {
        wrong.push({ row: number, message: texts.contradiction(other.row) });
      }
    }
  }
  return {
    observations: observations.map(({ row: _, ...observation }) => observation),
    ...{ wrong, blank, confirmed, undated },
    unread: [...unread],
    revisions: [...revisions],
  };
}

type RowSeen = Read<'confirmed' | { readonly subject: string; readonly seen: Seen }>;

function readRow(site: Site, { kind }: FoundTable, row: Row): RowSeen {
  switch (kind) {
    case 'finds':
      return readFinds(site, row);
    case 'addresses':
      return readAddress(site, row);
    case 'pages':
      return readPageRow(site, row);
    case 'ohms':
    case 'idle':
    case 'pair':
      return readPair(site, kind, row);
    case 'voltages':
      return readVoltage(site, row);
  }
}

function readFinds(site: Site, row: Row): RowSeen {
  const subject = named(row, headings.controller, site.devices);
  if ('wrong' in subject) {
    return subject;
  }
  const count = row.seen === '' ? { wrong: texts.tickedOnly } : readCount(row.seen);
  return 'wrong' in count
    ? count
    : { value: { subject: subject.value, seen: { how: 'finds', count: count.value } } };
}

/** A unit that was seen needs no line: the count holds it. One that was missed does. */
function readAddress(site: Site, row: Row): RowSeen {
  const controller = named(row, headings.controller, site.devices);
  if ('wrong' in controller) {
    return controller;
  }
  const shown = row.at(headings.knownAs);
  if (shown === '') {
    return { wrong: texts.noSubject(headings.knownAs) };
  }
  // Below a relay that renumbers, a unit is shown as relay/unit.
  const unit = shown.slice(shown.lastIndexOf('/') + 1);
  if (!site.devices.has(unit)) {
    return { wrong: texts.unknownSubject(unit, nearNames(unit, site.devices.keys())) };
  }
  const expected = row.at(headings.address);
  const cell = row.seen === '' ? row.at(headings.ok) : row.seen;
  const address = /^\d+$/u.exec(cell)?.[0];
  if (address !== undefined && expected !== '' && row.seen !== '') {
    return Number(address) === Number(expected)
      ? { value: 'confirmed' }
      : { wrong: texts.otherAddress(address, expected, unit) };
  }
  switch (readTick(cell)) {
    case true:
      return { value: 'confirmed' };
    case false:
      return { value: { subject: controller.value, seen: { how: 'misses', device: unit } } };
    case undefined:
      return { wrong: texts.neitherSeenNorMissed(cell) };
  }
}

/** A page that is ticked as ok opens, whatever the browser said on the way to it. */
function readPageRow(site: Site, row: Row): RowSeen {
  const subject = named(row, headings.host, site.hosts);
  if ('wrong' in subject) {
    return subject;
  }
  const opens =
    readTick(row.at(headings.ok)) ??
    readTick(row.seen) ??
    (/^(?:it )?(?:opens|opened|page opens)\.?$/iu.test(row.seen) ? true : undefined);
  return {
    value: {
      subject: subject.value,
      seen: opens === true ? { how: 'page-opens' } : { how: 'page-fails', text: row.seen || 'no' },
    },
  };
}

function readPair(site: Site, kind: 'ohms' | 'idle' | 'pair', row: Row): RowSeen {
  const subject = named(row, headings.bus, site.buses);
  if ('wrong' in subject) {
    return subject;
  }
  const unit = pairUnit(kind, row);
  if (unit === undefined) {
    return { wrong: texts.noUnit };
  }
  const isOhm = unit.dimension === 'resistance';
  return reading(row, unit, subject.value, isOhm ? 'power-off' : 'idle');
}

/** Where the heading does not tell, a cell beside it or the reading itself may. */
function pairUnit(kind: 'ohms' | 'idle' | 'pair', row: Row): UnitDefinition | undefined {
  if (kind !== 'pair') {
    return unitOf(kind === 'ohms' ? 'ohm' : 'mV');
  }
  const beside = [headings.expected, headings.least, headings.most]
    .map((heading) => row.at(`${heading} unit`))
    .find((text) => text !== '');
  return unitOf(beside ?? /[a-z]+$/iu.exec(row.seen)?.[0] ?? '');
}

function readVoltage(site: Site, row: Row): RowSeen {
  const at = row.at(headings.at);
  if (at === '') {
    return { wrong: texts.noSubject(headings.at) };
  }
  const [device = '', member = ''] = splitPath(at);
  const isKnown =
    resolveInlet(site, device, member) !== undefined ||
    resolvePort(site, device, member) !== undefined;
  return isKnown
    ? reading(row, unitOf('V')!, at, undefined)
    : { wrong: texts.unknownSubject(at, nearNames(at, membersOf(site))) };
}

function reading(
  row: Row,
  unit: UnitDefinition,
  subject: string,
  state: 'idle' | 'power-off' | undefined,
): RowSeen {
  const value = row.seen === '' ? { wrong: texts.tickedOnly } : readReading(row.seen, unit);
  if ('wrong' in value) {
    return value;
  }
  return {
    value: {
      subject,
      seen: {
        how: 'measures',
        value: value.value,
        unit: unit.dimension === 'resistance' ? 'ohm' : 'V',
        ...(state === undefined ? {} : { state }),
      },
    },
  };
}

function named(
  row: Row,
  heading: string,
  known: { has(name: string): boolean; keys(): Iterable<string> },
): Read<string> {
  const name = row.at(heading);
  if (name === '') {
    return { wrong: texts.noSubject(heading) };
  }
  return known.has(name)
    ? { value: name }
    : { wrong: texts.unknownSubject(name, nearNames(name, known.keys())) };
}

function* membersOf(site: Site): Generator<string> {
  for (const { name, equipment } of site.devices.values()) {
    const one = site.equipment.get(equipment);
    for (const member of [...(one?.inlets ?? []), ...(one?.ports ?? [])]) {
      yield memberKey(name, member.name);
    }
  }
}

/** Names of assemblies have dots of their own, so the member is what stands behind the last one. */
function splitPath(text: string): readonly string[] {
  const dot = text.lastIndexOf('.');
  return dot < 0 ? [text] : [text.slice(0, dot), text.slice(dot + 1)];
}

/** Whether two observations cannot both be meant: the same question, the same day, another answer. */
function contradicts(one: Observation, other: Observation): boolean {
  if (one.subject !== other.subject || one.on !== other.on) {
    return false;
  }
  const [a, b] = [one.seen, other.seen];
  if (a.how === 'finds' && b.how === 'finds') {
    return a.count !== b.count;
  }
  if (a.how === 'measures' && b.how === 'measures') {
    return a.state === b.state && a.unit === b.unit && a.value !== b.value;
  }
  const isPage = (seen: Seen) => seen.how === 'page-opens' || seen.how === 'page-fails';
  return isPage(a) && isPage(b) && (a.how !== b.how || JSON.stringify(a) !== JSON.stringify(b));
}

/** Columns of the job pack that are printed and read by nobody here. */
const PRINTED: ReadonlySet<string> = new Set(['revision', 'status']);

class Row {
  readonly seen: string;

  constructor(
    private readonly table: FoundTable,
    private readonly cells: readonly string[],
  ) {
    this.seen = this.at(headings.seen);
  }

  at(heading: string): string {
    const index = this.table.columns.get(heading);
    return index === undefined ? '' : tidy(this.cells[index] ?? '');
  }

  get isEmpty(): boolean {
    return this.cells.every((cell) => tidy(cell) === '');
  }

  get isFilled(): boolean {
    return this.seen !== '' || this.at(headings.ok) !== '';
  }

  /** Headings of this row that somebody filled in and nobody reads. */
  get unread(): readonly string[] {
    return [...this.table.columns.keys()].filter(
      (heading) => !PRINTED.has(heading) && !isOfThePack(heading) && this.at(heading) !== '',
    );
  }
}

const OF_THE_PACK: ReadonlySet<string> = new Set<string>(
  Object.values(headings).filter((heading) => heading !== headings.initials),
);

/** A column that the job pack prints, with its unit or basis behind it. */
function isOfThePack(heading: string): boolean {
  return (
    OF_THE_PACK.has(heading) ||
    heading === headings.fingerprint.toLowerCase() ||
    [...OF_THE_PACK].some((one) => heading.startsWith(`${one} `))
  );
}
