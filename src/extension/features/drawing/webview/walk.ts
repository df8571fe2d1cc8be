import type { Point } from './camera.js';

/** Something in the picture that the keyboard can stand on. */
export interface Stop extends Point {
  place: string;
  /** Left and right stay on one chain; undefined: on the list of all. */
  chain?: string | undefined;
  area?: string | undefined;
}

export type Step =
  'next' | 'previous' | 'up' | 'down' | 'next-area' | 'previous-area' | 'first' | 'last';

/** The index of the stop to go to; the current one where there is no way on. */
export function stepFrom(stops: readonly Stop[], current: number, step: Step): number {
  const from = stops[current];
  if (from === undefined) {
    return stops.length === 0 ? -1 : 0;
  }
  switch (step) {
    case 'first':
      return 0;
    case 'last':
      return stops.length - 1;
    case 'next':
      return alongChain(stops, current, 1);
    case 'previous':
      return alongChain(stops, current, -1);
    case 'up':
      return across(stops, current, (stop) => from.y - stop.y);
    case 'down':
      return across(stops, current, (stop) => stop.y - from.y);
    case 'next-area':
      return toArea(stops, current, 1);
    case 'previous-area':
      return toArea(stops, current, -1);
  }
}

function alongChain(stops: readonly Stop[], current: number, direction: 1 | -1): number {
  const chain = stops[current]?.chain;
  for (let index = current + direction; index in stops; index += direction) {
    if (chain === undefined || stops[index]?.chain === chain) {
      return index;
    }
  }
  return current;
}

/** The nearest stop on one side; what stands straight across counts as nearer than what is aside. */
function across(stops: readonly Stop[], current: number, distance: (stop: Stop) => number): number {
  const from = stops[current];
  let best = current;
  let least = Infinity;
  stops.forEach((stop, index) => {
    const ahead = distance(stop);
    const cost = ahead + 2 * Math.abs(stop.x - (from?.x ?? 0));
    if (ahead > 1 && cost < least) {
      best = index;
      least = cost;
    }
  });
  return best;
}

/** The first stop of the next area in the order of the list, or of the one before. */
function toArea(stops: readonly Stop[], current: number, direction: 1 | -1): number {
  const areas = [...new Set(stops.map((stop) => stop.area))];
  const wanted = areas.indexOf(stops[current]?.area) + direction;
  return wanted in areas ? stops.findIndex((stop) => stop.area === areas[wanted]) : current;
}
