/** From the model's numbers to the marked numbers of documents. */
import type { LengthBasis } from '../analysis/run.js';
import type { SiteCable } from '../analysis/cabling/cables.js';
import type { Basis } from '../model/finding.js';
import type { PlacedRoom } from '../model/site.js';
import type { ConductorSize } from '../model/quantity.js';
import { missing, quantity } from './document.js';
import type { Mark, Missing, Quantity } from './document.js';
import { words } from './texts/words.js';

/** The surest to the least sure. */
const SURENESS: readonly Mark[] = [
  'published',
  'measured',
  'stated',
  'computed',
  'estimated',
  'assumed',
];

/** The mark of a number that rests on others: never surer than the least sure of them. */
export function leastSure(marks: readonly Mark[]): Mark {
  return marks.reduce(
    (worst, mark) => (SURENESS.indexOf(mark) > SURENESS.indexOf(worst) ? mark : worst),
    'computed',
  );
}

/** The length of a cable for a cell. */
export function lengthCell(cable: SiteCable): Quantity | Missing {
  return cable.lengthM === null
    ? missing(words.lengthUnknown)
    : quantity(cable.lengthM, 'm', markOf(cable.lengthBasis), 2);
}

/** A basis as a mark; what is unknown carries no number, so it never gets here with one. */
export function markOf(basis: Basis | LengthBasis): Mark {
  return basis === 'unknown' ? 'assumed' : basis;
}

/** The size of a conductor as stated. */
export function sizeCell(size: ConductorSize | undefined): Quantity | '' {
  if (size === undefined) {
    return '';
  }
  return size.mm2 === undefined
    ? quantity(size.awg, 'AWG', 'stated')
    : quantity(size.mm2, 'mm2', 'stated');
}

/** A place for people: `Level1 / Reading`. */
export function placeText(room: PlacedRoom | undefined): string {
  if (room === undefined) {
    return words.placeUnknown;
  }
  return `${room.area.title ?? room.area.name} / ${room.room.title ?? room.room.name}`;
}
