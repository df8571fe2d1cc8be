/** Syntax tree → plain records, one declaration at a time. Never throws; keeps what is right of a half-typed text. */
import type { Declaration } from '../model/records.js';
import type * as ast from './generated/ast.js';
import { lowerAssembly } from './lower/assembly.js';
import { lowerNetwork } from './lower/network.js';
import { lowerArea, lowerBoard, lowerDevice, lowerIsolator, lowerSite } from './lower/places.js';
import { Reader, type Span, type ValueSlot } from './lower/reader.js';
import { lowerBus, lowerContainment, lowerFeed } from './lower/runs.js';
import { lowerObservation, lowerWaiver, lowerZone } from './lower/statements.js';
import { lowerBusType, lowerCable, lowerEquipment } from './lower/templates.js';
import { parsePiece } from './parse.js';
import type { PieceProblem } from './problem.js';
import type { NameReference } from './reference.js';
import { texts } from './texts.js';

/** One declaration, lowered. Offsets count from the start of its piece. */
export interface LoweredDeclaration {
  readonly record: Declaration;
  readonly origins: ReadonlyMap<string, Span>;
  readonly references: readonly NameReference[];
  readonly slots: readonly ValueSlot[];
}

/** What a piece of text says: normally one declaration. A pure function of the text, so it is kept by the text. */
export interface LoweredPiece {
  readonly declarations: readonly LoweredDeclaration[];
  readonly problems: readonly PieceProblem[];
  /** Parts of the text that are not, or not surely, in the declarations. */
  readonly unread: readonly Span[];
}

export function lowerPiece(text: string): LoweredPiece {
  const { file, problems, unread } = parsePiece(text);
  const all: PieceProblem[] = [];
  const declarations: LoweredDeclaration[] = [];
  const damaged = problems.length > 0;
  for (const node of file.declarations) {
    const reader = new Reader();
    const start = node.$cstNode?.offset ?? 0;
    if (!isAtColumnZero(text, start) && !damaged) {
      reader.problem(
        {
          rule: 'syntax-error',
          ...texts.notAtColumnZero(/^\S+/u.exec(text.slice(start))?.[0] ?? ''),
          understood: true,
          ...moveToColumnZero(text, start),
        },
        { start, end: start + (/^\S+/u.exec(text.slice(start))?.[0] ?? '').length },
      );
    }
    const record = lowerDeclaration(reader, node);
    all.push(...reader.problems);
    if (record === undefined) {
      continue;
    }
    const doc = docBefore(text, start);
    reader.markSpan('', { start, end: endOfLine(text, start) });
    reader.markSpan('all', { start, end: node.$cstNode?.end ?? text.length });
    if ('name' in node) {
      reader.mark('name', node, 'name');
    } else {
      reader.markSpan('name', reader.origins.get(''));
    }
    declarations.push({
      record: doc === undefined || !('name' in record) ? record : { ...record, doc },
      origins: reader.origins,
      references: reader.references,
      slots: reader.slots,
    });
  }
  return { declarations, problems: oncePerLine(text, problems, all), unread };
}

/**
 * What the parser found, and what reading its tree found in other lines: a value that is missing in a
 * line with a slip is missing because of it.
 */
function oncePerLine(
  text: string,
  fromParser: readonly PieceProblem[],
  fromReading: readonly PieceProblem[],
): PieceProblem[] {
  const lineStart = (offset: number) => text.lastIndexOf('\n', offset - 1) + 1;
  const linesOf = (problems: readonly PieceProblem[]) =>
    new Set(problems.map(({ start }) => lineStart(start)));
  const said = linesOf(fromParser);
  const wrong = linesOf(fromReading.filter(({ ifWhole }) => ifWhole !== true));
  const isPartlyUnread = fromParser.some(({ understood }) => understood !== true);
  return [
    ...fromParser,
    ...fromReading.filter(({ start, ifWhole }) => {
      const line = lineStart(start);
      return !said.has(line) && !(ifWhole === true && (isPartlyUnread || wrong.has(line)));
    }),
  ].sort((one, other) => one.start - other.start);
}

function lowerDeclaration(reader: Reader, node: ast.Declaration): Declaration | undefined {
  if (node.$type === 'UseLine') {
    const path = reader.text(node.path);
    reader.mark('path', node, 'path');
    return path === undefined ? undefined : { kind: 'use', path };
  }
  if (node.$type === 'WaiverLine') {
    return lowerWaiver(reader, node);
  }
  if (node.$type === 'ObservationLine') {
    return lowerObservation(reader, node);
  }
  if (node.name === undefined || node.name === '') {
    return undefined;
  }
  switch (node.$type) {
    case 'SiteBlock':
      return lowerSite(reader, node);
    case 'BusTypeBlock':
      return lowerBusType(reader, node);
    case 'CableBlock':
      return lowerCable(reader, node);
    case 'EquipmentBlock':
      return lowerEquipment(reader, node);
    case 'AreaBlock':
      return lowerArea(reader, node);
    case 'BoardBlock':
      return lowerBoard(reader, node);
    case 'IsolatorLine':
      return lowerIsolator(reader, node);
    case 'DeviceBlock':
      return lowerDevice(reader, node);
    case 'BusBlock':
      return lowerBus(reader, node);
    case 'FeedBlock':
      return lowerFeed(reader, node);
    case 'ContainmentBlock':
      return lowerContainment(reader, node);
    case 'NetworkBlock':
      return lowerNetwork(reader, node);
    case 'ZoneBlock':
      return lowerZone(reader, node);
    case 'AssemblyBlock':
      return lowerAssembly(reader, node);
  }
}

/** The `///` lines right above a declaration. */
function docBefore(text: string, start: number): string | undefined {
  const lines = text.slice(0, start).split('\n').slice(0, -1).reverse();
  const doc: string[] = [];
  for (const line of lines) {
    const match = /^\s*\/\/\/ ?(.*?)\s*$/u.exec(line);
    if (match === null) {
      break;
    }
    doc.unshift(match[1]!);
  }
  return doc.length === 0 ? undefined : doc.join('\n');
}

/** The fix for a declaration that is alone on its line and only indented. */
function moveToColumnZero(text: string, start: number): Pick<PieceProblem, 'replacement'> {
  const lineStart = text.lastIndexOf('\n', start - 1) + 1;
  return text.slice(lineStart, start).trim() === ''
    ? {
        replacement: {
          title: texts.moveToStart,
          text: '',
          at: { start: lineStart, end: start },
        },
      }
    : {};
}

function isAtColumnZero(text: string, start: number): boolean {
  return start === 0 || text[start - 1] === '\n';
}

function endOfLine(text: string, start: number): number {
  const end = text.indexOf('\n', start);
  return end < 0 ? text.trimEnd().length : text.slice(start, end).trimEnd().length + start;
}
