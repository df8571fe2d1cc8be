/** What runs down the pages of one document: where the next line goes, and when a page is full. */
import { wrapped } from './wrap.js';
import type { Weight } from './fonts.js';
import type { Paper, PaperSize, TextLook } from './paper.js';

const MILLIMETRE = 72 / 25.4;
/** Margins of sheets by ISO 5457 (from memory): room for filing at the left. */
const LEFT = 20 * MILLIMETRE;
const OTHERS = 10 * MILLIMETRE;
const HEADER = 30;
const FOOTER = 34;

export interface PageStyle {
  readonly size: PaperSize;
  readonly orientation: 'portrait' | 'landscape';
  /** Draws what stands on every page. */
  readonly furnish: (flow: Flow) => void;
  /** Pages of what was written before, by path in the pack. */
  readonly pageOf: ReadonlyMap<string, number>;
}

export class Flow {
  /** What the margins, header and footer take of a page. */
  static readonly sidesPt = LEFT + OTHERS;
  static readonly aboveAndBelowPt = 2 * OTHERS + HEADER + FOOTER;
  static readonly rightMarginPt = OTHERS;

  readonly paper: Paper;
  readonly #style: PageStyle;
  /** Baselines and boxes start below this. */
  y = 0;
  #indent = 0;

  constructor(paper: Paper, style: PageStyle) {
    this.paper = paper;
    this.#style = style;
    this.newPage();
  }

  /** Pages of what was written before, by path in the pack. */
  get pageOf(): ReadonlyMap<string, number> {
    return this.#style.pageOf;
  }

  get left(): number {
    return LEFT + this.#indent;
  }

  get right(): number {
    return this.paper.widthPt - OTHERS;
  }

  get width(): number {
    return this.right - this.left;
  }

  /** Top and bottom of the part of the page that holds content. */
  get top(): number {
    return OTHERS + HEADER;
  }

  get bottom(): number {
    return this.paper.heightPt - OTHERS - FOOTER;
  }

  get pageTop(): number {
    return OTHERS;
  }

  get pageBottom(): number {
    return this.paper.heightPt - OTHERS;
  }

  newPage(): void {
    this.paper.addPage(this.#style.size, this.#style.orientation);
    this.#style.furnish(this);
    this.y = this.top;
  }

  /** Starts a page where less than so much is left. True where it did. */
  ensure(heightPt: number): boolean {
    if (this.y + heightPt <= this.bottom || this.y <= this.top) {
      return false;
    }
    this.newPage();
    return true;
  }

  space(heightPt: number): void {
    this.y = Math.min(this.bottom, this.y + heightPt);
  }

  indented(byPt: number, write: () => void): void {
    this.#indent += byPt;
    write();
    this.#indent -= byPt;
  }

  /** Running text over as many lines and pages as it takes. */
  paragraph(text: string, look: Omit<TextLook, 'align'>, widthPt = this.width): void {
    const leading = look.sizePt * 1.35;
    for (const line of wrapped(text, widthPt, look.sizePt, look.weight ?? 400)) {
      this.ensure(leading);
      this.paper.text(line, this.left, this.y + look.sizePt, look);
      this.y += leading;
    }
  }

  /** The lines of a text and the height that they take. */
  measured(
    text: string,
    sizePt: number,
    weight: Weight,
    widthPt: number,
  ): { readonly lines: readonly string[]; readonly heightPt: number } {
    const lines = wrapped(text, widthPt, sizePt, weight);
    return { lines, heightPt: lines.length * sizePt * 1.35 };
  }
}
