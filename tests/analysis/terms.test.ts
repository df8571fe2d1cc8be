/** The terms that a value shows come to the value, over every value of every example. */
import { describe, expect, it } from 'vitest';
import type { Fact } from '../../src/model/finding.js';
import { factsOf } from '../../src/workbench/outputs.js';
import { checkedExample, examples } from '../support/examples.js';
import { randomBusCase, randomFeedCase } from '../support/power-sites.js';
import { randomFrom, seedOfThisRun } from '../support/random.js';
import { REWORKED } from '../support/reworked.js';
import { siteOf } from '../support/site.js';

/** Sums of rounded terms are off by about this part of the value. */
const ROUNDING = 1e-8;

function expectToAddUp(facts: readonly Fact[], label: string): Map<string, number> {
  const checked = new Map<string, number>();
  const wrong: string[] = [];
  for (const fact of facts) {
    if (typeof fact.value !== 'number') {
      continue;
    }
    const rework = REWORKED[fact.fact];
    expect(rework, `${fact.fact} has no formula here`).toBeDefined();
    const worked = rework!(fact);
    const { from, to } = typeof worked === 'number' ? { from: worked, to: worked } : worked;
    const slack = ROUNDING * Math.max(1, Math.abs(fact.value));
    if (!(fact.value >= from - slack && fact.value <= to + slack)) {
      wrong.push(
        `${fact.subject}.${fact.fact} is ${fact.value}, its terms come to ${from} .. ${to}`,
      );
    }
    checked.set(fact.fact, (checked.get(fact.fact) ?? 0) + 1);
  }
  expect(wrong, label).toEqual([]);
  return checked;
}

describe('the terms of a value', () => {
  const seen = new Set<string>();

  it.each(examples())('come to it in $name', (example) => {
    const checked = expectToAddUp(factsOf(checkedExample(example).open), example.name);
    expect(checked.size).toBeGreaterThan(0);
    checked.forEach((_, fact) => seen.add(fact));
  });

  it('come to it on random feeds and powered buses', () => {
    const seed = seedOfThisRun();
    const random = randomFrom(seed);
    for (let run = 0; run < 150; run += 1) {
      const { text } = run % 2 === 0 ? randomFeedCase(random) : randomBusCase(random);
      const { open } = siteOf(text);
      const checked = expectToAddUp(factsOf(open), `seed ${seed}, run ${run}\n${text}`);
      checked.forEach((_, fact) => seen.add(fact));
    }
  });

  it('were worked anew for every value that has a number', () => {
    expect([...seen].sort()).toEqual(Object.keys(REWORKED).sort());
  });

  it('would be found to be wrong', () => {
    const fact = factsOf(
      checkedExample(examples().find(({ name }) => name === 'library/library')!).open,
    ).find((one) => one.fact === 'total-length' && typeof one.value === 'number')!;
    expect(() => expectToAddUp([{ ...fact, value: Number(fact.value) + 1 }], '')).toThrow();
  });
});
