/** The outline of a file: its declarations and their named parts. */
import type { Declaration } from '../../model/records.js';
import type { Range } from '../../model/located.js';
import type { LoweredDeclaration, LoweredPiece } from '../../language/lower.js';
import { rangeOf, type SourceFile, type SourcePiece } from '../source-file.js';

export interface OutlineItem {
  readonly name: string;
  readonly kind:
    Declaration['kind'] | 'port' | 'inlet' | 'outlet' | 'lan' | 'way' | 'room' | 'landing' | 'host';
  readonly detail: string;
  readonly range: Range;
  readonly nameRange: Range;
  readonly children: readonly OutlineItem[];
}

/** The declarations of a file in text order. Items of a piece that neither changed nor moved are the same objects. */
export function outlineOf(file: SourceFile): OutlineItem[] {
  return file.pieces.flatMap((piece) => {
    let known = kept.get(piece.lowered);
    if (known?.line !== piece.line) {
      known = { line: piece.line, items: itemsIn(file, piece) };
      kept.set(piece.lowered, known);
    }
    return known.items;
  });
}

/** A piece starts at column 0, so what is in it moves by whole lines. */
const kept = new WeakMap<
  LoweredPiece,
  { readonly line: number; readonly items: readonly OutlineItem[] }
>();

function itemsIn(file: SourceFile, piece: SourcePiece): readonly OutlineItem[] {
  return piece.lowered.declarations.flatMap((declaration) => {
    const all = declaration.origins.get('all');
    const name = declaration.origins.get('name');
    if (all === undefined || name === undefined) {
      return [];
    }
    return [
      {
        name: titleOf(declaration.record),
        kind: declaration.record.kind,
        detail: detailOf(declaration.record),
        range: span(file, piece, all),
        nameRange: span(file, piece, name),
        children: childrenOf(file, piece, declaration),
      },
    ];
  });
}

function titleOf(record: Declaration): string {
  switch (record.kind) {
    case 'use':
      return `use ${record.path}`;
    case 'accept':
      return `accept ${record.rule} on ${record.on}`;
    case 'observed':
      return `observed ${record.subject}`;
    default:
      return record.name;
  }
}

function detailOf(record: Declaration): string {
  switch (record.kind) {
    case 'device':
      return [record.equipment, record.room].filter((text) => text !== undefined).join(', ');
    case 'bus':
      return `${record.busType}, ${count(record.landings.length, 'landing')}`;
    case 'feed':
      return `from ${record.from.owner}.${record.from.member}, ${count(record.landings.length, 'landing')}`;
    case 'board':
      return count(record.ways.length, 'way');
    case 'area':
      return count(record.rooms.length, 'room');
    case 'network':
      return [record.prefix ?? '', count(record.hosts.length, 'host')]
        .filter((text) => text !== '')
        .join(', ');
    case 'zone':
      return count(record.units.length, 'unit');
    case 'equipment':
      return record.role;
    default:
      return 'title' in record ? (record.title ?? '') : '';
  }
}

function childrenOf(
  file: SourceFile,
  piece: SourcePiece,
  declaration: LoweredDeclaration,
): OutlineItem[] {
  const { record, origins } = declaration;
  const child = (
    name: string,
    kind: OutlineItem['kind'],
    detail: string,
    part: string,
  ): OutlineItem[] => {
    const all = origins.get(part);
    const own = origins.get(`${part}/name`) ?? origins.get(`${part}/target`) ?? all;
    return all === undefined || own === undefined
      ? []
      : [
          {
            name,
            kind,
            detail,
            range: span(file, piece, all),
            nameRange: span(file, piece, own),
            children: [],
          },
        ];
  };
  switch (record.kind) {
    case 'equipment':
      return [
        ...record.inlets.flatMap((one) => child(one.name, 'inlet', 'inlet', `inlet/${one.name}`)),
        ...record.outlets.flatMap((one) =>
          child(one.name, 'outlet', 'outlet', `outlet/${one.name}`),
        ),
        ...record.ports.flatMap((one) => child(one.name, 'port', one.busType, `port/${one.name}`)),
        ...record.lans.flatMap((one) =>
          child(one.name, 'lan', 'network socket', `lan/${one.name}`),
        ),
      ];
    case 'board':
      return record.ways.flatMap((one) =>
        child(one.name, 'way', one.title ?? '', `way/${one.name}`),
      );
    case 'area':
      return record.rooms.flatMap((one) =>
        child(one.name, 'room', one.title ?? '', `room/${one.name}`),
      );
    case 'bus':
    case 'feed':
      return record.landings.flatMap((one) =>
        child(`${one.device}.${one.member}`, 'landing', '', `land/${one.index}`),
      );
    case 'network':
      return record.hosts.flatMap((one) =>
        child(`${one.device}.${one.lan}`, 'host', one.address ?? 'dhcp', `host/${one.index}`),
      );
    default:
      return [];
  }
}

function span(file: SourceFile, piece: SourcePiece, one: { start: number; end: number }): Range {
  return rangeOf(file, piece.start + one.start, piece.start + one.end);
}

function count(number: number, word: string): string {
  return `${number} ${word}${number === 1 ? '' : 's'}`;
}
