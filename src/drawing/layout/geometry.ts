/** Positions in px; x grows to the right, y downwards. */
export interface Point {
  readonly x: number;
  readonly y: number;
}

export interface Rect {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** True where two rectangles share area (touching edges do not count). */
export function rectsOverlap(one: Rect, other: Rect): boolean {
  return (
    one.x < other.x + other.width &&
    other.x < one.x + one.width &&
    one.y < other.y + other.height &&
    other.y < one.y + one.height
  );
}

/** A rectangle grown (or, with a negative number, shrunk) on all four sides. */
export function grown(rect: Rect, byPx: number): Rect {
  return {
    x: rect.x - byPx,
    y: rect.y - byPx,
    width: rect.width + 2 * byPx,
    height: rect.height + 2 * byPx,
  };
}

/** True where a horizontal or vertical line passes through the inside of a rectangle. */
export function lineEntersRect(from: Point, to: Point, rect: Rect): boolean {
  return (
    Math.max(from.x, to.x) > rect.x &&
    Math.min(from.x, to.x) < rect.x + rect.width &&
    Math.max(from.y, to.y) > rect.y &&
    Math.min(from.y, to.y) < rect.y + rect.height
  );
}

/** Removes repeated points and points in the middle of a straight line. */
export function tidied(points: readonly Point[]): Point[] {
  const kept: Point[] = [];
  for (const point of points) {
    const last = kept.at(-1);
    if (last && last.x === point.x && last.y === point.y) continue;
    const before = kept.at(-2);
    if (last && before && isBetween(before, last, point)) kept.pop();
    kept.push(point);
  }
  return kept;
}

function isBetween(before: Point, middle: Point, after: Point): boolean {
  const along = before.x === middle.x && middle.x === after.x;
  const across = before.y === middle.y && middle.y === after.y;
  if (along) return (middle.y - before.y) * (after.y - middle.y) > 0;
  return across && (middle.x - before.x) * (after.x - middle.x) > 0;
}
