/** What may be written at a position: keywords, names that fit, free addresses, values of a slot. */
import { freePortsFor } from '../../analysis/bus/vacancy.js';
import { freeDeviceAddresses } from '../../analysis/graph/addresses.js';
import { freeLaptopAddress, nextFreeHost } from '../../analysis/network/plan.js';
import type { Expected } from '../../language/expect.js';
import { lowerPiece, type LoweredDeclaration } from '../../language/lower.js';
import { candidates, kindName, membersOf } from '../../language/resolve.js';
import type { NameReference } from '../../language/reference.js';
import { unitsFor } from '../../model/quantity.js';
import { compareNames, equipmentOf, memberKey, type Site } from '../../model/site.js';
import type { Bus, Feed } from '../../model/wiring.js';
import type { OpenSite } from '../open-site.js';
import { pieceAt } from './cursor.js';

export interface Offer {
  readonly text: string;
  readonly kind: 'keyword' | 'name' | 'member' | 'value' | 'address' | 'unit';
  readonly detail: string;
  /** Offers with a lower rank stand first. */
  readonly rank: number;
}

export interface Completion {
  readonly offers: readonly Offer[];
  /** Offsets in the file of what an offer replaces. */
  readonly start: number;
  readonly end: number;
  /** True where more would fit than are given. */
  readonly cut: boolean;
}

/** More than this helps nobody, and costs time. */
const mostOffers = 200;

/** A word that no text has; it stands at the cursor while the piece is read. */
const placeholder = 'zzCursorzz';

export interface CompletionInput {
  readonly open: OpenSite;
  readonly path: string;
  readonly offset: number;
  /** What the grammar allows behind a beginning; given by the caller since it loads editor services. */
  readonly expectedAfter: (beginning: string) => Expected;
  readonly statementKeywords: ReadonlySet<string>;
}

export function completionAt(input: CompletionInput): Completion {
  const { open, path, offset } = input;
  const file = open.files.find((one) => one.path === path);
  const piece = file && pieceAt(file, offset);
  if (file === undefined || piece === undefined) {
    return { offers: [], start: offset, end: offset, cut: false };
  }
  const before = file.text.slice(piece.start, offset);
  const lineBefore = before.slice(before.lastIndexOf('\n') + 1);
  if (isInTextOrComment(lineBefore)) {
    return { offers: [], start: offset, end: offset, cut: false };
  }
  const typed = /[\p{L}\d_-]*$/u.exec(before)![0];
  const beginning = before.slice(0, before.length - typed.length);
  const rest = /^[\p{L}\d_-]*/u.exec(file.text.slice(offset))![0];
  const after = file.text.slice(offset + rest.length, piece.start + piece.text.length);
  const startsStatement = /(?:^|[\n{])[ \t]*$/u.test(beginning);
  const offers = new Map<string, Offer>();
  const add = (offer: Offer) => {
    if (!offers.has(offer.text)) {
      offers.set(offer.text, offer);
    }
  };

  const expected = input.expectedAfter(beginning);
  if (!startsStatement) {
    const context = readAtCursor(open.site, beginning, after);
    context.values.forEach(add);
    if (context.reference !== undefined) {
      referenceOffers(open.site, context.reference, context.declaration).forEach(add);
    }
    slotOffers(open.site, expected.slots, context.declaration).forEach(add);
    unitOffers(beginning).forEach(add);
  }
  const atColumnZero = /(?:^|\n)$/u.test(beginning) && !insideBlock(beginning);
  for (const keyword of expected.keywords) {
    const starts = input.statementKeywords.has(keyword);
    if (startsStatement ? starts : !starts || isFlagToo(keyword)) {
      add({
        text: keyword,
        kind: 'keyword',
        detail: '',
        rank: startsStatement ? (atColumnZero ? 1 : 2) : 5,
      });
    }
  }
  const wanted = typed.toLowerCase();
  const fitting = [...offers.values()]
    .filter((offer) => offer.text.toLowerCase().includes(wanted))
    .sort(
      (one, other) =>
        one.rank - other.rank ||
        Number(other.text.toLowerCase().startsWith(wanted)) -
          Number(one.text.toLowerCase().startsWith(wanted)) ||
        compareNames(one.text, other.text),
    );
  return {
    offers: fitting.slice(0, mostOffers),
    start: offset - typed.length,
    end: offset + rest.length,
    cut: fitting.length > mostOffers,
  };
}

/** Words that start a statement in one block and are flags in another. */
function isFlagToo(keyword: string): boolean {
  return ['main', 'screened', 'twisted', 'name', 'terminator', 'capacity', 'screen'].includes(
    keyword,
  );
}

function isInTextOrComment(line: string): boolean {
  let inText = false;
  for (let index = 0; index < line.length; index++) {
    if (line[index] === '"' && line[index - 1] !== '\\') {
      inText = !inText;
    } else if (!inText && line[index] === '/' && line[index + 1] === '/') {
      return true;
    }
  }
  return inText;
}

function insideBlock(beginning: string): boolean {
  return (beginning.match(/\{/gu)?.length ?? 0) > (beginning.match(/\}/gu)?.length ?? 0);
}

interface CursorContext {
  readonly reference?: NameReference;
  readonly declaration?: LoweredDeclaration;
  readonly values: readonly Offer[];
}

/** Reads the piece with a word put at the cursor: what reads that word knows what it wants there. */
function readAtCursor(site: Site, beginning: string, after: string): CursorContext {
  const at = beginning.length;
  const lowered = lowerPiece(beginning + placeholder + after);
  for (const declaration of lowered.declarations) {
    const reference = declaration.references.find(
      (one) => one.start === at && one.name === placeholder,
    );
    const slot = declaration.slots.find((one) => one.start === at);
    if (reference !== undefined || slot !== undefined) {
      return {
        declaration,
        ...(reference === undefined ? {} : { reference }),
        values: Object.entries(slot?.values ?? {}).map(([text, detail]) => ({
          text,
          kind: 'value',
          detail,
          rank: 0,
        })),
      };
    }
  }
  // A number may be wanted where no name fits; then the declaration is read around one.
  const declaration =
    lowerPiece(`${beginning}0${after}`).declarations[0] ?? lowered.declarations[0];
  return { values: [], ...(declaration === undefined ? {} : { declaration }) };
}

function referenceOffers(
  site: Site,
  reference: NameReference,
  declaration: LoweredDeclaration | undefined,
): Offer[] {
  const record = declaration?.record;
  const { wants, owner } = reference;
  if (owner !== undefined) {
    const free =
      record?.kind === 'bus'
        ? new Set(
            freePortsFor(site, known(site, record)).map(
              (one) => `${one.device.name}.${one.port.name}`,
            ),
          )
        : undefined;
    return [...membersOf(site, owner, wants)].flatMap(([name, member]) => {
      const fits = free === undefined || member.kind !== 'port' || free.has(memberKey(owner, name));
      return fits || portFits(site, record as Bus, owner, name)
        ? [
            {
              text: name,
              kind: 'member' as const,
              detail: kindName(member.kind),
              rank: fits ? 0 : 1,
            },
          ]
        : [];
    });
  }
  if (record?.kind === 'bus' && wants.includes('device')) {
    return freePortsFor(site, known(site, record)).map(({ device, port }) => ({
      text: memberKey(device.name, port.name),
      kind: 'member',
      detail: [port.busType, device.room].filter((text) => text !== undefined).join(', '),
      rank: 0,
    }));
  }
  if (record?.kind === 'feed' && wants.includes('device') && !wants.includes('board')) {
    return freeInlets(site, record);
  }
  if (wants.includes('board') && (wants.includes('device') || wants.includes('board'))) {
    return powerPoints(site);
  }
  if (record?.kind === 'network' && wants.includes('device')) {
    return [...site.devices.values()].flatMap((device) =>
      (equipmentOf(site, device)?.lans ?? [])
        .filter((lan) => !site.hosts.has(memberKey(device.name, lan.name)))
        .map((lan) => ({
          text: memberKey(device.name, lan.name),
          kind: 'member' as const,
          detail: device.equipment,
          rank: 0,
        })),
    );
  }
  return candidates(site, wants).map((name) => ({
    text: name,
    kind: 'name',
    detail: detailOf(site, name),
    rank: 0,
  }));
}

/** The bus as the site knows it, so that what is landed on it already is not offered again. */
function known(site: Site, bus: Bus): Bus {
  return site.buses.get(bus.name) ?? bus;
}

function portFits(site: Site, bus: Bus, owner: string, port: string): boolean {
  if (bus?.kind !== 'bus') {
    return true;
  }
  const device = site.devices.get(owner);
  const equipment = device && equipmentOf(site, device);
  return equipment?.ports.some((one) => one.name === port && one.busType === bus.busType) === true;
}

/** Inlets that nothing feeds yet. */
function freeInlets(site: Site, feed: Feed): Offer[] {
  return [...site.devices.values()].flatMap((device) =>
    (equipmentOf(site, device)?.inlets ?? [])
      .filter((inlet) => {
        const key = memberKey(device.name, inlet.name);
        return (
          !site.feedLandings.has(key) &&
          !site.inletLines.has(key) &&
          device.name !== feed.from.owner
        );
      })
      .map((inlet) => ({
        text: memberKey(device.name, inlet.name),
        kind: 'member' as const,
        detail:
          inlet.voltage === undefined
            ? ''
            : `${inlet.voltage.volts} V${inlet.voltage.kind === undefined ? '' : inlet.voltage.kind.toUpperCase()}`,
        rank: 0,
      })),
  );
}

/** Ways and outlets, as what something may be fed from. */
function powerPoints(site: Site): Offer[] {
  const ways = [...site.boards.values()].flatMap((board) =>
    board.ways.map((way) => ({
      text: memberKey(board.name, way.name),
      kind: 'member' as const,
      detail: way.title ?? 'way',
      rank: 0,
    })),
  );
  const outlets = [...site.devices.values()].flatMap((device) =>
    (equipmentOf(site, device)?.outlets ?? []).map((outlet) => ({
      text: memberKey(device.name, outlet.name),
      kind: 'member' as const,
      detail: 'outlet',
      rank: 1,
    })),
  );
  return [...ways, ...outlets];
}

function slotOffers(
  site: Site,
  slots: ReadonlySet<string>,
  declaration: LoweredDeclaration | undefined,
): Offer[] {
  const record = declaration?.record;
  if (slots.has('AddressFact.value') && record?.kind === 'device') {
    const device = site.devices.get(record.name) ?? record;
    return first(freeDeviceAddresses(site, device), 5).map((address, index) => ({
      text: String(address),
      kind: 'address',
      detail: index === 0 ? 'next free address' : 'free address',
      rank: 0,
    }));
  }
  const wantsHost = ['HostLine.address', 'LaptopLine.address', 'RouterLine.address'].some((slot) =>
    slots.has(slot),
  );
  if (wantsHost && record?.kind === 'network') {
    const network = site.networks.get(record.name) ?? record;
    const address = slots.has('LaptopLine.address')
      ? freeLaptopAddress(site, network)
      : nextFreeHost(site, network);
    return address === undefined
      ? []
      : [{ text: address, kind: 'address', detail: 'free address', rank: 0 }];
  }
  return [];
}

/** Units behind a number: the ones that the statement's keyword asks for. */
function unitOffers(beginning: string): Offer[] {
  const statement = /([a-z][a-z-]*)[^\n{}]*?(?:^|[ \t])[+-]?\d+(?:[.,]\d+)?[ \t]+$/mu.exec(
    beginning,
  );
  const dimension = statement === null ? undefined : unitsByKeyword[statement[1]!];
  return dimension === undefined
    ? []
    : unitsFor(dimension).map((unit) => ({
        text: unit.symbol,
        kind: 'unit',
        detail: unit.dimension,
        rank: 1,
      }));
}

const unitsByKeyword: Readonly<Record<string, Parameters<typeof unitsFor>[0]>> = {
  land: 'length',
  spur: 'length',
  ring: 'length',
  last: 'length',
  reel: 'length',
  level: 'length',
  length: 'length',
  drops: 'count',
  power: 'voltage',
  rated: 'voltage',
  rate: 'rate',
  ampacity: 'current',
  impedance: 'resistance',
  'conductor-temperature': 'temperature',
};

function detailOf(site: Site, name: string): string {
  const record = site.byName.get(name)?.record;
  if (record === undefined) {
    return 'room';
  }
  return 'title' in record && record.title !== undefined ? record.title : kindName(record.kind);
}

function first<Value>(values: Iterable<Value>, most: number): Value[] {
  const taken: Value[] = [];
  for (const value of values) {
    if (taken.length >= most) {
      break;
    }
    taken.push(value);
  }
  return taken;
}
