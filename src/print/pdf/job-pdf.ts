/** The pack as one PDF: cover with page numbers, drawings, documents, bookmarks. */
import { blocksOf } from '../../documents/document.js';
import type { Document, Frame } from '../../documents/document.js';
import type { Pack } from '../../documents/pack.js';
import { printTexts as texts } from '../texts.js';
import { writeBlock } from './blocks.js';
import type { IndexEntry } from './blocks.js';
import { writeDrawing } from './drawings.js';
import { Flow } from './flow.js';
import { printable } from './fonts.js';
import { ALARM, INK, MUTED, Paper, RULE } from './paper.js';
import { wrapped } from './wrap.js';

/** The bytes of the PDF; the same for the same pack. */
export async function pdfOf(pack: Pack): Promise<Uint8Array> {
  const { frame, documents, drawings } = pack;
  const [cover, ...others] = documents;
  const paper = new Paper({
    title: cover?.title ?? frame.site,
    author: frame.owner,
    subject: [texts.drawing(frame.drawing), texts.revision(frame.revision), frame.status]
      .filter((text) => text !== '')
      .join(', '),
    on: frame.checkedOn,
  });
  const book: Book = { paper, frame, index: [], starts: new Map() };
  if (cover !== undefined) {
    writeDocument(book, cover, `${cover.id}.md`);
  }
  writeDrawings(book, drawings);
  for (const document of others) {
    writeDocument(book, document, `${document.id}.md`);
  }
  finishIndex(book);
  numberPages(book);
  return paper.finish();
}

interface Book {
  readonly paper: Paper;
  readonly frame: Frame;
  readonly index: IndexEntry[];
  /** First page of each document and drawing by its path. */
  readonly starts: Map<string, number>;
}

/** Small drawings share a page; each has its bookmark. */
function writeDrawings({ paper, frame, starts }: Book, drawings: Pack['drawings']): void {
  const outline = paper.pdf.outline;
  let part: PDFKit.PDFOutline | undefined;
  let open: Flow | undefined;
  for (const { title, path, list } of drawings) {
    if (list !== undefined) {
      const shown = printable(title);
      const written = writeDrawing(paper, shown, list, open, (flow, of) =>
        furnish(flow, frame, of),
      );
      open = written.open;
      starts.set(path, written.page);
      // A bookmark points to the page that is open.
      paper.turnTo(written.page);
      part ??= outline.addItem(texts.drawingsPart);
      part.addItem(shown);
      paper.turnTo(paper.pages);
    }
  }
}

function writeDocument(book: Book, document: Document, path: string): void {
  const { paper, frame, index } = book;
  const title = printable(document.title);
  book.starts.set(path, paper.pages + 1);
  const flow = new Flow(paper, {
    size: 'A4',
    orientation: document.orientation,
    furnish: (page) => furnish(page, frame, title),
    pageOf: book.starts,
  });
  const mark = paper.pdf.outline.addItem(title);
  flow.paragraph(title, { sizePt: 15, weight: 700 });
  flow.space(6);
  document.introduction.forEach((block) => writeBlock(flow, block, index));
  for (const section of document.sections) {
    const heading = printable(section.heading);
    flow.space(6);
    flow.ensure(64);
    mark.addItem(heading);
    flow.paragraph(heading, { sizePt: 11.5, weight: 700 });
    flow.space(3);
    section.blocks.forEach((block) => writeBlock(flow, block, index));
  }
  if (blocksOf(document).length === 0) {
    flow.space(0);
  }
}

/** Title, drawing number, revision and status above; what is reserved and what the marks mean below. */
function furnish(flow: Flow, frame: Frame, title: string): void {
  const { paper, left, right, pageTop, pageBottom } = flow;
  const line = { widthPt: 0.5, colour: RULE };
  const numbers = [texts.drawing(frame.drawing), texts.revision(frame.revision)]
    .filter((text) => text !== '')
    .join(' · ');
  const width = right - left;
  const first = (text: string, sizePt: number, weight: 400 | 700, widthPt: number): string =>
    wrapped(printable(text).replaceAll('\n', ' '), widthPt, sizePt, weight)[0] ?? '';
  paper.text(first(frame.site, 8.5, 700, width * 0.6), left, pageTop + 9, {
    sizePt: 8.5,
    weight: 700,
  });
  paper.text(first(title, 8, 400, width * 0.5), left, pageTop + 19, { sizePt: 8, colour: MUTED });
  paper.text(first(numbers, 8.5, 700, width * 0.4), right, pageTop + 9, {
    sizePt: 8.5,
    weight: 700,
    align: 'right',
  });
  paper.text(first(frame.status, 8, 700, width * 0.5), right, pageTop + 19, {
    sizePt: 8,
    weight: frame.forbidsWork ? 700 : 400,
    colour: frame.forbidsWork ? ALARM : INK,
    align: 'right',
  });
  paper.line(left, pageTop + 23, right, pageTop + 23, line);
  paper.line(left, pageBottom - 27, right, pageBottom - 27, line);
  const reserved = frame.reservations.flatMap((text) =>
    wrapped(printable(text), width - 90, 5.5, 400),
  );
  reserved
    .slice(0, 4)
    .forEach((text, at) =>
      paper.text(text, left, pageBottom - 20 + 6.5 * at, { sizePt: 5.5, colour: MUTED }),
    );
  paper.text(printable(texts.checkedOn(frame.checkedOn)), right, pageBottom - 8, {
    sizePt: 6.5,
    colour: MUTED,
    align: 'right',
  });
}

/** Writes the page of each document behind its line on the cover, and makes the line lead there. */
function finishIndex({ paper, index, starts }: Book): void {
  for (const entry of index) {
    const page = starts.get(entry.path);
    if (page !== undefined) {
      paper.turnTo(page);
      paper.pdf.addNamedDestination(entry.path, 'XYZ', 0, 0, null as unknown as number);
      paper.turnTo(entry.page);
      paper.text(String(page), entry.x, entry.baseline, { sizePt: 9, align: 'right' });
      paper.pdf.goTo(entry.left, entry.baseline - 9, entry.x - entry.left, 12, entry.path);
    }
  }
}

/** Last, because every page says how many there are. */
function numberPages({ paper }: Book): void {
  for (let page = 1; page <= paper.pages; page += 1) {
    paper.turnTo(page);
    const right = paper.widthPt - Flow.rightMarginPt;
    paper.text(texts.page(page, paper.pages), right, paper.heightPt - Flow.rightMarginPt - 18, {
      sizePt: 8,
      align: 'right',
    });
    paper.text(texts.marks, right, paper.heightPt - Flow.rightMarginPt, {
      sizePt: 6,
      colour: MUTED,
      align: 'right',
    });
  }
}
