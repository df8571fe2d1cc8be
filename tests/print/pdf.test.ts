/** The PDF, read back by other programs: pdfinfo, pdffonts, pdftotext and pdftoppm of poppler. */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { inflateSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { drawTerminals, drawTopology } from '../../src/drawing/index.js';
import type { DrawNode } from '../../src/drawing/svg/draw-list.js';
import { packValue } from '../../src/documents/pack.js';
import type { Pack, PackInput } from '../../src/documents/pack.js';
import { printable } from '../../src/print/pdf/fonts.js';
import { pdfOf } from '../../src/print/pdf/job-pdf.js';
import { PLAIN, paintOf } from '../../src/print/pdf/style.js';
import { wrapped } from '../../src/print/pdf/wrap.js';
import { widthOf } from '../../src/print/pdf/fonts.js';
import { libraryText } from '../documents/library.js';
import { siteOf } from '../support/site.js';

const folder = mkdtempSync(path.join(os.tmpdir(), 'ferrule-pdf-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const file = path.join(folder, 'pack.pdf');
const read = (program: string, ...args: string[]) =>
  execFileSync(program, args, { encoding: 'utf8', maxBuffer: 64 * 1024 * 1024 });

describe('the PDF of a pack', () => {
  const title = 'Rëading “Hall” Ω ⇒ 👷🏽';
  const pack = packOfText(libraryText.replace('"Millrace Community Library"', `"${title}"`));
  let bytes: Uint8Array;
  let pages: readonly string[];

  beforeAll(async () => {
    bytes = await pdfOf(pack);
    writeFileSync(file, bytes);
    pages = read('pdftotext', '-layout', file, '-').split('\f').slice(0, -1);
  });

  it('is the same bytes for the same pack, and dated by the day of the check alone', async () => {
    expect(Buffer.compare(await pdfOf(pack), bytes)).toBe(0);
    const info = read('pdfinfo', '-isodates', file);
    expect(info).toMatch(/CreationDate:\s+2026-11-25T00:00:00/u);
    expect(info).toMatch(/ModDate:\s+2026-11-25T00:00:00/u);
    expect(info).toMatch(new RegExp(`Pages:\\s+${pages.length}\\b`, 'u'));
  });

  it('holds its fonts', () => {
    const rows = read('pdffonts', file).trim().split('\n').slice(2);
    expect(rows.length).toBe(2);
    for (const row of rows) {
      expect(row).toMatch(/Arimo-(Regular|Bold)\s+CID TrueType\s+Identity-H\s+yes yes yes/u);
    }
  });

  it('has A4 pages, upright and across', () => {
    const sizes = read('pdfinfo', '-l', String(pages.length), file)
      .split('\n')
      .filter((line) => /^Page +\d+ size/u.test(line));
    expect(sizes.length).toBe(pages.length);
    expect(sizes.every((line) => /(595\.28 x 841\.89|841\.89 x 595\.28)/u.test(line))).toBe(true);
    expect(new Set(sizes.map((line) => line.includes('595.28 x'))).size).toBe(2);
  });

  it('numbers each page and repeats revision, status and what the marks mean', () => {
    pages.forEach((page, index) => {
      expect(page).toContain(`Page ${index + 1} of ${pages.length}`);
      expect(page).toContain('Drawing ML-C-100 · Revision B');
      expect(page).toContain('Preliminary, to be approved by a competent person');
      expect(page).toContain('S stated · E estimated');
    });
  });

  it('leads from the cover to the page of each document', () => {
    for (const document of pack.documents.slice(1)) {
      const line = pages[0]!.split('\n').find((one) => one.trim().startsWith(`${document.title}:`));
      const page = Number(/(\d+)\s*$/u.exec(line ?? '')?.[1]);
      expect(pages[page - 1], document.title).toContain(document.title);
      expect(pages[page - 2] ?? '', document.title).not.toMatch(
        new RegExp(`^ *${document.title}$`, 'mu'),
      );
    }
  });

  it('has a bookmark for each document, section and drawing', () => {
    const marks = outlineTitles(bytes);
    expect(marks).toEqual(
      expect.arrayContaining([
        ...pack.documents.map((document) => printable(document.title)),
        ...pack.documents.flatMap(({ sections }) => sections.map(({ heading }) => heading)),
        ...pack.drawings.map((drawing) => drawing.title),
      ]),
    );
  });

  it('holds every label and every wire number of the schedules', () => {
    const words = pages.join('\n').replaceAll(/\s+/gu, '');
    const labels = pack.documents
      .flatMap(({ sections }) => sections.flatMap(({ blocks }) => blocks))
      .flatMap((block) => (block.kind === 'labels' ? block.labels : []));
    expect(labels.length).toBeGreaterThan(20);
    for (const label of labels) {
      expect(words).toContain(label.replaceAll(/\s+/gu, ''));
    }
  });

  it('shows what the font has and names the rest', () => {
    expect(pages[0]).toContain('Rëading “Hall” Ω [U+21D2] [U+1F477][U+1F3FD]');
  });

  it('draws the pictures as lines and letters, not as images', () => {
    expect(read('pdfimages', '-list', file).trim().split('\n').length).toBe(2);
    const drawn = pages.filter((page) => page.includes('Terminal wiring'));
    expect(drawn.join('\n')).toContain('field-1.1 WH'.split(' ')[0]);
    const prefix = path.join(folder, 'page');
    read('pdftoppm', '-r', '40', '-f', '1', '-l', '3', '-gray', file, prefix);
    const name = (page: number) =>
      `${prefix}-${String(page).padStart(String(pages.length).length, '0')}.pgm`;
    const dark = readFileSync(name(3)).filter((grey) => grey < 200).length;
    expect(dark).toBeGreaterThan(500);
  });
});

it('forbids work on every page of a site with errors', async () => {
  const pack = packOfText(libraryText, [
    {
      rule: 'bus-too-long',
      severity: 'error',
      subject: 'field-1',
      at: { declaration: 'field-1', part: 'name' },
      what: 'field-1 is too long.',
      why: '',
      remedy: 'Shorten it.',
      related: [],
      facts: [],
      waived: null,
    },
  ]);
  const forbidden = path.join(folder, 'forbidden.pdf');
  writeFileSync(forbidden, await pdfOf(pack));
  const pages = read('pdftotext', '-layout', forbidden, '-').split('\f').slice(0, -1);
  expect(pages.filter((page) => !page.includes('NOT FOR CONSTRUCTION'))).toEqual([]);
});

it('makes a PDF of an empty site', async () => {
  const bytes = await pdfOf(
    packValue(siteOf('').site, { findings: [], on: '2026-11-25', drawings: [] }),
  );
  expect(Buffer.from(bytes.subarray(0, 5)).toString()).toBe('%PDF-');
});

describe('the look of drawings on paper', () => {
  it('comes from the style sheet for every class that is drawn', () => {
    const { site } = siteOf(libraryText);
    const lists = [drawTopology(site, []).list, drawTerminals(site, 'field-1', [])!.list];
    const shapes = lists.flatMap(({ children }) => shapesOf(children));
    expect(shapes.length).toBeGreaterThan(100);
    for (const node of shapes) {
      const paint = paintOf(node.className, node.kind === 'text' ? 'text' : 'shape', PLAIN);
      expect(paint, node.className).not.toBe(PLAIN);
      for (const colour of [paint.fill, paint.stroke]) {
        expect(colour === undefined || /^#[0-9A-F]{6}$/iu.test(colour), node.className).toBe(true);
      }
    }
  });

  it('weighs more classes over fewer, and later rules over earlier ones', () => {
    expect(paintOf('fd-line fd-bus fd-d2', 'shape', PLAIN).dash).toEqual([2.5, 3.5]);
    expect(paintOf('fd-muted', 'text', PLAIN).fill).toBe('#515C68');
    expect(paintOf('fd-box fd-controller', 'shape', PLAIN).strokeWidthPx).toBe(2.4);
    expect(paintOf('fd-hit', 'shape', PLAIN)).toMatchObject({ fill: undefined, stroke: undefined });
  });
});

describe('lines', () => {
  it.each([
    'Isolate every source, lock it, prove dead.',
    'DB-M.W3/IU-G1 field-1/FC-1-01.field:CA',
    'Donaudampfschifffahrtsgesellschaft',
  ])('of %s are never wider than their room and lose nothing', (text) => {
    for (const width of [30, 60, 120]) {
      const lines = wrapped(text, width, 8, 400);
      expect(lines.every((line) => widthOf(line, 8, 400) <= width)).toBe(true);
      expect(lines.join('').replaceAll(' ', '')).toBe(text.replaceAll(' ', ''));
    }
  });
});

function packOfText(text: string, findings: PackInput['findings'] = []): Pack {
  const { site } = siteOf(text);
  const topology = drawTopology(site, findings);
  const terminals = drawTerminals(site, 'field-1', findings)!;
  return packValue(site, {
    findings,
    on: '2026-11-25',
    drawings: [
      { name: 'topology', svg: topology.svg, list: topology.list },
      { name: 'terminals-field-1', svg: terminals.svg, list: terminals.list },
    ],
  });
}

function shapesOf(nodes: readonly DrawNode[]): readonly Exclude<DrawNode, { kind: 'group' }>[] {
  return nodes.flatMap((node) => (node.kind === 'group' ? shapesOf(node.children) : [node]));
}

/** Titles of the outline's entries (ISO 32000-1, 12.3.3), found in the file's objects. */
function outlineTitles(bytes: Uint8Array): readonly string[] {
  const file = Buffer.from(bytes).toString('latin1');
  const streams = [...file.matchAll(/\/ObjStm[\s\S]*?stream\r?\n([\s\S]*?)endstream/gu)].map(
    ([, data]) => inflateSync(Buffer.from(data!, 'latin1')).toString('latin1'),
  );
  return [...[file, ...streams].join('\n').matchAll(/\/Title \(((?:\\[\s\S]|[^\\)])*)\)/gu)].map(
    ([, raw]) => {
      const text = raw!.replaceAll(
        /\\([nrtbf()\\])/gu,
        (_, sign: string) => ({ n: '\n', r: '\r', t: '\t', b: '\b', f: '\f' })[sign] ?? sign,
      );
      return text.startsWith('\u00fe\u00ff')
        ? Buffer.from(text.slice(2), 'latin1').swap16().toString('utf16le')
        : text;
    },
  );
}
