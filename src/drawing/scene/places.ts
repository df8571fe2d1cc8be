import { placeOf, type Place } from '../../model/origin.js';
import type { Mark } from './scene.js';

/** Stands between a declaration and a part of it; neither ever holds it. */
const SEPARATOR = '#';

/** A place as the opaque text that a drawing carries. */
export function markText(place: Place): string {
  return `${place.declaration}${SEPARATOR}${place.part}`;
}

/** The place that a drawing's opaque text stands for. */
export function placeOfMark(text: string): Place {
  const cut = text.lastIndexOf(SEPARATOR);
  return cut < 0 ? placeOf(text) : { declaration: text.slice(0, cut), part: text.slice(cut + 1) };
}

export function markOf(name: string, place: Place): Mark {
  return { place: markText(place), name };
}
