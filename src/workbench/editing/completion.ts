/** What may be written at a position: keywords, names that fit, free addresses, values of a slot, whole statements. */
import type { Expected } from '../../language/expect.js';
import { lowerPiece, type LoweredDeclaration } from '../../language/lower.js';
import type { NameReference } from '../../language/reference.js';
import { compareNames, type Site } from '../../model/site.js';
import type { OpenSite } from '../open-site.js';
import { importOffers, type OtherFiles } from './completion/import-offers.js';
import { nameOffers, suitsDeclaration } from './completion/name-offers.js';
import { hasStops, type Offer } from './completion/offer.js';
import { slotOffers, unitOffers } from './completion/slot-offers.js';
import {
  declarationOffers,
  deviceParts,
  hasStatements,
  memberStatements,
} from './completion/statement-offers.js';
import { pieceAt } from './cursor.js';

export { plainText, snippetText, hasStops, type Offer } from './completion/offer.js';
export type { OtherFiles } from './completion/import-offers.js';

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
  /** Whether the editor knows tab stops; without them nothing is offered that has any. */
  readonly stops: boolean;
  readonly others: OtherFiles;
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
  const atColumnZero = /(?:^|\n)$/u.test(beginning) && !insideBlock(beginning);
  const offers = new Map<string, Offer>();
  const add = (offer: Offer) => {
    if (!offers.has(offer.text) && (input.stops || !hasStops(offer))) {
      offers.set(offer.text, offer);
    }
  };

  const expected = input.expectedAfter(beginning);
  if (!startsStatement) {
    const line = {
      before: /[^\n{}]*$/u.exec(beginning)![0],
      after: /^[^\n{}]*/u.exec(after)![0],
    };
    const context = readAtCursor(beginning, after);
    context.values.forEach(add);
    // Where the grammar takes no name, one was put in by mending a slip.
    const { reference, declaration } = context;
    if (reference !== undefined && expected.slots.size > 0) {
      nameOffers(open.site, reference, declaration, line)
        .flatMap((offer) => ownerOnly(offer, after))
        .map((offer) => withNeeds(open.site, offer, declaration, after))
        .forEach(add);
      importOffers(
        open,
        file,
        reference,
        (candidate) => suitsDeclaration(open.site, declaration?.record, candidate),
        input.others,
      ).forEach(add);
    }
    slotOffers(open.site, expected.slots, declaration).forEach(add);
    unitOffers(beginning, after).forEach(add);
  } else if (!/^[ \t\r]*(?:\n|\}|$)/u.test(after)) {
    // Something stands behind the cursor already: a whole statement would swallow it.
  } else if (atColumnZero) {
    declarationOffers(open.site).forEach(add);
  } else {
    const declaration = lowerPiece(beginning + after).declarations[0];
    if (hasStatements(declaration?.record)) {
      memberStatements(open.site, declaration, {
        file: path,
        offset: beginning.length,
        pieceStart: piece.start,
      }).forEach(add);
    }
  }
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

/** Where the member stands behind the cursor already, its owner alone is wanted. */
function ownerOnly(offer: Offer, after: string): Offer[] {
  const member = /^\.([\p{L}\d_-]+)/u.exec(after)?.[1];
  if (member === undefined || offer.kind !== 'member') {
    return [offer];
  }
  return offer.text.endsWith(`.${member}`)
    ? [{ ...offer, text: offer.text.slice(0, -member.length - 1) }]
    : [];
}

/** A new device gets what its equipment asks for, where the line says nothing of it yet. */
function withNeeds(
  site: Site,
  offer: Offer,
  declaration: LoweredDeclaration | undefined,
  after: string,
): Offer {
  const record = declaration?.record;
  const equipment = site.equipment.get(offer.text);
  const isNew =
    record?.kind === 'device' &&
    /^[ \t\r]*(?:\n|$)/u.test(after) &&
    !site.busLandingsOfDevice.has(record.name);
  return isNew && equipment !== undefined
    ? { ...offer, inserts: deviceParts(site, equipment, record.name) }
    : offer;
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
function readAtCursor(beginning: string, after: string): CursorContext {
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
