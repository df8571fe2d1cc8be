/** Documents as Markdown (CommonMark with tables). What a person wrote is always shown as written. */
import { isPhrase, printedColumns, quantitiesOf } from '../document.js';
import type {
  Block,
  Cell,
  Column,
  Document,
  Frame,
  Mark,
  Phrase,
  Section,
  Step,
  Table,
} from '../document.js';
import { frameTexts } from '../texts/frame.js';
import { MARK_LETTERS, markedText, numberText, quantityText } from './numbers.js';

/** The whole document with its frame; ends with one line feed. */
export function renderMarkdown(document: Document, frame: Frame): string {
  const parts = [
    heading(1, document.title),
    frameLines(frame),
    ...document.introduction.map(blockText),
    ...document.sections.map(sectionText),
    legend(document),
    footer(frame),
  ];
  return `${parts.filter((text) => text !== '').join('\n\n')}\n`;
}

/** A text as Markdown shows it: nothing in it can become markup, and no line of it can start a block. */
export function escaped(text: string): string {
  return isolated(text)
    .replace(/[\\`*_[\]<>|~$]/gu, '\\$&')
    .replace(/&(?=#?\w+;)/gu, '\\&')
    .replace(/\r\n|\r|\n/gu, '<br>');
}

function sectionText(section: Section): string {
  return [heading(2, section.heading), ...section.blocks.map(blockText)]
    .filter((text) => text !== '')
    .join('\n\n');
}

function heading(level: 1 | 2, text: string): string {
  return `${'#'.repeat(level)} ${escaped(text)}`;
}

function frameLines(frame: Frame): string {
  const status = frame.forbidsWork ? `**${escaped(frame.status)}**` : escaped(frame.status);
  const title = [
    frame.site,
    frame.owner,
    frameTexts.drawing(frame.drawing),
    frameTexts.revision(frame.revision),
    frameTexts.checkedOn(frame.checkedOn),
  ].filter((text) => text !== '');
  return `${status}\n\n${title.map(escaped).join(' · ')}`;
}

function footer(frame: Frame): string {
  return ['---', ...frame.reservations.map((text) => escaped(text))].join('\n\n');
}

/** Says what the letters in tables mean, those that occur. */
function legend(document: Document): string {
  const used = new Set(quantitiesOf(document).map((quantity) => quantity.mark));
  if (used.size === 0) {
    return '';
  }
  const marks = (Object.keys(MARK_LETTERS) as Mark[]).filter((mark) => used.has(mark));
  return frameTexts.marks(
    marks.map((mark) => `(${MARK_LETTERS[mark]}) ${frameTexts.markMeaning[mark]}`),
  );
}

function blockText(block: Block): string {
  switch (block.kind) {
    case 'paragraph':
      return startingSafely(phraseText(block.text));
    case 'caution':
      return `> **${frameTexts.cautionWord[block.level]}:** ${phraseText(block.text)}`;
    case 'note':
      return `*${frameTexts.noteWord}:* ${phraseText(block.text)}`;
    case 'list':
      return block.items.map((item) => `- ${startingSafely(phraseText(item))}`).join('\n');
    case 'fields':
      return fieldsText(block.fields);
    case 'steps':
      return block.steps.map(stepText).join('\n\n');
    case 'commands':
      return `${startingSafely(escaped(block.label))}\n\n${fenced(block.lines)}`;
    case 'drawing':
      return `![${escaped(block.title)}](${destination(block.path)})`;
    case 'links':
      return block.links
        .map(
          (link) => `- [${escaped(link.title)}](${destination(link.path)})${aboutText(link.about)}`,
        )
        .join('\n');
    case 'labels':
      return labelsText(block.labels);
    case 'plot':
      // The table beside it holds the same numbers.
      return '';
    case 'table':
      return block.use === 'data' ? '' : tableText(block);
  }
}

const LABELS_IN_A_ROW = 4;

function labelsText(labels: readonly string[]): string {
  if (labels.length === 0) {
    return frameTexts.nothing;
  }
  const rows: string[] = [];
  for (let first = 0; first < labels.length; first += LABELS_IN_A_ROW) {
    const row = Array.from({ length: LABELS_IN_A_ROW }, (_, index) => labels[first + index] ?? '');
    rows.push(`| ${row.map(escaped).join(' | ')} |`);
  }
  const empty = `|${' |'.repeat(LABELS_IN_A_ROW)}`;
  return [empty, `|${' --- |'.repeat(LABELS_IN_A_ROW)}`, ...rows].join('\n');
}

function aboutText(about: Phrase): string {
  return about.length === 0 ? '' : `: ${phraseText(about)}`;
}

function stepText(step: Step): string {
  const box = step.boxes.includes('done') ? '☐ ' : '';
  const signed = step.boxes
    .filter((label) => label !== 'done')
    .map((label) => `${escaped(label)} \\_\\_\\_\\_`);
  const first = `${step.number}. ${box}${[startingSafely(phraseText(step.text)), ...signed].join(' · ')}`;
  // What belongs to a list item stands under its text, so it is indented by the width of its number.
  const indent = ' '.repeat(`${step.number}. `.length);
  const details = step.details
    .map(blockText)
    .filter((text) => text !== '')
    .map((text) =>
      text
        .split('\n')
        .map((line) => (line === '' ? '' : `${indent}${line}`))
        .join('\n'),
    );
  return [first, ...details].join('\n\n');
}

function fieldsText(
  fields: readonly { readonly label: string; readonly content: Phrase | { kind: 'blank' } }[],
): string {
  const rows = fields.map(
    ({ label, content }) =>
      `| ${escaped(label)} | ${isPhrase(content) ? phraseText(content) : frameTexts.line} |`,
  );
  return ['| | |', '| --- | --- |', ...rows].join('\n');
}

function tableText(table: Table): string {
  const caption = table.caption.length === 0 ? '' : `**${phraseText(table.caption)}**\n\n`;
  const shown = printedColumns(table);
  if (table.rows.length === 0) {
    return `${caption}${frameTexts.nothing}`;
  }
  const lines = [
    shown.map(({ column }) => headingText(column)),
    shown.map(({ column }) => (column.kind === 'number' ? '---:' : '---')),
    ...table.rows.map((row) =>
      shown.map(({ column, index }) => cellText(column, row[index] ?? '')),
    ),
  ];
  return caption + lines.map((cells) => `| ${cells.join(' | ')} |`).join('\n');
}

function headingText(column: Column): string {
  const unit = column.unit === undefined || column.unit === '' ? '' : ` ${column.unit}`;
  return escaped(`${column.heading}${unit}`);
}

function cellText(column: Column, cell: Cell): string {
  if (typeof cell === 'string') {
    return escaped(cell);
  }
  if (isPhrase(cell)) {
    return phraseText(cell);
  }
  switch (cell.kind) {
    case 'quantity': {
      const text = column.unit === undefined ? quantityText(cell) : numberText(cell);
      return `${escaped(text)} (${MARK_LETTERS[cell.mark]})`;
    }
    case 'missing':
      return escaped(cell.why);
    case 'box':
      return '☐';
    case 'blank':
      return '';
  }
}

function phraseText(phrase: Phrase): string {
  return phrase.map((each) => escaped(typeof each === 'string' ? each : markedText(each))).join('');
}

/** Keeps the start of a line from opening a heading, list, quotation, table or code block. */
function startingSafely(text: string): string {
  return text
    .trimStart()
    .replace(/^(?:(\d+)([.)])(?=\s|$)|([#+\-=:]))/u, (_, digits, dot, sign) =>
      digits === undefined ? `\\${sign}` : `${digits}\\${dot}`,
    );
}

/** A code block with a fence that is longer than any run of backticks in it. */
function fenced(lines: readonly string[]): string {
  const text = lines.join('\n');
  const longest = Math.max(2, ...[...text.matchAll(/`+/gu)].map((match) => match[0].length));
  const fence = '`'.repeat(longest + 1);
  return `${fence}text\n${text}\n${fence}`;
}

function destination(path: string): string {
  return path.split('/').map(encodeURIComponent).join('/');
}

const RIGHT_TO_LEFT = /[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc\u200f\u202a-\u202e\u2066-\u2069]/u;

/**
 * Encloses right-to-left text in an isolate (U+2068 … U+2069), so that it keeps its order and
 * cannot turn the numbers beside it round.
 */
function isolated(text: string): string {
  if (!RIGHT_TO_LEFT.test(text)) {
    return text;
  }
  const unclosed = count(text, /[\u202a-\u202e]/gu) - count(text, /\u202c/gu) * 2;
  const openIsolates = count(text, /[\u2066-\u2068]/gu) - count(text, /\u2069/gu);
  return `\u2068${text}${'\u202c'.repeat(Math.max(0, unclosed))}${'\u2069'.repeat(Math.max(0, openIsolates))}\u2069`;
}

function count(text: string, pattern: RegExp): number {
  return [...text.matchAll(pattern)].length;
}
