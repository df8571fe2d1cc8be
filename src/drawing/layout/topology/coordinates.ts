/**
 * The fourth step of the topology layout: sizes of channels, gutters and columns follow from what runs
 * in them, and positions follow from the sizes. So every line and label has room of its own.
 */
import { BADGE, MARGIN } from '../sheet.js';
import type { TextMeasure } from '../text-measure.js';
import { labelWidth, type FieldSizes, type StripBox } from './boxes.js';
import { clusterKey, type Cluster, type ClusterKey } from './clusters.js';
import type { Cell, Grid, GridRow } from './grid.js';
import type { Placement, Side } from './placement.js';
import * as size from './sizes.js';
import { assignTracks, type Leaving, type TrackItem } from './tracks.js';
import {
  CHANNELS_PER_ROW,
  IP_GUTTER,
  LEFT_GUTTER,
  channelOf,
  columnStep,
  firstSliceGutter,
  gutterStep,
  rightGutter,
  type GutterRun,
  type Slot,
  type Span,
  type SpanEnd,
  type StripPin,
  type Wiring,
} from './wiring.js';

export interface RowGeometry {
  readonly row: GridRow;
  readonly channelTop: readonly number[];
  readonly hostTop: number;
  readonly hostBottom: number;
  readonly bottom: number;
}

export interface BandGeometry {
  readonly top: number;
  readonly bottom: number;
}

export interface Geometry {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly railX: number;
  readonly railPx: number;
  readonly rows: readonly RowGeometry[];
  readonly bands: readonly BandGeometry[];
  readonly stripTop: ReadonlyMap<string, number>;
  /** Left edge of the boxes of each strip, and their width. */
  readonly strips: Readonly<Record<'left' | 'right', { readonly x: number; readonly px: number }>>;
  /** Length of the stubs of each strip, at the inner and the outer edge. */
  readonly stubs: Readonly<
    Record<'left' | 'right', { readonly inner: number; readonly outer: number }>
  >;
  columnX(slice: number, column: number): number;
  columnPx(slice: number, column: number): number;
  /** Gap left of a column; with the number of columns, the one right of the last. */
  gapPx(slice: number, column: number): number;
  slotX(slot: Slot): number;
  /** Left and right edge of a cluster. */
  clusterX(cell: Cell, side: Side): { readonly from: number; readonly to: number };
  /** Free room for a label beside the cluster of a slot. */
  zone(slot: Slot, direction: -1 | 1): { readonly from: number; readonly to: number };
  trackY(span: Span): number;
  trackX(run: GutterRun): number;
  pinY(pin: StripPin): number;
  satelliteTop(cell: Cell, satellite: number): number;
}

export interface GeometryInput {
  readonly placement: Placement;
  readonly grid: Grid;
  readonly wiring: Wiring;
  readonly clusters: ReadonlyMap<ClusterKey, Cluster>;
  readonly strips: ReadonlyMap<string, StripBox>;
  readonly sizes: FieldSizes;
  readonly railPx: number;
  readonly topPx: number;
  /** Rows in which a room has a frame with a title. */
  readonly framedRows: ReadonlySet<number>;
  /** Marks of findings that stand beside each device's box. */
  readonly badgesOfDevice: ReadonlyMap<string, number>;
  readonly measure: TextMeasure;
}

export function computeGeometry(input: GeometryInput): Geometry {
  const horizontal = horizontalSizes(input);
  const byGutter = groupBy(input.wiring.runs, (run) => run.gutter);
  const byChannel = groupBy(input.wiring.spans, (span) => span.channel);

  // First guess of the gutters by rows alone; then channels; then both again with what is known.
  assignGutters(input, byGutter, (run) => run.ends.map((end) => coarseY(input, end)), 0);
  assignChannels(input, byChannel, byGutter);
  let vertical = verticalSizes(input, byChannel);
  for (let pass = 0; pass < 2; pass++) {
    const known = vertical;
    assignGutters(
      input,
      byGutter,
      (run) =>
        run.ends.map((end) => (end.kind === 'pin' ? known.pinY(end.pin) : known.trackY(end.span))),
      size.TRACK_CLEARANCE,
    );
    if (pass === 0) {
      assignChannels(input, byChannel, byGutter);
      vertical = verticalSizes(input, byChannel);
    }
  }
  // The last pass of the gutters used the final heights, so nothing above it moves any more.
  return joined(input, horizontal, vertical, byGutter);
}

// --- Tracks ----------------------------------------------------------------------------------

function coarseY(input: GeometryInput, end: GutterRun['ends'][number]): number {
  if (end.kind === 'span') return end.span.channel;
  const band = bandOfBox(input.placement, end.pin);
  const first = input.grid.rows.find((row) => row.band === band)?.index ?? 0;
  return channelOf(first, 'inner') + 0.5;
}

function bandOfBox(placement: Placement, pin: StripPin): number {
  return (
    (pin.boxId.startsWith('board\u0001')
      ? placement.bandOfBoard.get(pin.boxId.slice('board\u0001'.length))
      : placement.bandOfDevice.get(pin.boxId)) ?? 0
  );
}

function assignGutters(
  input: GeometryInput,
  byGutter: ReadonlyMap<number, readonly GutterRun[]>,
  positions: (run: GutterRun) => number[],
  clearance: number,
): void {
  for (const [gutter, runs] of byGutter) {
    const items = runs.map((run): TrackItem => {
      const at = positions(run);
      const from = Math.min(...at);
      const to = Math.max(...at);
      const leavings = run.ends.map((end, index): Leaving => ({
        at: at[index] ?? 0,
        side: sideAtGutter(input, end, gutter),
      }));
      return { low: from, high: to, from, to, leavings };
    });
    const settle = gutter === rightGutter(input.grid) ? 'after' : 'before';
    const { trackOf } = assignTracks(items, clearance, settle);
    runs.forEach((run, index) => {
      run.track = trackOf[index] ?? 0;
    });
  }
}

function sideAtGutter(
  input: GeometryInput,
  end: GutterRun['ends'][number],
  gutter: number,
): 'before' | 'after' {
  if (end.kind === 'pin') {
    const boxIsRight = gutter === IP_GUTTER || end.pin.strip === 'right';
    return boxIsRight ? 'after' : 'before';
  }
  const own = gutterStep(input.grid, gutter);
  const others = end.span.ends
    .filter((other) => !(other.kind === 'gutter' && other.run.gutter === gutter))
    .map((other) => stepOfEnd(input.grid, other));
  const mean = others.reduce((sum, step) => sum + step, 0) / Math.max(1, others.length);
  return mean < own ? 'before' : 'after';
}

function stepOfEnd(grid: Grid, end: SpanEnd): number {
  if (end.kind === 'gutter') return gutterStep(grid, end.run.gutter);
  return columnStep(grid, end.slot.cell.slice, end.slot.cell.column);
}

function assignChannels(
  input: GeometryInput,
  byChannel: ReadonlyMap<number, readonly Span[]>,
  byGutter: ReadonlyMap<number, readonly GutterRun[]>,
): void {
  const tracksOf = new Map(
    [...byGutter].map(([gutter, runs]) => [gutter, Math.max(...runs.map((run) => run.track)) + 1]),
  );
  for (const [channel, spans] of byChannel) {
    const items = spans.map((span) => channelItem(input, span, tracksOf));
    const isFeed = channel % CHANNELS_PER_ROW === 0;
    const { trackOf } = assignTracks(items, 0, isFeed ? 'after' : 'before');
    spans.forEach((span, index) => {
      span.track = trackOf[index] ?? 0;
    });
  }
}

/** Columns and gutters in whole steps; pins and tracks in fractions of a step. */
function channelItem(
  input: GeometryInput,
  span: Span,
  tracksOf: ReadonlyMap<number, number>,
): TrackItem {
  let low = Infinity;
  let high = -Infinity;
  let from = Infinity;
  let to = -Infinity;
  const leavings: Leaving[] = [];
  for (const end of span.ends) {
    const step = stepOfEnd(input.grid, end);
    let at: number;
    if (end.kind === 'slot') {
      at = step + slotFraction(input, end.slot);
      leavings.push({ at, side: sideAtSlot(end.slot) });
      low = Math.min(low, at);
      high = Math.max(high, at);
    } else if (end.kind === 'zone') {
      at = end.direction < 0 ? step - 0.09 : step + 1.09;
      low = Math.min(low, at);
      high = Math.max(high, at);
    } else {
      at = step + (0.1 + (0.8 * (end.run.track + 1)) / ((tracksOf.get(end.run.gutter) ?? 0) + 1));
      low = Math.min(low, step);
      high = Math.max(high, step + 1);
      leavings.push(...sidesAtRun(span, end.run, at));
    }
    from = Math.min(from, at);
    to = Math.max(to, at);
  }
  return { low, high, from, to, leavings };
}

function slotFraction(input: GeometryInput, slot: Slot): number {
  const count = input.clusters.get(clusterKey(slot.cell, slot.side))?.slots.length ?? 1;
  return 0.1 + (0.8 * (slot.index + 1)) / (count + 1);
}

function sideAtSlot(slot: Slot): 'before' | 'after' {
  if (slot.side === 'bottom') return 'before';
  if (slot.side === 'feed') return 'after';
  return slot.ownerId === slot.cell.device.id ? 'after' : 'before';
}

function sidesAtRun(span: Span, run: GutterRun, at: number): Leaving[] {
  const sides = new Set<'before' | 'after'>();
  for (const end of run.ends) {
    if (end.kind === 'span' && end.span !== span) {
      sides.add(end.span.channel < span.channel ? 'before' : 'after');
    }
    // A pin of a strip may stand above or below; both are counted, since the heights are not known yet.
    if (end.kind === 'pin') sides.add('after');
  }
  return [...sides].map((side) => ({ at, side }));
}

// --- Horizontal --------------------------------------------------------------------------------

interface Horizontal {
  readonly gaps: readonly (readonly number[])[];
  readonly stubs: Geometry['stubs'];
  readonly stripPx: Readonly<Record<'left' | 'right', number>>;
}

/** Gaps between columns: the room beside two boxes, or what the labels between their clusters need. */
function horizontalSizes(input: GeometryInput): Horizontal {
  const { grid, measure } = input;
  const gaps = Array.from({ length: grid.slices }, () =>
    Array.from({ length: grid.columns + 1 }, (_, index): number =>
      index === 0 || index === grid.columns ? size.SLICE_PAD : size.COLUMN_GAP,
    ),
  );
  for (const span of input.wiring.spans) {
    if (!span.label) continue;
    const { slot, direction, content } = span.label;
    const { slice, column } = slot.cell;
    const zone = zoneParts(input, slot, direction);
    if (!zone.withGap) continue;
    const needPx = labelWidth(content, measure) + size.LABEL_MARGINS - zone.ownPx - zone.besidePx;
    const gap = direction < 0 ? column : column + 1;
    const list = gaps[slice];
    if (list) list[gap] = Math.max(list[gap] ?? 0, Math.ceil(needPx));
  }
  for (const cell of grid.cellOfDevice.values()) {
    const badges = input.badgesOfDevice.get(cell.device.id) ?? 0;
    const list = gaps[cell.slice];
    if (badges === 0 || !list) continue;
    const needPx = 2 * size.FRAME_PAD + Math.ceil(badges / size.BADGES_IN_STACK) * (BADGE + 1);
    list[cell.column] = Math.max(list[cell.column] ?? 0, needPx);
  }
  const stripPx = { left: 0, right: 0 };
  for (const box of input.strips.values()) {
    const strip = isLeft(input.placement, box.id) ? 'left' : 'right';
    stripPx[strip] = Math.max(stripPx[strip], box.widthPx);
  }
  const stubs = { left: { inner: 0, outer: 0 }, right: { inner: 0, outer: 0 } };
  for (const pin of input.wiring.pins) {
    const needPx =
      pin.kind !== 'pin'
        ? 34
        : pin.label
          ? labelWidth(pin.label, measure) + 16
          : size.SLICE_PAD / 2;
    stubs[pin.strip][pin.edge] = Math.max(stubs[pin.strip][pin.edge], Math.ceil(needPx));
  }
  return { gaps, stubs, stripPx };
}

/**
 * The free zone beside the cluster of a slot: the rest of its own column, the gap, and what the next box
 * leaves free. On the inner side feed lines come down at the right of each box and end the zone.
 */
function zoneParts(
  input: GeometryInput,
  slot: Slot,
  direction: -1 | 1,
): { readonly ownPx: number; readonly withGap: boolean; readonly besidePx: number } {
  const { cell, side } = slot;
  const columnPx = columnWidth(input, cell.slice, cell.column);
  const edges = clusterEdges(input, cell, side);
  const feedPx = (of: Cell) =>
    side === 'inner' ? (input.clusters.get(clusterKey(of, 'feed'))?.widthPx ?? 0) : 0;
  if (direction > 0 && feedPx(cell) > 0) {
    return {
      ownPx: clusterEdges(input, cell, 'feed').from - edges.to,
      withGap: false,
      besidePx: 0,
    };
  }
  const ownPx = direction < 0 ? edges.from : columnPx - edges.to;
  const beside = cellAt(input, cell.row, cell.slice, cell.column + direction);
  if (!beside) return { ownPx, withGap: true, besidePx: 0 };
  const besideEdges = clusterEdges(input, beside, side);
  const besideColumnPx = columnWidth(input, beside.slice, beside.column);
  const besidePx =
    direction > 0
      ? besideEdges.from
      : feedPx(beside) > 0
        ? besideColumnPx - clusterEdges(input, beside, 'feed').to
        : besideColumnPx - besideEdges.to;
  return { ownPx, withGap: true, besidePx };
}

function cellAt(
  input: GeometryInput,
  row: number,
  slice: number,
  column: number,
): Cell | undefined {
  return input.grid.rows[row]?.cells.find((cell) => cell.slice === slice && cell.column === column);
}

function isLeft(placement: Placement, boxId: string): boolean {
  return placement.left.some((items) =>
    items.some((item) => item.kind === 'device' && item.device.id === boxId),
  );
}

function columnWidth(input: GeometryInput, slice: number, column: number): number {
  return input.sizes.columnPx[slice]?.[column] ?? 0;
}

/** Edges of a cluster, from the left edge of its box. A side without pins counts as the point where they would stand. */
function clusterEdges(input: GeometryInput, cell: Cell, side: Side): { from: number; to: number } {
  const boxPx = columnWidth(input, cell.slice, cell.column);
  const widthPx = input.clusters.get(clusterKey(cell, side))?.widthPx ?? 0;
  if (side === 'bottom') {
    const from = Math.round((boxPx - widthPx) / 2);
    return { from, to: from + widthPx };
  }
  if (side === 'inner') return { from: 8, to: 8 + widthPx };
  return { from: boxPx - 8 - widthPx, to: boxPx - 8 };
}

// --- Vertical ----------------------------------------------------------------------------------

interface Vertical {
  readonly rows: readonly RowGeometry[];
  readonly bands: readonly BandGeometry[];
  readonly stripTop: ReadonlyMap<string, number>;
  readonly bottomPx: number;
  trackY(span: Span): number;
  pinY(pin: StripPin): number;
}

function verticalSizes(
  input: GeometryInput,
  byChannel: ReadonlyMap<number, readonly Span[]>,
): Vertical {
  const rows: RowGeometry[] = [];
  const bands: BandGeometry[] = [];
  const trackCentre = new Map<number, readonly number[]>();
  const stripTop = new Map<string, number>();
  let y = input.topPx;
  for (const band of input.placement.bands) {
    const top = y;
    y += size.BAND_PAD;
    for (const row of input.grid.rows.filter((one) => one.band === band.index)) {
      const geometry = rowGeometry(input, row, y, byChannel, trackCentre);
      rows.push(geometry);
      y = geometry.bottom;
    }
    const busy = busyHeights(input, byChannel, trackCentre, rows, band.index);
    for (const strip of ['left', 'right'] as const) {
      let stripY = top + size.BAND_PAD + 4;
      for (const item of input.placement[strip][band.index] ?? []) {
        const id = item.kind === 'board' ? `board\u0001${item.board.id}` : item.device.id;
        const box = input.strips.get(id);
        if (!box) continue;
        stripY = clearOf(busy[strip], box, stripY);
        stripTop.set(id, stripY);
        stripY += box.heightPx + size.STRIP_GAP;
      }
      y = Math.max(y, stripY - size.STRIP_GAP + 4);
    }
    y += size.BAND_PAD;
    bands.push({ top, bottom: y });
  }
  const pinOffset = pinOffsets(input.strips);
  return {
    rows,
    bands,
    stripTop,
    bottomPx: y,
    trackY: (span) => trackCentre.get(span.channel)?.[span.track] ?? 0,
    pinY: (pin) => (stripTop.get(pin.boxId) ?? 0) + (pinOffset.get(pin) ?? 0),
  };
}

function rowGeometry(
  input: GeometryInput,
  row: GridRow,
  top: number,
  byChannel: ReadonlyMap<number, readonly Span[]>,
  trackCentre: Map<number, readonly number[]>,
): RowGeometry {
  const channelTop: number[] = [];
  let y = top;
  const addChannel = (side: Side) => {
    channelTop.push(y);
    const spans = byChannel.get(channelOf(row.index, side)) ?? [];
    const heights: number[] = [];
    for (const span of spans) {
      const height = span.label ? size.LABEL_TRACK : size.PLAIN_TRACK;
      heights[span.track] = Math.max(heights[span.track] ?? size.PLAIN_TRACK, height);
    }
    if (heights.length > 0) y += size.CHANNEL_PAD;
    trackCentre.set(
      channelOf(row.index, side),
      heights.map((height) => {
        y += height;
        return y - height / 2;
      }),
    );
    if (heights.length > 0) y += size.CHANNEL_PAD;
  };
  const hasSymbols = (side: Side) =>
    input.wiring.slots.some(
      (slot) =>
        slot.kind !== 'pin' &&
        slot.side === side &&
        slot.cell.row === row.index &&
        slot.ownerId === slot.cell.device.id,
    );

  addChannel('feed');
  if (input.framedRows.has(row.index)) y += size.FRAME_TITLE;
  const stacks = row.cells.map((cell) =>
    cell.satellites.reduce(
      (sum, _, index) => sum + input.sizes.satelliteHeightPx(cell, index) + size.SATELLITE_GAP,
      0,
    ),
  );
  y += Math.max(0, ...stacks);
  addChannel('inner');
  if (hasSymbols('inner')) y += size.SYMBOL_ROOM;
  const hostTop = y;
  y += Math.max(0, ...row.cells.map((cell) => input.sizes.boxHeightPx(cell)));
  const hostBottom = y;
  if (input.framedRows.has(row.index)) y += size.FRAME_PAD;
  y += hasSymbols('bottom') ? size.SYMBOL_ROOM : size.NO_SYMBOL_ROOM;
  addChannel('bottom');
  return { row, channelTop, hostTop, hostBottom, bottom: y };
}

/** Heights at which lines of channels enter the gutter beside a strip: no pin may stand there. */
function busyHeights(
  input: GeometryInput,
  byChannel: ReadonlyMap<number, readonly Span[]>,
  trackCentre: ReadonlyMap<number, readonly number[]>,
  rows: readonly RowGeometry[],
  band: number,
): Record<'left' | 'right', readonly number[]> {
  const busy: Record<'left' | 'right', number[]> = { left: [], right: [] };
  for (const { row } of rows) {
    if (row.band !== band) continue;
    for (const side of ['feed', 'inner', 'bottom'] as const) {
      for (const span of byChannel.get(channelOf(row.index, side)) ?? []) {
        for (const end of span.ends) {
          if (end.kind !== 'gutter') continue;
          const y = trackCentre.get(span.channel)?.[span.track] ?? 0;
          if (end.run.gutter === LEFT_GUTTER) busy.left.push(y);
          if (end.run.gutter === rightGutter(input.grid)) busy.right.push(y);
        }
      }
    }
  }
  return busy;
}

/** The first height, from a given one downwards, at which no pin of a box is close to a busy height. */
function clearOf(busy: readonly number[], box: StripBox, from: number): number {
  const offsets = [...pinOffsets(new Map([[box.id, box]])).values()];
  let y = from;
  for (;;) {
    const clash = offsets.find((offset) =>
      busy.some((at) => Math.abs(y + offset - at) < size.TRACK_CLEARANCE),
    );
    if (clash === undefined) return y;
    const nearest = busy.find((at) => Math.abs(y + clash - at) < size.TRACK_CLEARANCE) ?? y;
    y = nearest + size.TRACK_CLEARANCE - clash;
  }
}

function pinOffsets(strips: ReadonlyMap<string, StripBox>): ReadonlyMap<StripPin, number> {
  const offsets = new Map<StripPin, number>();
  for (const box of strips.values()) {
    box.rows.forEach((row, index) => {
      if (row.pin) offsets.set(row.pin, box.headerPx + (index + 0.5) * size.STRIP_ROW);
    });
    box.outerPins.forEach((pin, index) => offsets.set(pin, 16 + index * size.STRIP_ROW));
  }
  return offsets;
}

// --- Together ----------------------------------------------------------------------------------

function joined(
  input: GeometryInput,
  horizontal: Horizontal,
  vertical: Vertical,
  byGutter: ReadonlyMap<number, readonly GutterRun[]>,
): Geometry {
  const { grid } = input;
  const gutterPx = (gutter: number) => {
    const runs = byGutter.get(gutter) ?? [];
    if (runs.length === 0) return 0;
    const tracks = Math.max(...runs.map((run) => run.track)) + 1;
    return 2 * size.GUTTER_PAD + tracks * size.GUTTER_TRACK;
  };
  const gutterX = new Map<number, number>();
  const columnX: number[][] = [];
  let x = MARGIN;
  const railX = x;
  x += input.railPx;
  const addGutter = (gutter: number) => {
    gutterX.set(gutter, x);
    x += gutterPx(gutter);
  };
  addGutter(IP_GUTTER);
  x += horizontal.stubs.left.outer;
  const left = { x, px: horizontal.stripPx.left };
  x += left.px + horizontal.stubs.left.inner;
  addGutter(LEFT_GUTTER);
  for (let slice = 0; slice < grid.slices; slice++) {
    addGutter(firstSliceGutter + slice);
    const columns: number[] = [];
    for (let column = 0; column < grid.columns; column++) {
      x += horizontal.gaps[slice]?.[column] ?? 0;
      columns.push(x);
      x += columnWidth(input, slice, column);
    }
    x += horizontal.gaps[slice]?.[grid.columns] ?? 0;
    columnX.push(columns);
  }
  addGutter(firstSliceGutter + grid.slices);
  addGutter(rightGutter(grid));
  x += horizontal.stubs.right.inner;
  const right = { x, px: horizontal.stripPx.right };
  x += right.px + MARGIN;

  const clusterX = (cell: Cell, side: Side) => {
    const boxX = columnX[cell.slice]?.[cell.column] ?? 0;
    const { from, to } = clusterEdges(input, cell, side);
    return { from: boxX + from, to: boxX + to };
  };
  const rowOf = new Map(vertical.rows.map((geometry) => [geometry.row.index, geometry]));
  return {
    widthPx: x,
    heightPx: vertical.bottomPx,
    railX,
    railPx: input.railPx,
    rows: vertical.rows,
    bands: vertical.bands,
    stripTop: vertical.stripTop,
    strips: { left, right },
    stubs: horizontal.stubs,
    columnX: (slice, column) => columnX[slice]?.[column] ?? 0,
    columnPx: (slice, column) => columnWidth(input, slice, column),
    gapPx: (slice, column) => horizontal.gaps[slice]?.[column] ?? 0,
    slotX: (slot) => clusterX(slot.cell, slot.side).from + slot.offsetPx,
    clusterX,
    zone: (slot, direction) => {
      const { cell, side } = slot;
      const own = clusterX(cell, side);
      const parts = zoneParts(input, slot, direction);
      const gap = horizontal.gaps[cell.slice]?.[direction < 0 ? cell.column : cell.column + 1] ?? 0;
      const px = parts.ownPx + (parts.withGap ? gap : 0) + parts.besidePx;
      return direction < 0
        ? { from: own.from - px, to: own.from }
        : { from: own.to, to: own.to + px };
    },
    trackY: vertical.trackY,
    trackX: (run) =>
      (gutterX.get(run.gutter) ?? 0) + size.GUTTER_PAD + (run.track + 0.5) * size.GUTTER_TRACK,
    pinY: vertical.pinY,
    satelliteTop: (cell, satellite) => {
      const geometry = rowOf.get(cell.row);
      // The lowest satellite stands a gap above the inner channel.
      let y = geometry?.channelTop[CHANNEL_INDEX.inner] ?? 0;
      for (let index = 0; index <= satellite; index++) {
        y -= input.sizes.satelliteHeightPx(cell, index) + size.SATELLITE_GAP;
      }
      return y;
    },
  };
}

const CHANNEL_INDEX = { feed: 0, inner: 1, bottom: 2 } as const;

function groupBy<Key, Item>(items: readonly Item[], keyOf: (item: Item) => Key): Map<Key, Item[]> {
  const groups = new Map<Key, Item[]>();
  for (const item of items) {
    const key = keyOf(item);
    const list = groups.get(key);
    if (list) list.push(item);
    else groups.set(key, [item]);
  }
  return groups;
}
