/** Single failures of any dependency graph, against taking each element out and starting everything anew. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { DependencyGraph } from '../../src/analysis/graph/single-failures.js';

interface Drawn {
  readonly how: 'any' | 'all';
  readonly element: string | undefined;
  readonly needs: readonly number[];
}

/** Graphs with cycles, several sources. */
const graphs = fc
  .array(
    fc.record({
      how: fc.constantFrom('any', 'any', 'any', 'all'),
      needs: fc.array(fc.nat(), { maxLength: 3 }),
      fails: fc.boolean(),
    }),
    { minLength: 1, maxLength: 14 },
  )
  .map((all) =>
    all.map(({ how, needs, fails }, index): Drawn => ({
      how: how as 'any' | 'all',
      element: fails ? `e${index}` : undefined,
      needs: [...new Set(needs.map((need) => need % all.length))],
    })),
  );

/** Least fixed point by asking every node again until nothing changes. */
function working(graph: readonly Drawn[], failed: string | undefined): readonly boolean[] {
  const works = graph.map(() => false);
  for (let changed = true; changed;) {
    changed = false;
    graph.forEach(({ how, element, needs }, index) => {
      const now =
        (failed === undefined || element !== failed) &&
        (how === 'all' ? needs.every((need) => works[need]) : needs.some((need) => works[need]));
      if (now && !works[index]) {
        works[index] = true;
        changed = true;
      }
    });
  }
  return works;
}

describe('single failures', () => {
  it('are those that taking each element out shows', () => {
    let losses = 0;
    fc.assert(
      fc.property(graphs, (drawn) => {
        const graph = new DependencyGraph();
        drawn.forEach(({ how, element }) => graph[how](element));
        drawn.forEach(({ needs }, index) => needs.forEach((need) => graph.give(index, need)));
        const solved = graph.solve();
        const intact = working(drawn, undefined);
        expect(drawn.map((_, index) => solved.works(index))).toEqual(intact);
        for (const { element } of drawn) {
          if (element !== undefined) {
            const left = working(drawn, element);
            const lost = drawn.flatMap((_, index) =>
              intact[index] && !left[index] ? [index] : [],
            );
            expect([...solved.lostWith(element)].sort((one, other) => one - other)).toEqual(lost);
            losses += lost.length;
          }
        }
      }),
      { numRuns: 5000 },
    );
    expect(losses).toBeGreaterThan(3000);
  });

  it('takes nothing down with an element that nobody knows', () => {
    const graph = new DependencyGraph();
    graph.all('a');
    expect([...graph.solve().lostWith('b')]).toEqual([]);
  });
});
