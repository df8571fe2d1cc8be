/** Pages and marks on them: the one file that talks to the PDF library. Lengths are in points. */
import PDFDocument from 'pdfkit';
import { fontFile, printable, widthOf } from './fonts.js';
import type { Weight } from './fonts.js';

export type PaperSize = 'A4' | 'A3';

export interface TextLook {
  readonly sizePt: number;
  readonly weight?: Weight;
  readonly colour?: string;
  readonly align?: 'left' | 'right' | 'centre';
}

export interface StrokeLook {
  readonly widthPt: number;
  readonly colour: string;
  readonly dash?: readonly number[];
}

export interface PaperAbout {
  readonly title: string;
  readonly author: string;
  readonly subject: string;
  /** ISO date; the only date in the file. */
  readonly on: string;
}

export const INK = '#16202A';
export const MUTED = '#515C68';
export const RULE = '#9AA5B0';
export const SHADE = '#EEF1F4';
export const ALARM = '#B3141C';

/** Width and words are only asked for links, and measuring them costs as much as writing. */
const ONE_LINE = { lineBreak: false, baseline: 'alphabetic', textWidth: 0, wordCount: 1 } as const;

export class Paper {
  readonly pdf: PDFKit.PDFDocument;
  readonly #chunks: Uint8Array[] = [];
  readonly #ended: Promise<void>;
  #pages = 0;
  #type = '';
  #colour = '';

  constructor(about: PaperAbout) {
    const date = new Date(`${about.on}T00:00:00Z`);
    this.pdf = new PDFDocument({
      autoFirstPage: false,
      // No font that the file would not hold itself.
      font: '',
      bufferPages: true,
      margin: 0,
      pdfVersion: '1.7',
      lang: 'en',
      displayTitle: true,
      info: {
        Title: printable(about.title),
        Author: printable(about.author),
        Subject: printable(about.subject),
        Creator: 'Ferrule',
        Producer: 'Ferrule',
        CreationDate: date,
        ModDate: date,
      },
    });
    this.pdf.on('data', (chunk: Uint8Array) => this.#chunks.push(chunk));
    this.#ended = new Promise((resolve, reject) => {
      this.pdf.on('end', resolve);
      this.pdf.on('error', reject);
    });
    this.pdf.registerFont('400', fontFile(400));
    this.pdf.registerFont('700', fontFile(700));
  }

  /** Pages so far. */
  get pages(): number {
    return this.#pages;
  }

  addPage(size: PaperSize, orientation: 'portrait' | 'landscape'): void {
    this.pdf.addPage({ size, layout: orientation, margin: 0 });
    this.forget();
    this.#pages += 1;
  }

  /** Goes back to a page, counted from 1, to write what was not known before. */
  turnTo(page: number): void {
    this.pdf.switchToPage(page - 1);
    this.forget();
  }

  get widthPt(): number {
    return this.pdf.page.width;
  }

  get heightPt(): number {
    return this.pdf.page.height;
  }

  /** One line of text on its baseline. */
  text(text: string, x: number, baseline: number, look: TextLook): void {
    const { sizePt, weight = 400, colour = INK, align = 'left' } = look;
    if (text === '') {
      return;
    }
    const width = align === 'left' ? 0 : widthOf(text, sizePt, weight);
    const left = align === 'left' ? x : align === 'right' ? x - width : x - width / 2;
    this.#setType(weight, sizePt, colour);
    this.pdf.text(text, left, baseline, ONE_LINE);
  }

  /** Forgets what was set, because the library was used past this class or another page is open. */
  forget(): void {
    this.#type = '';
    this.#colour = '';
  }

  line(x1: number, y1: number, x2: number, y2: number, look: StrokeLook): void {
    this.#stroked(look, () => this.pdf.moveTo(x1, y1).lineTo(x2, y2));
  }

  frame(x: number, y: number, width: number, height: number, look: StrokeLook): void {
    this.#stroked(look, () => this.pdf.rect(x, y, width, height));
  }

  fill(x: number, y: number, width: number, height: number, colour: string): void {
    this.pdf.rect(x, y, width, height).fill(colour);
    this.#colour = '';
  }

  circle(x: number, y: number, radius: number, colour: string): void {
    this.pdf.circle(x, y, radius).fill(colour);
    this.#colour = '';
  }

  /** The file as bytes; nothing can be written afterwards. */
  async finish(): Promise<Uint8Array> {
    this.pdf.end();
    await this.#ended;
    return Buffer.concat(this.#chunks);
  }

  /** Only what differs from before, which keeps large tables small and quick. */
  #setType(weight: Weight, sizePt: number, colour: string): void {
    const type = `${weight} ${sizePt}`;
    if (type !== this.#type) {
      this.pdf.font(String(weight)).fontSize(sizePt);
      this.#type = type;
    }
    if (colour !== this.#colour) {
      this.pdf.fillColor(colour);
      this.#colour = colour;
    }
  }

  #stroked({ widthPt, colour, dash }: StrokeLook, path: () => void): void {
    this.pdf.lineWidth(widthPt).strokeColor(colour);
    if (dash !== undefined) {
      this.pdf.dash(dash[0] ?? 1, { space: dash[1] ?? dash[0] ?? 1 });
    }
    path();
    this.pdf.stroke();
    if (dash !== undefined) {
      this.pdf.undash();
    }
  }
}
