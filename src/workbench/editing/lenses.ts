/** Short lines of computed values: above a declaration (lenses) and behind a statement (inlay hints). */
import { factOf, factsOf } from '../../analysis/facts.js';
import type { LoweredDeclaration } from '../../language/lower.js';
import { formatNumber } from '../../model/quantity.js';
import type { Declaration } from '../../model/records.js';
import { memberKey, type Site } from '../../model/site.js';
import { segmentTo } from '../../analysis/run.js';
import type { Bus, Feed } from '../../model/wiring.js';
import type { OpenSite } from '../open-site.js';
import type { SourceFile } from '../source-file.js';

/** A declaration that has a line of totals; {@link lensText} says them, for those that somebody sees. */
export interface Lens {
  /** Where the declaration's name stands, as offsets in the file. */
  readonly start: number;
  readonly end: number;
  readonly name: string;
}

export interface InlayText {
  readonly offset: number;
  readonly text: string;
}

/** The buses, feeds, supplies, controllers, networks and pieces of equipment of a file. */
export function lensesOf({ site }: OpenSite, file: SourceFile): Lens[] {
  return declarationsOf(file).flatMap(({ declaration, pieceStart }) => {
    const { record } = declaration;
    const name = declaration.origins.get('name');
    return name === undefined || !('name' in record) || !hasTotals(site, record)
      ? []
      : [{ start: pieceStart + name.start, end: pieceStart + name.end, name: record.name }];
  });
}

/** Whether there is something to add up, told without adding it up. */
function hasTotals(site: Site, record: Declaration): boolean {
  switch (record.kind) {
    case 'bus':
    case 'feed':
    case 'network':
      return true;
    case 'device': {
      const equipment = site.equipment.get(record.equipment);
      return equipment !== undefined && equipment.supervises.length + equipment.outlets.length > 0;
    }
    case 'equipment':
      return site.devicesOf.has(record.name);
    default:
      return false;
  }
}

/** Computed results behind landings and inlet lines whose offsets lie between two offsets. */
export function inlaysOf(open: OpenSite, file: SourceFile, from: number, to: number): InlayText[] {
  return declarationsOf(file)
    .filter(({ declaration, pieceStart }) => {
      const all = declaration.origins.get('all');
      return all !== undefined && pieceStart + all.end >= from && pieceStart + all.start <= to;
    })
    .flatMap(({ declaration, pieceStart }) => inlaysIn(open.site, declaration, pieceStart));
}

/** The totals of a declaration; empty where nothing of it can be computed. */
export function lensText(site: Site, name: string): string {
  const record = site.byName.get(name)?.record;
  switch (record?.kind) {
    case 'bus': {
      const voltage = lowest(site, record);
      return join([
        ofLimit(site, name, 'drops', ''),
        ofLimit(site, name, 'total-length', ' m'),
        voltage === undefined ? '' : `${formatNumber(voltage, 1)} V at the lowest`,
      ]);
    }
    case 'feed':
      return join([
        ofLimit(site, name, 'load', ` ${String(factOf(site, name, 'load')?.unit ?? '')}`),
        lowest(site, record) === undefined
          ? ''
          : `${formatNumber(lowest(site, record)!, 1)} V at the lowest`,
      ]);
    case 'device':
      return join([finds(site, name), ...outletsOf(site, name)]);
    case 'network':
      return join([hostsOf(site, name), value(site, name, 'free', ' free')]);
    case 'equipment': {
      const count = site.devicesOf.get(name)?.length ?? 0;
      return count === 0 ? '' : `${count} ${count === 1 ? 'device' : 'devices'}`;
    }
    default:
      return '';
  }
}

function hostsOf(site: Site, name: string): string {
  const hosts = factOf(site, name, 'hosts')?.value;
  return typeof hosts === 'number' ? `${hosts} ${hosts === 1 ? 'host' : 'hosts'}` : '';
}

function finds(site: Site, name: string): string {
  const fact = factOf(site, name, 'finds');
  return typeof fact?.value === 'number' ? `finds ${fact.value}` : '';
}

function outletsOf(site: Site, device: string): string[] {
  const equipment = site.equipment.get(site.devices.get(device)?.equipment ?? '');
  return (equipment?.outlets ?? []).map((outlet) => {
    const key = memberKey(device, outlet.name);
    const load = factOf(site, key, 'load');
    return typeof load?.value === 'number'
      ? `${outlet.name} ${ofLimit(site, key, 'load', ` ${load.unit}`)}`
      : '';
  });
}

/** The lowest computed voltage along a run. */
function lowest(site: Site, run: Bus | Feed): number | undefined {
  const voltages = run.landings.flatMap((landing) =>
    factsOf(site, memberKey(landing.device, landing.member))
      .filter((fact) => fact.fact === 'voltage' && typeof fact.value === 'number')
      .map((fact) => fact.value as number),
  );
  return voltages.length === 0 ? undefined : Math.min(...voltages);
}

function ofLimit(site: Site, subject: string, fact: string, unit: string): string {
  const found = factOf(site, subject, fact);
  if (typeof found?.value !== 'number') {
    return '';
  }
  const word = unit === '' ? ` ${fact}` : unit;
  const limit = found.limit === undefined ? '' : ` of ${formatNumber(found.limit, 1)}`;
  const about = found.basis === 'estimated' ? '≈ ' : '';
  return `${about}${formatNumber(found.value, 1)}${limit}${word}`;
}

function value(site: Site, subject: string, fact: string, word: string): string {
  const found = factOf(site, subject, fact);
  return typeof found?.value === 'number' ? `${formatNumber(found.value)}${word}` : '';
}

function inlaysIn(site: Site, declaration: LoweredDeclaration, pieceStart: number): InlayText[] {
  const { record, origins } = declaration;
  const behind = (part: string, text: string): InlayText[] => {
    const span = origins.get(part);
    return span === undefined || text === '' ? [] : [{ offset: pieceStart + span.end, text }];
  };
  if (record.kind === 'bus' || record.kind === 'feed') {
    const running: (number | undefined)[] = [];
    return record.landings.flatMap((landing) => {
      const before = landing.from === undefined ? 0 : running[landing.from];
      const lengthM = segmentTo(site, record, landing.index)?.lengthM;
      const isFirstOfBus = record.kind === 'bus' && landing.from === undefined;
      running[landing.index] =
        before === undefined || (lengthM ?? null) === null
          ? isFirstOfBus
            ? 0
            : undefined
          : before + lengthM!;
      const metres = running[landing.index];
      return behind(
        `land/${landing.index}`,
        join([
          metres === undefined || metres === 0 ? '' : `at ${formatNumber(metres, 1)} m`,
          voltageAt(site, memberKey(landing.device, landing.member)),
        ]),
      );
    });
  }
  if (record.kind === 'device') {
    return record.inletLines.flatMap((line) =>
      behind(`inlet/${line.index}`, voltageAt(site, memberKey(record.name, line.inlet))),
    );
  }
  return [];
}

function voltageAt(site: Site, subject: string): string {
  const fact = factOf(site, subject, 'voltage');
  return typeof fact?.value === 'number' ? `${formatNumber(fact.value, 1)} V` : '';
}

function declarationsOf(file: SourceFile) {
  return file.pieces.flatMap((piece) =>
    piece.lowered.declarations.map((declaration) => ({ declaration, pieceStart: piece.start })),
  );
}

function join(texts: readonly string[]): string {
  return texts.filter((text) => text !== '').join(' · ');
}
