/** RULES.md says what the code says. */
import { readFileSync, readdirSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { catalogueText, firstSentence } from '../../scripts/lib/catalogue.mjs';
import { inProject } from '../../scripts/lib/root.mjs';
import { RULES } from '../../src/rules/index.js';
import { RAISED_RULES } from '../../src/rules/raised.js';

const folder = inProject('src', 'rules');
const pages = new Map(
  readdirSync(folder)
    .filter((file) => file.endsWith('.md'))
    .map((file) => [file.slice(0, -3), readFileSync(`${folder}/${file}`, 'utf8')]),
);

describe('RULES.md', () => {
  it('is fresh: `npm run catalogue` writes it', () => {
    expect(readFileSync(inProject('RULES.md'), 'utf8')).toBe(
      catalogueText([...RULES, ...RAISED_RULES], pages),
    );
  });
  it('has a line for each rule', () => {
    for (const [name, page] of pages) {
      expect({ name, line: firstSentence(page) }).toEqual({
        name,
        line: expect.stringMatching(/^.{10,400}\.$/u),
      });
    }
  });
  it('takes the first sentence of a page, whatever stands in it', () => {
    expect(firstSentence('# a\n\nA `x .. y` of 1.5 m | 2 m\nis long. More.\n\n## B')).toBe(
      'A `x .. y` of 1.5 m \\| 2 m is long.',
    );
  });
});
