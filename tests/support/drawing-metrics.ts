/** What can be measured on a finished topology layout: the same counting for every test. */
import { textRect, type PlannedText } from '../../src/drawing/layout/planned.js';
import { countCrossings } from '../../src/drawing/layout/crossings.js';
import {
  grown,
  lineEntersRect,
  rectsOverlap,
  type Point,
  type Rect,
} from '../../src/drawing/layout/geometry.js';
import { type TopologyPlan } from '../../src/drawing/layout/topology/plan.js';

export interface Piece {
  readonly wireId: string;
  readonly runId: string;
  readonly layer: string;
  readonly from: Point;
  readonly to: Point;
}

export interface Area {
  readonly what: string;
  /** The line it belongs to; empty where it belongs to none. */
  readonly wireId: string;
  readonly rect: Rect;
}

/** Every straight piece of every line. */
export function piecesOf(plan: TopologyPlan): Piece[] {
  const pieces: Piece[] = [];
  for (const wire of plan.wires) {
    for (const line of wire.lines) {
      for (let index = 1; index < line.length; index++) {
        pieces.push({
          wireId: wire.id,
          runId: wire.runId,
          layer: wire.layer,
          from: line[index - 1]!,
          to: line[index]!,
        });
      }
    }
  }
  return pieces;
}

/** Every text, pill, symbol and finding mark, with the room that it takes. */
export function areasOf(plan: TopologyPlan): Area[] {
  const areas: Area[] = [];
  const addText = (what: string, text: PlannedText, wireId = '') =>
    areas.push({ what: `${what} "${text.text}"`, wireId, rect: textRect(text) });
  for (const text of plan.header) addText('title', text);
  for (const band of plan.bands) for (const text of band.texts) addText('area', text);
  for (const frame of plan.frames) if (frame.title) addText('room', frame.title);
  for (const box of plan.boxes) for (const text of box.texts) addText(`box ${box.id}`, text);
  for (const label of plan.labels) {
    if (label.pill)
      areas.push({
        what: `pill "${label.pill.text.text}"`,
        wireId: label.wireId,
        rect: label.pill.rect,
      });
    if (label.text) addText('label', label.text, label.wireId);
  }
  for (const symbol of plan.symbols)
    areas.push({ what: symbol.description, wireId: '', rect: symbol.rect });
  const wireOfFinding = new Map(
    plan.labels.flatMap((label) => label.findings.map((number) => [number, label.wireId] as const)),
  );
  for (const badge of plan.badges) {
    areas.push({
      what: `finding ${badge.number}`,
      wireId: wireOfFinding.get(badge.number) ?? '',
      rect: { x: badge.centre.x - 7.5, y: badge.centre.y - 7, width: 15, height: 14 },
    });
  }
  for (const item of plan.legend) addText('legend', item.text);
  for (const text of plan.footerTexts) addText('footer', text);
  for (const finding of plan.findings) for (const text of finding.texts) addText('list', text);
  return areas;
}

/** Lines that pass through the inside of a device's or board's box. */
export function linesThroughBoxes(plan: TopologyPlan): string[] {
  const index = new TileIndex(
    plan.boxes.map((box) => ({ item: box, rect: grown(box.rect, -0.5) })),
  );
  const found: string[] = [];
  for (const piece of piecesOf(plan)) {
    for (const { item, rect } of index.near(rectOf(piece))) {
      if (lineEntersRect(piece.from, piece.to, rect))
        found.push(`${piece.wireId} through ${item.id}`);
    }
  }
  return found;
}

export function boxesOnBoxes(plan: TopologyPlan): string[] {
  return overlapsOf(
    plan.boxes.map((box) => ({ item: box.id, rect: grown(box.rect, -0.1) })),
    (one, other) => `${one} on ${other}`,
  );
}

/** Texts, pills, symbols and marks that share room. A mark may stand on its own box's edge, not on text. */
export function labelsOnLabels(plan: TopologyPlan): string[] {
  return overlapsOf(
    areasOf(plan).map((area) => ({ item: area.what, rect: grown(area.rect, -0.25) })),
    (one, other) => `${one} on ${other}`,
  );
}

/** Labels of lines, room and area titles that reach into a box. */
export function labelsOnBoxes(plan: TopologyPlan): string[] {
  const index = new TileIndex(plan.boxes.map((box) => ({ item: box.id, rect: box.rect })));
  const found: string[] = [];
  for (const area of areasOf(plan)) {
    if (area.what.startsWith('box ') || area.what.startsWith('finding ')) continue;
    for (const { item, rect } of index.near(area.rect)) {
      if (rectsOverlap(area.rect, rect)) found.push(`${area.what} on box ${item}`);
    }
  }
  return found;
}

/** Texts, boxes and lines that reach over the edge of the picture. */
export function outOfPicture(plan: TopologyPlan): string[] {
  const isOutside = ({ x, y, width, height }: Rect) =>
    x < 0 || y < 0 || x + width > plan.widthPx + 0.01 || y + height > plan.heightPx + 0.01;
  return [
    ...areasOf(plan)
      .filter((area) => isOutside(area.rect))
      .map((area) => area.what),
    ...plan.boxes.filter((box) => isOutside(box.rect)).map((box) => box.id),
    ...piecesOf(plan)
      .filter((piece) => isOutside(rectOf(piece)))
      .map((piece) => piece.wireId),
  ];
}

/** Texts of boxes that reach out of them. */
export function textsOutOfBoxes(plan: TopologyPlan): string[] {
  const found: string[] = [];
  for (const box of plan.boxes) {
    for (const text of box.texts) {
      const rect = textRect(text);
      const isInside =
        rect.x >= box.rect.x &&
        rect.y >= box.rect.y &&
        rect.x + rect.width <= box.rect.x + box.rect.width + 0.01 &&
        rect.y + rect.height <= box.rect.y + box.rect.height + 0.01;
      if (!isInside) found.push(`${text.text} out of ${box.id}`);
    }
  }
  return found;
}

/** Labels, symbols and marks with a line of something else through them. */
export function linesThroughLabels(plan: TopologyPlan): string[] {
  const index = new TileIndex(areasOf(plan).map((area) => ({ item: area, rect: area.rect })));
  const found: string[] = [];
  for (const piece of piecesOf(plan)) {
    for (const { item, rect } of index.near(rectOf(piece))) {
      if (item.wireId === piece.wireId) continue;
      if (lineEntersRect(piece.from, piece.to, rect))
        found.push(`${piece.wireId} through ${item.what}`);
    }
  }
  return found;
}

/** Places where two lines run along each other instead of crossing. */
export function sharedLines(plan: TopologyPlan): string[] {
  const pieces = piecesOf(plan);
  const found: string[] = [];
  const byTrack = new Map<string, Piece[]>();
  for (const piece of pieces) {
    const isVertical = piece.from.x === piece.to.x;
    const key = isVertical ? `x${piece.from.x}` : `y${piece.from.y}`;
    const list = byTrack.get(key);
    if (list) list.push(piece);
    else byTrack.set(key, [piece]);
  }
  for (const list of byTrack.values()) {
    for (let a = 0; a < list.length; a++) {
      for (let b = a + 1; b < list.length; b++) {
        const one = list[a]!;
        const other = list[b]!;
        if (one.wireId === other.wireId) continue;
        const [low, high] = interval(one);
        const [otherLow, otherHigh] = interval(other);
        if (Math.min(high, otherHigh) - Math.max(low, otherLow) > 0.01) {
          found.push(`${one.wireId} along ${other.wireId}`);
        }
      }
    }
  }
  return found;
}

export type CrossingFilter = (layer: string) => boolean;

/** Crossings of lines of different wires, on the final polylines. */
export function crossings(plan: TopologyPlan, counts: CrossingFilter = () => true): number {
  return countCrossings(plan.wires.filter((wire) => counts(wire.layer)));
}

export const withoutPower: CrossingFilter = (layer) => layer !== 'feed' && layer !== 'branch';

/** Number of lines that a crossing count is set against. */
export function edgeCount(plan: TopologyPlan, counts: CrossingFilter = () => true): number {
  return plan.wires.filter((wire) => counts(wire.layer)).length;
}

function interval(piece: Piece): [number, number] {
  const isVertical = piece.from.x === piece.to.x;
  const one = isVertical ? piece.from.y : piece.from.x;
  const other = isVertical ? piece.to.y : piece.to.x;
  return [Math.min(one, other), Math.max(one, other)];
}

function rectOf(piece: Piece): Rect {
  return {
    x: Math.min(piece.from.x, piece.to.x),
    y: Math.min(piece.from.y, piece.to.y),
    width: Math.abs(piece.from.x - piece.to.x),
    height: Math.abs(piece.from.y - piece.to.y),
  };
}

interface Indexed<Item> {
  readonly item: Item;
  readonly rect: Rect;
}

const TILE_PX = 160;

/** Finds what lies near a rectangle without looking at everything. */
class TileIndex<Item> {
  private readonly tiles = new Map<number, Indexed<Item>[]>();

  constructor(entries: readonly Indexed<Item>[]) {
    for (const entry of entries) {
      for (const key of keysOf(entry.rect)) {
        const list = this.tiles.get(key);
        if (list) list.push(entry);
        else this.tiles.set(key, [entry]);
      }
    }
  }

  near(rect: Rect): ReadonlySet<Indexed<Item>> {
    const found = new Set<Indexed<Item>>();
    for (const key of keysOf(rect)) for (const entry of this.tiles.get(key) ?? []) found.add(entry);
    return found;
  }
}

function keysOf(rect: Rect): number[] {
  const keys: number[] = [];
  for (
    let x = Math.floor(rect.x / TILE_PX);
    x <= Math.floor((rect.x + rect.width) / TILE_PX);
    x++
  ) {
    for (
      let y = Math.floor(rect.y / TILE_PX);
      y <= Math.floor((rect.y + rect.height) / TILE_PX);
      y++
    ) {
      keys.push(x * 100_000 + y);
    }
  }
  return keys;
}

function overlapsOf(
  entries: readonly Indexed<string>[],
  say: (one: string, other: string) => string,
): string[] {
  const index = new TileIndex(entries);
  const position = new Map(entries.map((entry, at) => [entry, at]));
  const found: string[] = [];
  for (const entry of entries) {
    for (const other of index.near(entry.rect)) {
      if ((position.get(other) ?? 0) <= (position.get(entry) ?? 0)) continue;
      if (rectsOverlap(entry.rect, other.rect)) found.push(say(entry.item, other.item));
    }
  }
  return found;
}

/** What a picture without faults gives. */
export const NO_FAULTS = {
  linesThroughBoxes: [],
  boxesOnBoxes: [],
  labelsOnLabels: [],
  labelsOnBoxes: [],
  textsOutOfBoxes: [],
  linesThroughLabels: [],
  sharedLines: [],
  outOfPicture: [],
};

/** Everything that must not be in a picture, by kind. */
export function topologyFaults(plan: TopologyPlan) {
  return {
    linesThroughBoxes: linesThroughBoxes(plan),
    boxesOnBoxes: boxesOnBoxes(plan),
    labelsOnLabels: labelsOnLabels(plan),
    labelsOnBoxes: labelsOnBoxes(plan),
    textsOutOfBoxes: textsOutOfBoxes(plan),
    linesThroughLabels: linesThroughLabels(plan),
    sharedLines: sharedLines(plan),
    outOfPicture: outOfPicture(plan),
  };
}
