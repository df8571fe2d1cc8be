/** The rules' pages are their tests: Wrong raises exactly the marked findings, Right raises nothing. */
import { readFileSync, readdirSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { RULES } from '../src/rules/index.js';
import { RAISED_RULES } from '../src/rules/raised.js';
import { expectMarked, marksIn } from './support/site.js';

const folder = new URL('../src/rules/', import.meta.url);
const common = { 'common.ferrule': readFileSync(new URL('common.ferrule', folder), 'utf8') };
const pages = readdirSync(folder)
  .filter((name) => name.endsWith('.md'))
  .sort();
const known = [...RULES, ...RAISED_RULES].map((rule) => rule.name);

describe('rule pages', () => {
  it('exist for every rule, and for nothing else', () => {
    expect(pages).toEqual(known.map((name) => `${name}.md`).sort());
  });

  for (const page of pages) {
    const name = page.replace(/\.md$/u, '');
    const text = readFileSync(new URL(page, folder), 'utf8');
    describe(name, () => {
      it('has every section, and names its source', () => {
        const headings = [...text.matchAll(/^#+ (.*)$/gmu)].map((match) => match[1]);
        expect(headings).toEqual([
          name,
          'Why it matters on site',
          'Wrong',
          'Right',
          'How to fix',
          'Source',
        ]);
        expect(sectionOf(text, 'Source').trim().length).toBeGreaterThan(10);
      });
      const wrong = blocksOf(sectionOf(text, 'Wrong'));
      const right = blocksOf(sectionOf(text, 'Right'));
      it('shows both sides', () => {
        expect(wrong.length).toBeGreaterThan(0);
        expect(right.length).toBeGreaterThan(0);
        wrong.forEach((block) => {
          expect(marksIn('site.ferrule', block).map((mark) => mark.rule)).toContain(name);
        });
        right.forEach((block) => expect(marksIn('site.ferrule', block)).toEqual([]));
      });
      wrong.forEach((block, index) => {
        it(`finds what is marked in Wrong ${index + 1}`, () => {
          expectMarked(block, common);
        });
      });
      right.forEach((block, index) => {
        it(`is silent on Right ${index + 1}`, () => {
          expectMarked(block, common);
        });
      });
    });
  }
});

function sectionOf(text: string, heading: string): string {
  return text.split(/^## /mu).find((part) => part.startsWith(heading)) ?? '';
}

function blocksOf(section: string): string[] {
  return [...section.matchAll(/^```ferrule\n([\s\S]*?)^```$/gmu)].map((match) => match[1]!);
}
