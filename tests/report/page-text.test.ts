import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { inProject } from '../../scripts/lib/root.mjs';
import { pageText } from '../../src/report/page-text.js';
import { plain } from '../../src/report/style.js';
import { filesBelow } from '../support/project-files.js';

describe('a manual page in a terminal', () => {
  it('keeps headings, paragraphs, lists and code apart', () => {
    const page =
      '# rule-name\n\nOne **bold** word with `code`,\nand a [link](RULES.md).\n\n- first\n- second\n\n```ferrule\nbus b {\n\n  land x\n}\n```\n';
    expect(pageText(page, plain)).toBe(
      [
        'rule-name',
        '',
        'One bold word with code, and a link (RULES.md).',
        '',
        '- first',
        '- second',
        '',
        '    bus b {',
        '',
        '      land x',
        '    }',
        '',
      ].join('\n'),
    );
  });

  it('breaks long paragraphs at 80 columns, list items under their text', () => {
    const words = Array.from({ length: 40 }, (_, index) => `word${index}`).join(' ');
    const lines = pageText(`${words}\n\n- ${words}\n`, plain).trimEnd().split('\n');
    expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(80);
    const item = lines.slice(lines.findIndex((line) => line.startsWith('- ')));
    expect(item.length).toBeGreaterThan(2);
    expect(item.slice(1).every((line) => line.startsWith('  word'))).toBe(true);
  });

  const pages = filesBelow('src/rules').filter((file) => file.endsWith('.md'));

  it('loses no word of any rule page', () => {
    expect(pages.length).toBeGreaterThan(10);
    for (const file of pages) {
      const page = readFileSync(inProject(file), 'utf8');
      const wordsOf = (text: string) => text.match(/[\p{L}\d]+/gu) ?? [];
      const prose = page.replace(/^```\w*$/gmu, '');
      expect(wordsOf(pageText(page, plain)), file).toEqual(wordsOf(prose));
    }
  });
});
