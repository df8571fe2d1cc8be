/**
 * Where a record came from, said without offsets.
 *
 * Records of the model carry no position, so that two models compare by value and an edit above
 * moves nothing. A {@link Place} names a declaration and a part of it; the language keeps, beside
 * each declaration's record, a table from parts to offsets inside the declaration.
 */

/** The key of a declaration in a site: its name, or a text such as `accept bus-too-long on field-1`. */
export type DeclarationId = string;

/**
 * A part of a declaration.
 *
 * `''` is the declaration's first line, `name` its name; the rest are paths such as `land/3`,
 * `land/3/length`, `inlet/mains/from`, `address/0`. Build them with {@link part}.
 */
export type PartPath = string;

/** A place in the site's text. */
export interface Place {
  readonly declaration: DeclarationId;
  readonly part: PartPath;
}

/** The first line of a declaration. */
export function placeOf(declaration: DeclarationId, partPath: PartPath = 'name'): Place {
  return { declaration, part: partPath };
}

/** Joins the steps of a part's path. */
export function part(...steps: readonly (string | number)[]): PartPath {
  return steps.join('/');
}

/** One key for a place, to be used in maps and as an opaque mark in drawings. */
export function placeKey(place: Place): string {
  return `${place.declaration}\u0001${place.part}`;
}

/** The place that a key stands for. */
export function placeFromKey(key: string): Place {
  const cut = key.indexOf('\u0001');
  return cut < 0
    ? { declaration: key, part: 'name' }
    : { declaration: key.slice(0, cut), part: key.slice(cut + 1) };
}
