/** Blocks of documents on paper. */
import { isPhrase } from '../../documents/document.js';
import type { Block, DocumentLink, Step } from '../../documents/document.js';
import { frameTexts } from '../../documents/texts/frame.js';
import type { Flow } from './flow.js';
import { printable, widthOf } from './fonts.js';
import { ALARM, INK, MUTED, RULE, SHADE } from './paper.js';
import { phraseText } from './phrase.js';
import { writePlot } from './plot.js';
import { writeTable } from './table.js';

/** A line of an index whose page is known only when all is laid out. */
export interface IndexEntry {
  readonly path: string;
  readonly page: number;
  readonly x: number;
  readonly baseline: number;
  readonly left: number;
}

const BODY = 9;
const LEADING = 1.35;

export function writeBlock(flow: Flow, block: Block, index: IndexEntry[]): void {
  switch (block.kind) {
    case 'paragraph':
      flow.paragraph(printable(phraseText(block.text)), { sizePt: BODY });
      flow.space(4);
      return;
    case 'caution':
      writeCaution(flow, block.level, printable(phraseText(block.text)));
      return;
    case 'note':
      flow.paragraph(`${frameTexts.noteWord}: ${printable(phraseText(block.text))}`, {
        sizePt: BODY - 0.5,
        colour: MUTED,
      });
      flow.space(4);
      return;
    case 'list':
      block.items.forEach((item) => writeItem(flow, printable(phraseText(item))));
      flow.space(4);
      return;
    case 'fields':
      block.fields.forEach(({ label, content }) =>
        writeField(flow, printable(label), isPhrase(content) ? printable(phraseText(content)) : ''),
      );
      flow.space(8);
      return;
    case 'steps':
      block.steps.forEach((step) => writeStep(flow, step, index));
      return;
    case 'commands':
      writeCommands(flow, printable(block.label), block.lines.map(printable));
      return;
    case 'labels':
      writeLabels(flow, block.labels.map(printable));
      return;
    case 'plot':
      writePlot(flow, block);
      return;
    case 'links':
      block.links.forEach((link) => writeLink(flow, link, index));
      flow.space(6);
      return;
    case 'table':
      if (block.use !== 'data') {
        writeTable(flow, block, frameTexts.nothing);
      }
      return;
    case 'drawing':
      // Drawings have pages of their own.
      return;
  }
}

function writeCaution(flow: Flow, level: 'danger' | 'caution', text: string): void {
  const word = frameTexts.cautionWord[level];
  const colour = level === 'danger' ? ALARM : INK;
  const { lines } = flow.measured(`${word}: ${text}`, BODY, 400, flow.width - 16);
  const height = lines.length * BODY * LEADING + 8;
  flow.ensure(height + 4);
  const { paper, left, y } = flow;
  paper.fill(left, y, flow.width, height, SHADE);
  paper.fill(left, y, 3, height, colour);
  lines.forEach((line, at) => {
    const baseline = y + 4 + BODY * (1 + LEADING * at);
    const isFirst = at === 0 && line.startsWith(`${word}:`);
    const start = isFirst ? `${word}:` : '';
    paper.text(start, left + 10, baseline, { sizePt: BODY, weight: 700, colour });
    const shift = isFirst ? widthOf(start, BODY, 700) : 0;
    paper.text(line.slice(start.length), left + 10 + shift, baseline, { sizePt: BODY });
  });
  flow.y += height;
  flow.space(6);
}

function writeItem(flow: Flow, text: string): void {
  flow.ensure(BODY * LEADING);
  flow.paper.circle(flow.left + 4, flow.y + BODY * 0.68, 1.3, INK);
  flow.indented(12, () => flow.paragraph(text, { sizePt: BODY }));
  flow.space(1.5);
}

function writeField(flow: Flow, label: string, content: string): void {
  const labelWidth = 120;
  const { lines } = flow.measured(content, BODY, 400, Math.min(420, flow.width) - labelWidth);
  const height = Math.max(17, lines.length * BODY * LEADING + 5);
  flow.ensure(height);
  const { paper, left, y } = flow;
  paper.text(label, left, y + BODY + 2, { sizePt: BODY, colour: MUTED });
  lines.forEach((line, at) =>
    paper.text(line, left + labelWidth, y + 2 + BODY * (1 + LEADING * at), { sizePt: BODY }),
  );
  flow.y += height;
  paper.line(left, flow.y, left + Math.min(420, flow.width), flow.y, {
    widthPt: 0.4,
    colour: RULE,
  });
}

const SIGNING = 84;

function writeStep(flow: Flow, step: Step, index: IndexEntry[]): void {
  const isSigned = step.boxes.some((label) => label !== 'done');
  const text = printable(phraseText(step.text));
  const textWidth = flow.width - 42 - (isSigned ? SIGNING : 0);
  const { lines, heightPt } = flow.measured(text, BODY, 400, textWidth);
  flow.ensure(heightPt + 6 + (step.details.length > 0 ? 18 : 0));
  const { paper, left, y } = flow;
  if (step.boxes.includes('done')) {
    paper.frame(left, y + 1.5, 8, 8, { widthPt: 0.8, colour: INK });
  }
  paper.text(`${step.number}.`, left + 36, y + BODY, { sizePt: BODY, weight: 700, align: 'right' });
  lines.forEach((line, at) =>
    paper.text(line, left + 42, y + BODY * (1 + LEADING * at), { sizePt: BODY }),
  );
  step.boxes
    .filter((label) => label !== 'done')
    .forEach((label) => {
      const end = flow.right;
      const start = end - SIGNING + 8;
      paper.text(label, start, y + BODY, { sizePt: 7, colour: MUTED });
      paper.line(start + widthOf(label, 7, 400) + 3, y + BODY + 1, end, y + BODY + 1, {
        widthPt: 0.5,
        colour: MUTED,
      });
    });
  flow.y += heightPt + 3;
  flow.indented(42, () => step.details.forEach((detail) => writeBlock(flow, detail, index)));
  flow.space(3);
}

function writeCommands(flow: Flow, label: string, lines: readonly string[]): void {
  flow.ensure(16 + 14 * lines.length);
  flow.paragraph(label, { sizePt: BODY, weight: 700 });
  for (const line of lines) {
    const parts = flow.measured(line, BODY - 0.5, 400, flow.width - 12);
    flow.ensure(parts.heightPt + 4);
    flow.paper.fill(flow.left, flow.y, flow.width, parts.heightPt + 4, SHADE);
    parts.lines.forEach((part, at) =>
      flow.paper.text(part, flow.left + 6, flow.y + 2 + (BODY - 0.5) * (1 + LEADING * at), {
        sizePt: BODY - 0.5,
      }),
    );
    flow.y += parts.heightPt + 5;
  }
  flow.space(4);
}

const LABEL_HEIGHT = 22;
const LABEL_WIDTH = 165;

/** A grid to be cut along its lines. */
function writeLabels(flow: Flow, labels: readonly string[]): void {
  const inRow = Math.max(1, Math.floor(flow.width / LABEL_WIDTH));
  const width = flow.width / inRow;
  for (let first = 0; first < labels.length; first += inRow) {
    flow.ensure(LABEL_HEIGHT);
    labels.slice(first, first + inRow).forEach((label, at) => {
      const x = flow.left + at * width;
      flow.paper.frame(x, flow.y, width, LABEL_HEIGHT, {
        widthPt: 0.4,
        colour: RULE,
        dash: [2, 2],
      });
      const size = labelSize(flow, label, width - 8);
      const { lines } = flow.measured(label, size, 700, width - 8);
      const start = flow.y + (LABEL_HEIGHT - lines.length * size * 1.15) / 2;
      lines.forEach((line, row) =>
        flow.paper.text(line, x + width / 2, start + size * (0.88 + 1.15 * row), {
          sizePt: size,
          weight: 700,
          align: 'centre',
        }),
      );
    });
    flow.y += LABEL_HEIGHT;
  }
  flow.space(8);
}

/** The largest type in which a label takes one line, or two. */
function labelSize(flow: Flow, label: string, width: number): number {
  const sizes = [9, 8, 7, 6, 5];
  return (
    sizes.find((size) => size >= 7 && widthOf(label, size, 700) <= width) ??
    sizes.find((size) => flow.measured(label, size, 700, width).lines.length <= 2) ??
    5
  );
}

function writeLink(flow: Flow, link: DocumentLink, index: IndexEntry[]): void {
  const about = printable(phraseText(link.about));
  const title = printable(link.title);
  const text = about === '' ? title : `${title}: ${about}`;
  const { lines, heightPt } = flow.measured(text, BODY, 400, flow.width - 40);
  flow.ensure(heightPt + 2);
  lines.forEach((line, at) =>
    flow.paper.text(line, flow.left, flow.y + BODY * (1 + LEADING * at), { sizePt: BODY }),
  );
  index.push({
    path: link.path,
    page: flow.paper.pages,
    x: flow.right,
    baseline: flow.y + BODY,
    left: flow.left,
  });
  flow.y += heightPt + 2;
}
