/** The shortest way through rooms: exact against trying every order, the search against the exact one. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { exactRoute, searchedRoute, shortestRoute } from '../../src/analysis/graph/routes.js';
import type { Route, RouteEnds } from '../../src/analysis/graph/routes.js';

/** Rooms of a house: along, across and up, several of them in one place now and then. */
const rooms = (most: number, least = 1) =>
  fc
    .array(
      fc.record({
        x: fc.integer({ min: 0, max: 60 }),
        y: fc.integer({ min: 0, max: 25 }),
        level: fc.integer({ min: 0, max: 4 }).map((floor) => 3.5 * floor),
      }),
      { minLength: least, maxLength: most },
    )
    .map((places) =>
      places.map((one) =>
        places.map(
          (other) =>
            Math.abs(one.x - other.x) +
            Math.abs(one.y - other.y) +
            Math.abs(one.level - other.level) +
            4,
        ),
      ),
    );

const chosenEnds = fc.record({
  first: fc.option(fc.nat(), { nil: undefined }),
  last: fc.option(fc.nat(), { nil: undefined }),
});

function endsWithin(
  count: number,
  drawn: { readonly first: number | undefined; readonly last: number | undefined },
): RouteEnds {
  const first = drawn.first === undefined ? undefined : drawn.first % count;
  const last = drawn.last === undefined ? undefined : drawn.last % count;
  return {
    ...(first === undefined ? {} : { first }),
    ...(last === undefined || last === first ? {} : { last }),
  };
}

function expectWay(route: Route, distances: readonly (readonly number[])[], ends: RouteEnds): void {
  expect([...route.order].sort((one, other) => one - other)).toEqual([...distances.keys()]);
  expect(route.length).toBeCloseTo(lengthOf(route.order, distances), 9);
  if (ends.first !== undefined) {
    expect(route.order[0]).toBe(ends.first);
  }
  if (ends.last !== undefined) {
    expect(route.order.at(-1)).toBe(ends.last);
  }
}

function lengthOf(order: readonly number[], distances: readonly (readonly number[])[]): number {
  let sum = 0;
  for (let position = 1; position < order.length; position += 1) {
    sum += distances[order[position - 1]!]![order[position]!]!;
  }
  return sum;
}

/** By trying every order. */
function shortestByTrying(distances: readonly (readonly number[])[], ends: RouteEnds): number {
  const count = distances.length;
  let best = Number.POSITIVE_INFINITY;
  const go = (order: readonly number[], length: number): void => {
    if (length >= best) {
      return;
    }
    if (order.length === count) {
      best = ends.last === undefined || order.at(-1) === ends.last ? length : best;
      return;
    }
    for (let next = 0; next < count; next += 1) {
      if (!order.includes(next)) {
        go([...order, next], length + distances[order.at(-1)!]![next]!);
      }
    }
  };
  const heads = ends.first === undefined ? [...distances.keys()] : [ends.first];
  heads.forEach((head) => go([head], 0));
  return best;
}

describe('the exact route', () => {
  it('is as short as the shortest of all orders', () => {
    fc.assert(
      fc.property(rooms(7), chosenEnds, (distances, drawn) => {
        const ends = endsWithin(distances.length, drawn);
        const route = exactRoute(distances, ends);
        expectWay(route, distances, ends);
        expect(route.length).toBeCloseTo(shortestByTrying(distances, ends), 9);
      }),
      { numRuns: 1000 },
    );
  });

  it('is taken up to twelve places, and no longer', () => {
    const along = (count: number) =>
      Array.from({ length: count }, (_, one) =>
        Array.from({ length: count }, (__, other) => Math.abs(one - other)),
      );
    expect(shortestRoute(along(12))).toMatchObject({ length: 11, exact: true });
    expect(shortestRoute(along(13))).toMatchObject({ length: 12, exact: false });
    expect(shortestRoute([])).toEqual({ order: [], length: 0, exact: true });
    expect(shortestRoute([[0]])).toEqual({ order: [0], length: 0, exact: true });
  });
});

describe('the searched route', () => {
  it('is a way through all places with its ends kept, however many there are', () => {
    fc.assert(
      fc.property(rooms(40), chosenEnds, (distances, drawn) => {
        const ends = endsWithin(distances.length, drawn);
        expectWay(searchedRoute(distances, ends), distances, ends);
      }),
      { numRuns: 200 },
    );
  });

  it('is the exact one in 99 of 100 houses of ten to twelve rooms, and never 2 % longer', () => {
    let same = 0;
    let tried = 0;
    let worst = 1;
    fc.assert(
      fc.property(rooms(12, 10), chosenEnds, (distances, drawn) => {
        const ends = endsWithin(distances.length, drawn);
        const exact = exactRoute(distances, ends).length;
        const { length } = searchedRoute(distances, ends);
        expect(length).toBeGreaterThanOrEqual(exact - 1e-9);
        tried += 1;
        same += length <= exact + 1e-9 ? 1 : 0;
        worst = Math.max(worst, length / exact);
      }),
      { numRuns: 1000 },
    );
    expect(worst).toBeLessThan(1.02);
    expect(same / tried).toBeGreaterThan(0.99);
  });

  it('finds the way of a house whose shortest one is known: floors of rooms in a row', () => {
    // Six floors of eight rooms, 5 m apart, 3.5 m up: up and down the floors like a snake.
    const places = Array.from({ length: 48 }, (_, index) => ({
      x: 5 * (((index * 29) % 48) % 8),
      level: 3.5 * Math.floor(((index * 29) % 48) / 8),
    }));
    const distances = places.map((one) =>
      places.map((other) => Math.abs(one.x - other.x) + Math.abs(one.level - other.level)),
    );
    // Along the risers: eight of five storeys and seven steps of 5 m; no way of 47 hops is shorter.
    expect(searchedRoute(distances).length).toBeCloseTo(8 * 5 * 3.5 + 7 * 5, 9);
  });

  it('is the same every time', () => {
    fc.assert(
      fc.property(rooms(30, 13), (distances) => {
        expect(searchedRoute(distances)).toEqual(searchedRoute(distances));
      }),
      { numRuns: 30 },
    );
  });
});
