/** Laws over whole sites as text: what the order of declarations may not change, and what a landing more may not shorten. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { factOf, factsOf, factsOfSite } from '../../src/analysis/facts.js';
import { elementsOf, impactOf } from '../../src/analysis/graph/impact.js';
import { splitText } from '../../src/language/split.js';
import { factsJson } from '../../src/report/facts-json.js';
import type { Site } from '../../src/model/site.js';
import { memoryFiles } from '../../src/workbench/files.js';
import type { OpenSite } from '../../src/workbench/open-site.js';
import { Workbench } from '../../src/workbench/workbench.js';
import { checkedExample, examples } from '../support/examples.js';
import { failingSite } from '../support/failing-sites.js';
import { randomBusCase, randomFeedCase } from '../support/power-sites.js';
import { randomFrom, seedOfThisRun } from '../support/random.js';
import type { Random } from '../support/random.js';
import { siteOf, testDay } from '../support/site.js';

/** The declarations of a text in another order; what stands before the first stays there. */
function shuffled(text: string, random: Random): string {
  const pieces = splitText(text).map((piece) => `${piece.text.trimEnd()}\n`);
  const head = /^[A-Za-z/]/u.test(pieces[0] ?? '') ? [] : pieces.splice(0, 1);
  const mixed = pieces
    .map((piece) => ({ piece, rank: random.next() }))
    .sort((one, other) => one.rank - other.rank)
    .map(({ piece }) => piece);
  return [...head, ...mixed].join('\n');
}

/** The same site with the declarations of each of its files in another order. */
function reopened(open: OpenSite, random: Random): OpenSite {
  const texts = Object.fromEntries(
    open.files.map((file) => [file.path, shuffled(file.text, random)]),
  );
  return new Workbench(memoryFiles(texts)).check(open.root, testDay)!.open;
}

describe('the order of declarations at column 0', () => {
  const seed = seedOfThisRun();
  const random = randomFrom(seed);

  it.each(examples())('changes no fact of $name', (example) => {
    const { open, findings } = checkedExample(example);
    if (findings.some(({ finding }) => /^(?:name-duplicate|syntax-error)$/u.test(finding.rule))) {
      // Of two declarations of one name the first counts, and a slip may reach into the next.
      return;
    }
    const facts = factsJson(factsOfSite(open.site));
    for (let time = 0; time < 3; time += 1) {
      const other = reopened(open, random);
      expect(other.files.length).toBe(open.files.length);
      expect(factsJson(factsOfSite(other.site)) === facts, `seed ${seed}`).toBe(true);
    }
  });

  it('changes no fact and no impact of random sites', () => {
    for (let run = 0; run < 300; run += 1) {
      const kind = run % 3;
      const text =
        kind === 0
          ? failingSite(random)
          : kind === 1
            ? randomFeedCase(random).text
            : randomBusCase(random).text;
      const one = siteOf(text).site;
      const other = siteOf(shuffled(text, random)).site;
      const label = `seed ${seed}, run ${run}\n${text}`;
      expect(factsOfSite(other), label).toEqual(factsOfSite(one));
      for (const element of elementsOf(one)) {
        expect(impactOf(other, element), label).toEqual(impactOf(one, element));
      }
    }
  });
});

describe('the facts of one subject', () => {
  const seed = seedOfThisRun();
  const random = randomFrom(seed);
  const compare = (site: Site, label: string) => {
    const all = factsOfSite(site);
    for (const subject of new Set(all.map((fact) => fact.subject))) {
      const its = all.filter((fact) => fact.subject === subject);
      expect(factsOf(site, subject), `${label}: ${subject}`).toEqual(its);
    }
  };

  it.each(examples())('are those that the whole list has of it in $name', (example) => {
    compare(checkedExample(example).open.site, example.name);
  });

  it('are those that the whole list has of it on random sites', () => {
    for (let run = 0; run < 300; run += 1) {
      const make = [
        failingSite,
        (one: Random) => randomFeedCase(one).text,
        (one: Random) => randomBusCase(one).text,
      ];
      const text = make[run % make.length]!(random);
      compare(siteOf(text).site, `seed ${seed}, run ${run}\n${text}`);
    }
  });
});

describe('a landing more', () => {
  const place = fc.record({
    x: fc.integer({ min: 0, max: 60 }),
    y: fc.integer({ min: 0, max: 30 }),
    statedM: fc.option(fc.integer({ min: 1, max: 80 })),
  });
  const siteWith = (places: readonly { x: number; y: number; statedM: number | null }[]) =>
    siteOf(`
bustype Line { conductors 2  shape chain }
equipment Unit { role sensor  port p : Line terminals A, B as responder }
area L level 0 m { ${places.map(({ x, y }, index) => `room R${index} at ${x} m, ${y} m`).join('  ')} }
${places.map((_, index) => `device D-${index} : Unit in R${index}`).join('\n')}
bus line : Line {
${places
  .map(({ statedM }, index) => {
    const length = index === 0 || statedM === null ? '' : ` ${statedM} m`;
    return `  land D-${index}.p${length}`;
  })
  .join('\n')}
}
`).site;
  const lengthOf = (site: ReturnType<typeof siteWith>, fact: string): number =>
    factOf(site, 'line', fact)!.value as number;

  it('never shortens a bus, at its end or in between, its cables stated or estimated', () => {
    fc.assert(
      fc.property(
        fc.array(place, { minLength: 2, maxLength: 7 }),
        place,
        fc.nat(),
        (places, added, at) => {
          const position = 1 + (at % places.length);
          // In between the way is estimated: a stated one might be shorter than the rooms allow.
          const between = { ...added, statedM: null };
          const put = position === places.length ? added : between;
          const longer = places.toSpliced(position, 0, put);
          const [before, after] = [siteWith(places), siteWith(longer)];
          for (const fact of ['total-length', 'farthest-length']) {
            expect(lengthOf(after, fact)).toBeGreaterThanOrEqual(lengthOf(before, fact) - 1e-9);
          }
        },
      ),
      { numRuns: 1000 },
    );
  });
});
