/** Slips of the pen: one small mistake put into a right site, as people make them while typing. */
import { CstUtils, GrammarAST } from 'langium';
import type { FerruleLexer } from '../../src/language/lexer.js';
import { lowerPiece } from '../../src/language/lower.js';
import { languageServices, parsePiece, scan } from '../../src/language/parse.js';
import { splitText } from '../../src/language/split.js';
import { NEAR_MISS_UNITS, readQuantity, UNITS } from '../../src/model/quantity.js';
import type { Random } from './random.js';
import type { RightSite } from './slip-sites.js';

export const slipKinds = [
  'a letter of a keyword',
  'a letter of a name',
  'a letter of a member',
  'a unit left out',
  'a wrong unit',
  'a unit in other words',
  'a decimal comma',
  'a closing brace left out',
  'an opening brace left out',
  'a quote left out',
  'a device written twice',
  'a declaration left out',
  'a line cut short',
  'an unknown value',
  'a waiver without its reason',
] as const;
export type SlipKind = (typeof slipKinds)[number];

export interface Slip {
  readonly kind: SlipKind;
  readonly files: Readonly<Record<string, string>>;
  readonly file: string;
  /** Lines of the file, from 0, at which the slip may be reported. */
  readonly lines: readonly number[];
  /** What stood there, and what stands there now. */
  readonly from: string;
  readonly to: string;
  /** Names that nothing declares any more. */
  readonly lost: readonly string[];
  /** False where the text still reads, so that it says something else and not something wrong. */
  readonly isSlip: boolean;
}

/** A slip of a kind at a random place; undefined where the site has no place for it, or it would mean something. */
export function slip(site: RightSite, kind: SlipKind, random: Random): Slip | undefined {
  const places = placesFor(site, kind);
  if (places.length === 0) {
    return undefined;
  }
  const place = random.pick(places);
  const text = site.files[place.file]!;
  const change = place.change(random);
  if (change === undefined) {
    return undefined;
  }
  const files = { ...site.files };
  files[place.file] = text.slice(0, change.start) + change.to + text.slice(change.end);
  const file = change.inFile ?? place.file;
  if (change.append !== undefined) {
    files[file] = `${files[file]!.trimEnd()}\n${change.append}`;
  }
  const lineOf = (offset: number) => files[file]!.slice(0, offset).split('\n').length - 1;
  const lines =
    change.append === undefined
      ? (change.said ?? [change.start]).map(lineOf)
      : [lineOf(files[file]!.length - change.append.length)];
  return {
    kind,
    files,
    file,
    lines,
    from: text.slice(change.start, change.end) || (change.append ?? ''),
    to: change.to,
    lost: change.lost ?? [],
    isSlip: kind !== 'a line cut short' || !stillReads(site, files[file]!, change.start),
  };
}

/** Whether the declaration at an offset has no slip and uses no name that is new. */
function stillReads(site: RightSite, text: string, offset: number): boolean {
  const piece = splitText(text).findLast(({ start }) => start <= offset)!;
  const { problems, declarations } = lowerPiece(piece.text);
  return (
    problems.length === 0 &&
    declarations.every(({ references }) => references.every(({ name }) => namesOf(site).has(name)))
  );
}

interface Change {
  readonly start: number;
  readonly end: number;
  readonly to: string;
  /** Offsets in the changed text at whose lines it may be reported; left out: `start`. */
  readonly said?: readonly number[];
  readonly append?: string;
  readonly inFile?: string;
  readonly lost?: readonly string[];
}

interface Place {
  readonly file: string;
  change(random: Random): Change | undefined;
}

const kept = new WeakMap<RightSite, Map<SlipKind, readonly Place[]>>();

function placesFor(site: RightSite, kind: SlipKind): readonly Place[] {
  const byKind = kept.get(site) ?? new Map<SlipKind, readonly Place[]>();
  kept.set(site, byKind);
  let places = byKind.get(kind);
  if (places === undefined) {
    places = Object.entries(site.files).flatMap(([file, text]) =>
      splitText(text).flatMap((piece) => placesIn(site, file, piece.start, piece.text, kind)),
    );
    byKind.set(kind, places);
  }
  return places;
}

function placesIn(
  site: RightSite,
  file: string,
  at: number,
  text: string,
  kind: SlipKind,
): Place[] {
  const put = (start: number, end: number, to: string, said?: readonly number[]): Place => ({
    file,
    change: () => ({
      start: at + start,
      end: at + end,
      to,
      ...(said === undefined ? {} : { said: said.map((one) => at + one) }),
    }),
  });
  const { tokens } = scan(text);
  const quantities = tokens.filter((token) => token.tokenType.name === 'QUANTITY');
  const ofToken = (token: (typeof tokens)[number], to: string) =>
    put(token.startOffset, token.startOffset + token.image.length, to);
  switch (kind) {
    case 'a letter of a keyword':
      return keywordsIn(text).map(({ start, word }) => ({
        file,
        change: (random) => {
          const wrong = mistyped(word, random);
          return isKeyword(wrong)
            ? undefined
            : { start: at + start, end: at + start + word.length, to: wrong };
        },
      }));
    case 'a letter of a name':
    case 'a letter of a member':
      return lowerPiece(text).declarations.flatMap(({ references }) =>
        references
          .filter((one) => (one.owner === undefined) === (kind === 'a letter of a name'))
          .map(({ start, end, name }): Place => ({
            file,
            change: (random) => {
              const wrong = mistyped(name, random);
              return namesOf(site).has(wrong)
                ? undefined
                : { start: at + start, end: at + end, to: wrong };
            },
          })),
      );
    case 'a unit left out':
      return quantities.map((token) => ofToken(token, numberOf(token.image)));
    case 'a wrong unit':
      return quantities.map((token): Place => ({
        file,
        change: (random) => {
          const { dimension } = readQuantity(token.image).unit!;
          const isNear = (one: string) =>
            one === dimension || ['voltage', 'current', 'power', 'count'].includes(one);
          const other = random.pick(UNITS.filter((unit) => !isNear(unit.dimension)));
          return {
            start: at + token.startOffset,
            end: at + token.startOffset + token.image.length,
            to: `${numberOf(token.image)} ${other.symbol}`,
          };
        },
      }));
    case 'a unit in other words':
      return quantities.flatMap((token) =>
        Object.entries(NEAR_MISS_UNITS)
          .filter(([, meant]) => meant === readQuantity(token.image).unit?.symbol)
          .map(([written]) => ofToken(token, `${numberOf(token.image)} ${written}`)),
      );
    case 'a decimal comma':
      return tokens
        .filter(({ tokenType }) => ['QUANTITY', 'NUMBER'].includes(tokenType.name))
        .filter(({ image }) => image.includes('.'))
        .map((token) => ofToken(token, token.image.replace('.', ',')));
    case 'a closing brace left out':
      return bracesIn(tokens).map(({ open, close }) => put(close, close + 1, '', [open, close]));
    case 'an opening brace left out':
      return bracesIn(tokens).map(({ open, close }) => put(open, open + 1, '', [open, close - 1]));
    case 'a quote left out':
      return tokens
        .filter(({ tokenType }) => tokenType.name === 'STRING')
        .flatMap((token) => {
          const last = token.startOffset + token.image.length - 1;
          return [put(token.startOffset, token.startOffset + 1, ''), put(last, last + 1, '')];
        });
    case 'a device written twice':
      return /^device /mu.test(text)
        ? [
            {
              file,
              change: (random) => ({
                start: 0,
                end: 0,
                to: '',
                append: text.slice(text.search(/^device /mu)).trimEnd() + '\n',
                inFile: random.pick([file, site.root]),
              }),
            },
          ]
        : [];
    case 'a declaration left out': {
      const declared = lowerPiece(text).declarations[0];
      const names = declared === undefined ? [] : namesDeclared(text);
      const isUsed = names.some(
        (name, index) =>
          (index === 0 || declared?.record.kind === 'area') && usesOf(site, name, text) > 0,
      );
      return isUsed
        ? [
            {
              file,
              change: () => ({ start: at, end: at + text.length, to: '', lost: names, said: [] }),
            },
          ]
        : [];
    }
    case 'a line cut short':
      return [...text.matchAll(/^ +\S.*$/gmu)]
        .filter(([line]) => !/^\s*(?:\/\/|\})/u.test(line!) && !/[{}]/u.test(line!))
        .map((match): Place => ({
          file,
          change: (random) => {
            const line = match[0];
            const first = line.search(/\S/u);
            const cut = random.integer(first + 1, line.length - 1);
            return {
              start: at + match.index + cut,
              end: at + match.index + line.length,
              to: '',
            };
          },
        }));
    case 'an unknown value':
      return lowerPiece(text).declarations.flatMap(({ slots }) =>
        slots.map(({ start, end, values }): Place => ({
          file,
          change: (random) => {
            const wrong = random.pick(['zigzag', mistyped(text.slice(start, end), random)]);
            return wrong in values || isKeyword(wrong)
              ? undefined
              : { start: at + start, end: at + end, to: wrong };
          },
        })),
      );
    case 'a waiver without its reason':
      return [...text.matchAll(/ because "[^"]*"/gu)].map((match) =>
        put(match.index, match.index + match[0].length, ''),
      );
  }
}

/** A word with one letter changed, left out, put in or swapped with its neighbour. */
export function mistyped(word: string, random: Random): string {
  const letters = 'abcdefghijklmnopqrstuvwxyz';
  for (;;) {
    const at = random.integer(0, word.length - 1);
    const letter = random.pick([...letters]);
    const wrong = random.pick([
      word.slice(0, at) + letter + word.slice(at + 1),
      word.slice(0, at) + word.slice(at + 1),
      word.slice(0, at) + letter + word.slice(at),
      word.slice(0, at) +
        word
          .slice(at, at + 2)
          .split('')
          .reverse()
          .join('') +
        word.slice(at + 2),
    ]);
    if (wrong !== word && /^\p{L}[\p{L}\d_]*(?:-[\p{L}\d_]+)*$/u.test(wrong)) {
      return wrong;
    }
  }
}

function isKeyword(word: string): boolean {
  return (languageServices().parser.Lexer as FerruleLexer).keywords.has(word);
}

/** Words that the parser read as keywords. */
function keywordsIn(text: string): { start: number; word: string }[] {
  const { $cstNode } = parsePiece(text).file;
  return $cstNode === undefined
    ? []
    : CstUtils.flattenCst($cstNode)
        .filter((leaf) => GrammarAST.isKeyword(leaf.grammarSource) && /^[a-z]/u.test(leaf.text))
        .map((leaf) => ({ start: leaf.offset, word: leaf.text }))
        .toArray();
}

function bracesIn(
  tokens: readonly { image: string; startOffset: number }[],
): { open: number; close: number }[] {
  const open: number[] = [];
  const pairs: { open: number; close: number }[] = [];
  for (const { image, startOffset } of tokens) {
    if (image === '{') {
      open.push(startOffset);
    } else if (image === '}') {
      pairs.push({ open: open.pop()!, close: startOffset });
    }
  }
  return pairs;
}

function numberOf(quantity: string): string {
  return /^[+-]?\d+(?:[.,]\d+)?(?:\/\d+(?:[.,]\d+)?)?/u.exec(quantity)![0];
}

const namesKept = new WeakMap<RightSite, ReadonlySet<string>>();

/** Every name that something in the site has. */
function namesOf(site: RightSite): ReadonlySet<string> {
  let names = namesKept.get(site);
  if (names === undefined) {
    names = new Set(
      Object.values(site.files).flatMap((text) =>
        splitText(text).flatMap((piece) => namesDeclared(piece.text)),
      ),
    );
    namesKept.set(site, names);
  }
  return names;
}

/** The name of a piece's declaration and those of its members. */
function namesDeclared(text: string): string[] {
  return lowerPiece(text).declarations.flatMap(({ origins }) =>
    [...origins]
      .filter(([part]) => part === 'name' || part.endsWith('/name'))
      .sort(([one], [other]) => Number(other === 'name') - Number(one === 'name'))
      .map(([, span]) => text.slice(span.start, span.end))
      .filter((name) => /^\p{L}[\p{L}\d_-]*$/u.test(name)),
  );
}

/** How often a name at column 0, or that of a room, is used outside of a piece. */
function usesOf(site: RightSite, name: string, exceptIn: string): number {
  return Object.values(site.files)
    .flatMap((text) => splitText(text))
    .filter((piece) => piece.text !== exceptIn)
    .flatMap((piece) => lowerPiece(piece.text).declarations)
    .flatMap(({ references }) => references)
    .filter((reference) => reference.owner === undefined && reference.name === name).length;
}
