/** What of a site's text is not in its records, and what that hides. */
import type { Damage, LostDeclaration } from '../model/damage.js';
import type { Finding } from '../model/finding.js';
import type { DeclarationId, PartPath } from '../model/origin.js';
import type { DeclarationKind } from '../model/records.js';
import type { Site } from '../model/site.js';
import type { LoweredDeclaration, LoweredPiece } from './lower.js';
import type { NameReference } from './reference.js';

/** Words in text that could not be read: a name among them may be declared there. */
export interface Unread {
  readonly words: ReadonlySet<string>;
  /** Declarations that may have a member in text that could not be read. */
  readonly partlyRead: ReadonlySet<DeclarationId>;
  /** Whether a file of the site is missing, so that it may declare anything. */
  readonly hasMissingFile: boolean;
}

export const NOTHING_UNREAD: Unread = {
  words: new Set(),
  partlyRead: new Set(),
  hasMissingFile: false,
};

/** A piece with the keys of its declarations. */
interface ReadPiece {
  readonly text: string;
  readonly lowered: LoweredPiece;
  readonly ids: readonly DeclarationId[];
}

/** A name that stands for nothing. */
export interface UnknownName {
  readonly declaration: DeclarationId;
  readonly lowering: LoweredDeclaration;
  readonly reference: NameReference;
  /** False where a thing of that name exists and is of another kind, or lacks the member. */
  readonly isMissing: boolean;
}

const filesNotRead: ReadonlySet<string> = new Set([
  'import-missing',
  'import-unreadable',
  'package-missing',
  'package-unreadable',
  'package-language-unsupported',
]);

export function unreadOf(pieces: readonly ReadPiece[], opening: readonly Finding[]): Unread {
  const words = new Set<string>();
  const partlyRead = new Set<DeclarationId>();
  let hasMissingFile = opening.some(({ rule }) => filesNotRead.has(rule));
  for (const piece of pieces) {
    unreadWords(piece).forEach((word) => words.add(word));
    if (piece.lowered.unread.length > 0) {
      piece.ids.forEach((id) => partlyRead.add(id));
    }
    hasMissingFile ||=
      isLost(piece) && /^(?:use(?!\S)|\p{L}+ +"[^"\n]*\.ferrule)/mu.test(piece.text);
  }
  return words.size === 0 && partlyRead.size === 0 && !hasMissingFile
    ? NOTHING_UNREAD
    : { words, partlyRead, hasMissingFile };
}

/**
 * The damage that slips, unknown names, doubled names and files that were not read do to a site.
 * `pieces`: those at least that have a problem or declare a name again.
 */
export function damageOf(
  site: Site,
  pieces: readonly ReadPiece[],
  unknown: readonly UnknownName[],
  { hasMissingFile }: Unread,
): Damage {
  const hurt = new Map<DeclarationId, PartPath[]>();
  const lost: LostDeclaration[] = hasMissingFile ? [{ kinds: [] }] : [];
  const hurtAt = (id: DeclarationId, part: PartPath) => {
    const parts = hurt.get(id);
    if (parts === undefined) {
      hurt.set(id, [part]);
    } else {
      parts.push(part);
    }
  };
  for (const piece of pieces) {
    const { lowered, ids, text } = piece;
    const places = [
      ...lowered.unread,
      ...lowered.problems.filter(({ understood }) => understood !== true),
    ];
    if (places.length > 0 && ids.length === 0) {
      lost.push({ kinds: kindsIn(text), mentions: new Set(wordsOf(text)) });
    }
    for (const { start } of ids.length === 0 ? [] : places) {
      const index = Math.max(
        0,
        lowered.declarations.findIndex(({ origins }) => isWithin(origins.get('all'), start)),
      );
      hurtAt(ids[index]!, partAt(lowered.declarations[index]!, start));
    }
  }
  for (const { declaration, lowering, reference, isMissing } of unknown) {
    hurtAt(declaration, partAt(lowering, reference.start));
    if (isMissing && reference.owner === undefined && reference.wants.length > 0) {
      lost.push({ kinds: reference.wants as readonly DeclarationKind[] });
    }
  }
  for (const { again } of site.duplicates) {
    const piece = pieces.find(({ ids }) => ids.includes(again.id));
    lost.push({ kinds: [again.record.kind], mentions: new Set(wordsOf(piece?.text ?? '')) });
  }
  hurtWithin(site, hurt);
  return { hurt, lost };
}

/** What is hurt in an assembly or an instance is hurt in all that it stands for. */
function hurtWithin(site: Site, hurt: Map<DeclarationId, PartPath[]>): void {
  if (hurt.size === 0) {
    return;
  }
  for (const { name, assembly, parts } of site.instances.values()) {
    if (hurt.has(name) || hurt.has(assembly)) {
      parts.forEach((part) => hurt.set(part, ['']));
    }
  }
}

/** The smallest part of a declaration that an offset stands in; '' where that is the whole. */
function partAt({ origins }: LoweredDeclaration, offset: number): PartPath {
  let smallest = '';
  let length = Number.POSITIVE_INFINITY;
  for (const [part, span] of origins) {
    const isWhole = part === '' || part === 'all' || part === 'name';
    if (!isWhole && isWithin(span, offset) && span.end - span.start < length) {
      smallest = part;
      length = span.end - span.start;
    }
  }
  return smallest;
}

function isWithin(span: { start: number; end: number } | undefined, offset: number): boolean {
  return span !== undefined && offset >= span.start && offset <= span.end;
}

function isLost({ lowered, ids }: ReadPiece): boolean {
  return ids.length === 0 && lowered.problems.length > 0;
}

function unreadWords(piece: ReadPiece): string[] {
  const { text, lowered } = piece;
  return isLost(piece)
    ? wordsOf(text)
    : lowered.unread.flatMap(({ start, end }) => wordsOf(text.slice(start, end)));
}

function wordsOf(text: string): string[] {
  return text.replaceAll(/\/\/[^\n]*/gu, '').match(/\p{L}[\p{L}\d_]*(?:-[\p{L}\d_]+)*/gu) ?? [];
}

const kindByWord: ReadonlyMap<string, DeclarationKind> = new Map(
  (
    [
      'site',
      'bustype',
      'cable',
      'equipment',
      'area',
      'board',
      'isolator',
      'device',
      'bus',
      'feed',
      'containment',
      'network',
      'zone',
      'accept',
      'observed',
      'assembly',
      'use',
    ] as const
  ).map((kind) => [kind, kind]),
);

/** What a text that could not be read declares, by its first word. */
function kindsIn(text: string): readonly DeclarationKind[] {
  const word = /^[ \t]*(\p{L}+)/mu.exec(text.replaceAll(/\/\/[^\n]*/gu, ''))?.[1];
  const kind = word === undefined ? undefined : kindByWord.get(word);
  return kind === undefined || kind === 'use' ? [] : [kind];
}
