/** Markdown as an independent reader (markdown-it, CommonMark with tables) shows it. */
import fc from 'fast-check';
import MarkdownIt from 'markdown-it';
import { describe, expect, it } from 'vitest';
import {
  StepCounter,
  blank,
  caution,
  list,
  paragraph,
  quantity,
  say,
  tableOf,
  textColumn,
} from '../../src/documents/document.js';
import type { Block, Document } from '../../src/documents/document.js';
import { renderMarkdown } from '../../src/documents/render/markdown.js';
import { plainFrame } from './frame.js';

const reader = new MarkdownIt({ html: true, linkify: true });

const texts = fc.oneof(
  fc.string({ maxLength: 24 }),
  fc
    .array(fc.constantFrom(...'|\\`*_[]()<>#+-.!~$&;:=1a \n'), { maxLength: 16 })
    .map((all) => all.join('')),
  fc.constantFrom(
    '<script>alert(1)</script>',
    '| a | b |',
    '![x](y)',
    '[x]: y',
    '&lt;b&gt;',
    '```',
    '# no heading',
    '1. no list',
    '- no list',
    '> no quotation',
    '    no code',
    '---',
    '===',
    'غرفة 3',
    '\u202eevil',
    '👷🏽‍♀️',
    '<b>',
    'a\nb',
    'https://10.40.8.20/',
    '~~gone~~',
  ),
);

/** What a reader shows of a text: blanks at the ends and in rows are one, line breaks are blanks. */
function shown(text: string): string {
  return text
    .replace(/[\u2066-\u2069\u202a-\u202e]/gu, '')
    .replace(/[\s\u00a0]+/gu, ' ')
    .trim();
}

describe('a table', () => {
  it('shows each text in its own cell as it was written', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(texts, texts), { minLength: 1, maxLength: 3 }), (rows) => {
        const table = tableOf<readonly [string, string]>(
          'texts',
          '',
          [textColumn('one', ([one]) => one), textColumn('other', ([, other]) => `${other}.`)],
          // A column in which nothing stands would be left out.
          rows.map(([one, other]) => [`${one}.`, other] as const),
        );
        const cells = cellsOf(renderMarkdown(documentWith(table), plainFrame));
        expect(cells).toEqual(rows.map(([one, other]) => [shown(`${one}.`), shown(`${other}.`)]));
      }),
      { numRuns: 2000 },
    );
  });

  it('leaves out a column in which nothing stands, and never one to be written into', () => {
    const table = tableOf<string>(
      'texts',
      '',
      [
        textColumn('full', (text) => text),
        textColumn('empty', () => ''),
        { heading: 'seen', kind: 'write', use: 'both', cell: () => blank },
      ],
      ['a'],
    );
    expect(renderMarkdown(documentWith(table), plainFrame)).toContain(
      '| full | seen |\n| --- | --- |\n| a |  |',
    );
  });
});

describe('running text', () => {
  it('shows paragraphs, list items and cautions as they were written', () => {
    fc.assert(
      fc.property(
        texts.filter((text) => shown(text) !== ''),
        (text) => {
          const blocks: Block[] = [paragraph(text), list([text]), caution(text)];
          const html = reader.render(renderMarkdown(documentWith(...blocks), plainFrame));
          expect(elements(html, 'li').map(textOf)).toEqual([shown(text)]);
          expect(elements(html, 'blockquote').map(textOf)).toEqual([shown(`CAUTION: ${text}`)]);
          // Status, title line and the text itself, then the line of the footer.
          expect(html).not.toMatch(/<(?:script|b|img|pre|table|h[3-6]|s)\b/u);
          expect(elements(html, 'p').map(textOf)).toContain(shown(text));
        },
      ),
      { numRuns: 1000 },
    );
  });

  it('keeps the numbers of steps through lists and tables', () => {
    const counter = new StepCounter();
    const steps = [
      counter.step('First', [list(['a'])]),
      counter.step('Second', [tableOf('t', '', [textColumn<string>('x', (one) => one)], ['v'])]),
    ];
    const later = [counter.step('Third')];
    const document: Document = {
      ...documentWith({ kind: 'steps', steps }),
      sections: [{ heading: 'Later', blocks: [{ kind: 'steps', steps: later }] }],
    };
    const html = reader.render(renderMarkdown(document, plainFrame));
    expect(html).toContain('<ol start="3">');
    expect(elements(html, 'ol')).toHaveLength(2);
    expect(elements(elements(html, 'ol')[0]!, 'table')).toHaveLength(1);
  });

  it('says in full how a number is known', () => {
    const text = renderMarkdown(
      documentWith(paragraph(say`Read ${quantity(23.456, 'V', 'computed', 1)} there.`)),
      plainFrame,
    );
    expect(text).toContain('Read 23.5 V (computed) there.');
    expect(text).toContain('(C) computed or counted from what is stated');
  });

  it('keeps commands in a code block whatever is in them', () => {
    const lines = ['echo ```', '| not a table |'];
    const html = reader.render(
      renderMarkdown(documentWith({ kind: 'commands', label: 'Type', lines }), plainFrame),
    );
    expect(textOf(elements(html, 'pre')[0] ?? '')).toBe(shown(lines.join('\n')));
  });
});

function documentWith(...blocks: readonly Block[]): Document {
  return { id: 'd', title: 'D', orientation: 'portrait', introduction: blocks, sections: [] };
}

function cellsOf(markdown: string): string[][] {
  return elements(elements(reader.render(markdown), 'tbody')[0] ?? '', 'tr').map((row) =>
    elements(row, 'td').map(textOf),
  );
}

function elements(html: string, name: string): string[] {
  return [...html.matchAll(new RegExp(`<${name}(?: [^>]*)?>([\\s\\S]*?)</${name}>`, 'gu'))].map(
    (match) => match[1] ?? '',
  );
}

function textOf(html: string): string {
  const text = html
    .replace(/<br ?\/?>/gu, ' ')
    .replace(/<[^>]*>/gu, '')
    .replace(/&(lt|gt|quot|amp|#39);/gu, (_, name: string) => entities[name] ?? '');
  return shown(text);
}

const entities: Readonly<Record<string, string>> = {
  lt: '<',
  gt: '>',
  quot: '"',
  amp: '&',
  '#39': "'",
};
