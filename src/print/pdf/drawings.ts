/** Drawings on sheets: whole where it can be read, else an overview and parts of it. */
import type { DrawList } from '../../drawing/svg/draw-list.js';
import { printTexts } from '../texts.js';
import { Flow } from './flow.js';
import type { PageStyle } from './flow.js';
import { printable } from './fonts.js';
import { MUTED } from './paper.js';
import type { Paper, PaperSize } from './paper.js';
import { writePicture } from './picture.js';
import type { PicturePlace } from './picture.js';

/**
 * The least scale in points for each pixel: the small type of a drawing, 9.5 px, is then 1.8 mm high
 * (ISO 3098 and common practice).
 */
const LEAST_SCALE = (1.8 / 25.4) * (72 / 9.5);
/** A picture that is small is not blown up. */
const GREATEST_SCALE = 0.75;
/** What neighbouring sheets both show, in pixels. */
const OVERLAP = 30;
const CAPTION = 14;

interface Room {
  readonly size: PaperSize;
  readonly orientation: 'portrait' | 'landscape';
}

const ROOMS: readonly Room[] = [
  { size: 'A4', orientation: 'landscape' },
  { size: 'A4', orientation: 'portrait' },
  { size: 'A3', orientation: 'landscape' },
  { size: 'A3', orientation: 'portrait' },
];

export interface WrittenDrawing {
  /** Where it begins. */
  readonly page: number;
  /** A page on which another small drawing may follow. */
  readonly open: Flow | undefined;
}

export function writeDrawing(
  paper: Paper,
  title: string,
  list: DrawList,
  open: Flow | undefined,
  furnish: (flow: Flow, title: string) => void,
): WrittenDrawing {
  const shared = sharedScale(list);
  if (shared !== undefined) {
    const flow =
      open ??
      new Flow(paper, {
        ...SHARED,
        furnish: (page) => furnish(page, printTexts.drawingsPart),
        pageOf: NOTHING,
      });
    flow.ensure(list.heightPx * shared);
    writeWhole(flow, list, shared);
    flow.space(GAP);
    return { page: paper.pages, open: flow };
  }
  const room = ROOMS.find((one) => scaleIn(one, list) >= LEAST_SCALE);
  const style = (room: Room, pageTitle: string): PageStyle => ({
    ...room,
    furnish: (flow) => furnish(flow, pageTitle),
    pageOf: NOTHING,
  });
  if (room !== undefined) {
    writeWhole(new Flow(paper, style(room, title)), list);
    return { page: paper.pages, open: undefined };
  }
  const large: Room = { size: 'A3', orientation: 'landscape' };
  const tiles = tilesOf(list);
  const overview = new Flow(paper, style(large, printTexts.overview(title)));
  const page = paper.pages;
  overview.paragraph(
    printTexts.sheets(tiles.length === 0 ? '' : `${tiles[0]!.name} … ${tiles.at(-1)!.name}`),
    { sizePt: 8, colour: MUTED },
  );
  writeWhole(overview, list);
  for (const tile of tiles) {
    const flow = new Flow(paper, style(large, printTexts.sheetOf(title, tile.name)));
    writePicture(paper, list, { x: flow.left, y: flow.top, scale: LEAST_SCALE, part: tile.part });
    writeNeighbours(flow, tile, tiles);
  }
  return { page, open: undefined };
}

const NOTHING: ReadonlyMap<string, number> = new Map();
const SHARED: Room = { size: 'A4', orientation: 'portrait' };
const GAP = 14;
/** Drawings on a shared page, at least. */
const AT_LEAST_SHARED = 2;

/** The scale at which a drawing leaves room for others on its page; undefined where it needs one of its own. */
function sharedScale(list: DrawList): number | undefined {
  const { width, height } = contentOf(SHARED);
  const widest = Math.min(GREATEST_SCALE, width / list.widthPx);
  const heightFor = (count: number) => (height - count * GAP) / count / list.heightPx;
  const scale = [AT_LEAST_SHARED + 1, AT_LEAST_SHARED]
    .map((count) => Math.min(widest, heightFor(count)))
    .find((one) => one >= LEAST_SCALE);
  return scale;
}

/** As large as the page allows, from its top left corner. */
function writeWhole(flow: Flow, list: DrawList, most = GREATEST_SCALE): void {
  const scale = Math.min(most, flow.width / list.widthPx, (flow.bottom - flow.y) / list.heightPx);
  writePicture(flow.paper, list, {
    x: flow.left,
    y: flow.y,
    scale,
    part: { x: 0, y: 0, width: list.widthPx, height: list.heightPx },
  });
  flow.space(list.heightPx * scale);
}

interface Tile {
  readonly name: string;
  readonly row: number;
  readonly column: number;
  readonly part: PicturePlace['part'];
}

/** Parts that fill an A3 sheet each, row by row: A1, A2, … B1. */
function tilesOf(list: DrawList): readonly Tile[] {
  const { width, height } = contentOf({ size: 'A3', orientation: 'landscape' });
  const partWidth = width / LEAST_SCALE;
  const partHeight = (height - 2 * CAPTION) / LEAST_SCALE;
  const columns = countOf(list.widthPx, partWidth);
  const rows = countOf(list.heightPx, partHeight);
  return Array.from({ length: rows * columns }, (_, index): Tile => {
    const row = Math.floor(index / columns);
    const column = index % columns;
    const x = column * (partWidth - OVERLAP);
    const y = row * (partHeight - OVERLAP);
    return {
      name: `${rowName(row)}${column + 1}`,
      row,
      column,
      part: {
        x,
        y,
        width: Math.min(partWidth, list.widthPx - x),
        height: Math.min(partHeight, list.heightPx - y),
      },
    };
  });
}

function countOf(whole: number, part: number): number {
  return Math.max(1, Math.ceil((whole - OVERLAP) / (part - OVERLAP)));
}

/** `A` … `Z`, `AA`. */
function rowName(row: number): string {
  const letter = String.fromCharCode(65 + (row % 26));
  return row < 26 ? letter : rowName(Math.floor(row / 26) - 1) + letter;
}

/** Which sheets go on at the edges. */
function writeNeighbours(flow: Flow, tile: Tile, tiles: readonly Tile[]): void {
  const at = (row: number, column: number) =>
    tiles.find((one) => one.row === row && one.column === column)?.name;
  const sides: readonly (readonly [string, string | undefined])[] = [
    ['←', at(tile.row, tile.column - 1)],
    ['→', at(tile.row, tile.column + 1)],
    ['↑', at(tile.row - 1, tile.column)],
    ['↓', at(tile.row + 1, tile.column)],
  ];
  const text = sides
    .flatMap(([arrow, name]) =>
      name === undefined ? [] : [`${arrow} ${printTexts.onSheet(name)}`],
    )
    .join('     ');
  flow.paper.text(printable(text), flow.left, flow.bottom - 2, { sizePt: 8, colour: MUTED });
}

function scaleIn(room: Room, list: DrawList): number {
  const { width, height } = contentOf(room);
  return Math.min(GREATEST_SCALE, width / list.widthPx, height / list.heightPx);
}

const MILLIMETRE = 72 / 25.4;
const SIDES_MM: Readonly<Record<PaperSize, readonly [number, number]>> = {
  A4: [210, 297],
  A3: [297, 420],
};

/** The part of a page that holds content, without making the page. */
function contentOf({ size, orientation }: Room): {
  readonly width: number;
  readonly height: number;
} {
  const [short, long] = SIDES_MM[size];
  const [width, height] = orientation === 'portrait' ? [short, long] : [long, short];
  return {
    width: width * MILLIMETRE - Flow.sidesPt,
    height: height * MILLIMETRE - Flow.aboveAndBelowPt,
  };
}
