import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { editDistance, nearNames } from '../../src/analysis/near-names.js';
import { compareNames } from '../../src/model/site.js';

describe('the names that somebody may have meant', () => {
  it.each([
    ['feild', ['field', 'room'], ['field']],
    ['W9', ['W1', 'W2', 'Q1'], ['W1', 'W2']],
    ['FC-1-3', ['FC-1-03', 'FC-1-13', 'OU-1'], ['FC-1-03', 'FC-1-13']],
    ['screend', ['screened', 'screen'], ['screen', 'screened']],
  ])('%s is near', (mistyped, known, near) => {
    expect(nearNames(mistyped, known)).toEqual(near);
  });

  it('are found whatever the case of the letters', () => {
    expect(nearNames('b', ['A', 'B', 'C'])).toEqual(['B']);
  });

  it('are none for a single letter that stands for another', () => {
    expect(nearNames('X', ['B', 'C', 'D', 'gG'])).toEqual([]);
  });

  it('are none where too much differs', () => {
    expect(nearNames('valve', ['field', 'room', 'mains'])).toEqual([]);
  });

  const word = fc.string({ unit: fc.constantFrom('a', 'b', 'C', '-', '1'), maxLength: 9 });

  it('are measured as by the definition of the distance', () => {
    fc.assert(
      fc.property(word, word, fc.nat({ max: 9 }), (from, to, allowed) => {
        const distance = plainDistance(from, to);
        expect(editDistance(from, to, allowed)).toBe(distance > allowed ? undefined : distance);
      }),
      { numRuns: 5000 },
    );
  });

  it('are the nearest of all that are near', () => {
    fc.assert(
      fc.property(word, fc.array(word, { maxLength: 30 }), (mistyped, known) => {
        const near = known
          .map((name) => ({
            name,
            distance: plainDistance(mistyped.toLowerCase(), name.toLowerCase()),
            longer: Math.max(name.length, mistyped.length),
          }))
          .filter(
            ({ distance, longer }) =>
              distance <= (longer === 1 ? 0 : Math.max(1, Math.floor(longer / 3))),
          )
          .sort((one, other) => one.distance - other.distance || compareNames(one.name, other.name))
          .map(({ name }) => name);
        expect(nearNames(mistyped, known)).toEqual(near.slice(0, 3));
      }),
      { numRuns: 2000 },
    );
  });
});

/** Optimal string alignment by its recursive definition (Boytsov 2011, section 2.1; from memory). */
function plainDistance(from: string, to: string, known = new Map<string, number>()): number {
  const key = `${from.length} ${to.length}`;
  const found = known.get(key);
  if (found !== undefined) {
    return found;
  }
  const rest = (one: number, other: number) =>
    plainDistance(from.slice(0, from.length - one), to.slice(0, to.length - other), known);
  const distances =
    from === '' || to === ''
      ? [Math.max(from.length, to.length)]
      : [
          rest(1, 0) + 1,
          rest(0, 1) + 1,
          rest(1, 1) + (from.at(-1) === to.at(-1) ? 0 : 1),
          ...(from.length > 1 &&
          to.length > 1 &&
          from.at(-1) === to.at(-2) &&
          from.at(-2) === to.at(-1)
            ? [rest(2, 2) + 1]
            : []),
        ];
  const distance = Math.min(...distances);
  known.set(key, distance);
  return distance;
}
