/** Colours by meaning: what each name stands for, whether it is declared there, unused or deprecated. */
import type { LoweredPiece } from '../../language/lower.js';
import { resolveName } from '../../language/resolve.js';
import type { NameReference } from '../../language/reference.js';
import type { Site } from '../../model/site.js';
import type { SourceFile, SourcePiece } from '../source-file.js';
import type { CheckedSite } from '../workbench.js';

/** Standard kinds, in the order in which they are announced. */
export const tokenTypes = [
  'namespace',
  'type',
  'class',
  'variable',
  'function',
  'struct',
  'property',
  'enumMember',
] as const;

export type TokenType = (typeof tokenTypes)[number];

export const tokenModifiers = ['declaration', 'deprecated', 'unused'] as const;

export type TokenModifier = (typeof tokenModifiers)[number];

export interface SemanticToken {
  /** From 0. */
  readonly line: number;
  readonly character: number;
  readonly length: number;
  readonly type: TokenType;
  readonly modifiers: readonly TokenModifier[];
}

/** The tokens of the pieces that reach into some lines, in text order; of the whole file where none are given. */
export function tokensOf(
  checked: CheckedSite,
  file: SourceFile,
  fromLine = 0,
  toLine = Number.POSITIVE_INFINITY,
): SemanticToken[] {
  const { site } = checked.open;
  const unused = new Set(
    checked.findings.flatMap(({ finding }) =>
      finding.rule === 'template-unused' && finding.waived === null ? [finding.subject] : [],
    ),
  );
  const tokens: SemanticToken[] = [];
  for (const piece of file.pieces) {
    const next = file.pieces[piece.index + 1]?.line ?? Number.POSITIVE_INFINITY;
    if (next < fromLine || piece.line > toLine) {
      continue;
    }
    for (const one of namesIn(piece)) {
      const type = one.type ?? typeOf(site, one.reference!);
      if (type !== undefined) {
        tokens.push({
          line: piece.line + one.line,
          character: one.character,
          length: one.length,
          type,
          modifiers: modifiersOf(site, one, type, unused),
        });
      }
    }
  }
  return tokens;
}

const noModifiers: readonly TokenModifier[] = [];
const declaresOnly: readonly TokenModifier[] = ['declaration'];

/** Most names have none or one, and a file has many names, so lists are made only where they differ. */
function modifiersOf(
  site: Site,
  { name, declares, atTop }: NameInPiece,
  type: TokenType,
  unused: ReadonlySet<string>,
): readonly TokenModifier[] {
  const isDeprecated = type === 'class' && site.equipment.get(name)?.deprecated !== undefined;
  const isUnused = declares && atTop && unused.has(name);
  const plain = declares ? declaresOnly : noModifiers;
  return isDeprecated || isUnused
    ? [
        ...plain,
        ...(isDeprecated ? (['deprecated'] as const) : []),
        ...(isUnused ? (['unused'] as const) : []),
      ]
    : plain;
}

interface NameInPiece {
  readonly line: number;
  readonly character: number;
  readonly length: number;
  readonly name: string;
  /** Undefined where the site has to tell. */
  readonly type: TokenType | undefined;
  readonly reference: NameReference | undefined;
  readonly declares: boolean;
  readonly atTop: boolean;
}

/** A piece is lowered once for each text, so what is kept with it lives as long as its text does. */
const kept = new WeakMap<LoweredPiece, readonly NameInPiece[]>();

function namesIn(piece: SourcePiece): readonly NameInPiece[] {
  let found = kept.get(piece.lowered);
  if (found === undefined) {
    found = readNames(piece);
    kept.set(piece.lowered, found);
  }
  return found;
}

function readNames({ text, lowered }: SourcePiece): readonly NameInPiece[] {
  const starts = [0, ...[...text.matchAll(/\n/gu)].map((match) => match.index + 1)];
  const names = new Map<number, NameInPiece>();
  const add = (
    span: { start: number; end: number },
    more: Pick<NameInPiece, 'type' | 'reference' | 'declares' | 'atTop'>,
  ) => {
    const line = starts.findLastIndex((start) => start <= span.start);
    const length = span.end - span.start;
    if (length > 0 && !names.has(span.start)) {
      const character = span.start - starts[line]!;
      names.set(span.start, {
        line,
        character,
        length,
        name: text.slice(span.start, span.end),
        ...more,
      });
    }
  };
  for (const { record, origins, references, slots } of lowered.declarations) {
    if ('name' in record) {
      const span = origins.get('name');
      if (span !== undefined && text.slice(span.start, span.end) === record.name) {
        add(span, {
          type: typeOfKind[record.kind],
          reference: undefined,
          declares: true,
          atTop: true,
        });
      }
    }
    for (const [part, span] of origins) {
      const member = /^(port|inlet|outlet|lan|way|room)\/[^/]+\/name$/u.exec(part)?.[1];
      // In a device, an inlet line names an inlet of its equipment.
      if (member !== undefined && record.kind !== 'device') {
        add(span, { type: typeOfKind[member], reference: undefined, declares: true, atTop: false });
      }
    }
    for (const reference of references) {
      const kinds = new Set(reference.wants.map((kind) => typeOfKind[kind]));
      const [only] = kinds;
      add(reference, {
        type: kinds.size === 1 ? only : undefined,
        reference,
        declares: false,
        atTop: false,
      });
    }
    for (const slot of slots) {
      add(slot, { type: 'enumMember', reference: undefined, declares: false, atTop: false });
    }
  }
  return [...names.values()].sort(
    (one, other) => one.line - other.line || one.character - other.character,
  );
}

const typeOfKind: Readonly<Record<string, TokenType>> = {
  site: 'namespace',
  area: 'namespace',
  room: 'namespace',
  bustype: 'type',
  cable: 'type',
  equipment: 'class',
  assembly: 'class',
  device: 'variable',
  instance: 'variable',
  part: 'variable',
  parameter: 'property',
  isolator: 'variable',
  bus: 'function',
  feed: 'function',
  board: 'struct',
  network: 'struct',
  zone: 'struct',
  containment: 'struct',
  port: 'property',
  inlet: 'property',
  outlet: 'property',
  lan: 'property',
  way: 'property',
  router: 'property',
};

function typeOf(site: Site, reference: NameReference): TokenType | undefined {
  const resolution = resolveName(site, reference);
  if (resolution.kind !== 'found') {
    return undefined;
  }
  const { declaration, part } = resolution.place;
  const kind = part === 'name' ? site.byName.get(declaration)?.record.kind : part.split('/')[0];
  return kind === undefined ? undefined : typeOfKind[kind];
}
