/** Every code block of the guides is executed: parts parse, sites are right. */
import { readFileSync, readdirSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { lowerPiece } from '../src/language/lower.js';
import { splitText } from '../src/language/split.js';
import { grammarWords } from './support/random-text.js';
import { counted, lines, siteOf } from './support/site.js';

const guides = [
  'README.md',
  ...readdirSync('docs')
    .filter((name) => name.endsWith('.md'))
    .map((name) => `docs/${name}`),
];

const blocksIn = (text: string) => [
  ...text.matchAll(/^```ferrule(?: (site|part))?\n([\s\S]*?)^```$/gmu),
];

describe.each(guides.filter((guide) => blocksIn(readFileSync(guide, 'utf8')).length > 0))(
  '%s',
  (guide) => {
    const blocks = blocksIn(readFileSync(guide, 'utf8'));

    it.each(blocks.map((match, index) => [index + 1, match[1] ?? 'part', match[2]!] as const))(
      'block %i (%s) holds',
      (_number, kind, block) => {
        const slips = splitText(block).flatMap((piece) => lowerPiece(piece.text).problems);
        expect(slips.map((problem) => problem.what)).toEqual([]);
        if (kind === 'site') {
          expect(lines(counted(siteOf(block).findings))).toEqual([]);
        }
      },
    );
  },
);

it('the language guide names every word of the grammar', () => {
  const guide = readFileSync('docs/language.md', 'utf8');
  const known = new Set(guide.match(/[a-z][a-z0-9]*(?:-[a-z0-9]+)*/gu));
  expect(grammarWords().filter((word) => /^[a-z]/u.test(word) && !known.has(word))).toEqual([]);
});
