/**
 * The fourth step of the topology layout: sizes of channels, gutters and columns follow from what runs
 * in them, and positions follow from the sizes. So every line and label has room of its own.
 */
import { MARGIN } from '../sheet.js';
import { assignChannels, assignGutters, coarseY } from './assign-tracks.js';
import type { Geometry, GeometryInput } from './geometry.js';
import type { Cell } from './grid.js';
import {
  clusterEdges,
  columnWidth,
  horizontalSizes,
  zoneParts,
  type Horizontal,
} from './horizontal.js';
import type { Side } from './placement.js';
import * as size from './sizes.js';
import { verticalSizes, type Vertical } from './vertical.js';
import {
  CHANNEL_OF_SIDE,
  IP_GUTTER,
  LEFT_GUTTER,
  firstSliceGutter,
  rightGutter,
  type GutterRun,
} from './wiring.js';

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
      let y = geometry?.channelTop[CHANNEL_OF_SIDE.inner] ?? 0;
      for (let index = 0; index <= satellite; index++) {
        y -= input.sizes.satelliteHeightPx(cell, index) + size.SATELLITE_GAP;
      }
      return y;
    },
  };
}

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
