/** Heights of the topology layout: channels, rows, bands and the boxes of the side strips. */
import type { StripBox } from './boxes.js';
import type { BandGeometry, GeometryInput, RowGeometry } from './geometry.js';
import type { GridRow } from './grid.js';
import type { Side } from './placement.js';
import * as size from './sizes.js';
import {
  LEFT_GUTTER,
  boardBoxId,
  channelOf,
  rightGutter,
  type Span,
  type StripPin,
} from './wiring.js';

export interface Vertical {
  readonly rows: readonly RowGeometry[];
  readonly bands: readonly BandGeometry[];
  readonly stripTop: ReadonlyMap<string, number>;
  readonly bottomPx: number;
  trackY(span: Span): number;
  pinY(pin: StripPin): number;
}

export function verticalSizes(
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
        const id = item.kind === 'board' ? boardBoxId(item.board.id) : item.device.id;
        const box = input.strips.get(id);
        if (!box) continue;
        stripY = clearOf(busy[strip], box, stripY);
        stripTop.set(id, stripY);
        stripY += box.heightPx + size.STRIP_GAP;
      }
      y = Math.max(y, stripY - size.STRIP_GAP + 4);
    }
    y = Math.max(y + size.BAND_PAD, top + (input.railHeights[band.index] ?? 0));
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
  const hasSymbols = (...sides: readonly Side[]) =>
    input.wiring.slots.some(
      (slot) =>
        slot.kind !== 'pin' &&
        sides.includes(slot.side) &&
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
  if (hasSymbols('inner', 'feed')) y += size.SYMBOL_ROOM;
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
