/** Widths of the topology layout: gaps between columns and stubs of the side strips. */
import { BADGE } from '../sheet.js';
import { labelWidth } from './boxes.js';
import { clusterKey } from './clusters.js';
import type { Geometry, GeometryInput } from './geometry.js';
import type { Cell } from './grid.js';
import type { Placement, Side } from './placement.js';
import * as size from './sizes.js';
import type { Slot } from './wiring.js';

export interface Horizontal {
  readonly gaps: readonly (readonly number[])[];
  readonly stubs: Geometry['stubs'];
  readonly stripPx: Readonly<Record<'left' | 'right', number>>;
}

/** Gaps between columns: the room beside two boxes, or what the labels between their clusters need. */
export function horizontalSizes(input: GeometryInput): Horizontal {
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
    const badges = input.badgesOfBox.get(cell.device.id) ?? 0;
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
export function zoneParts(
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

export function columnWidth(input: GeometryInput, slice: number, column: number): number {
  return input.sizes.columnPx[slice]?.[column] ?? 0;
}

/** Edges of a cluster, from the left edge of its box. A side without pins counts as the point where they would stand. */
export function clusterEdges(
  input: GeometryInput,
  cell: Cell,
  side: Side,
): { from: number; to: number } {
  const boxPx = columnWidth(input, cell.slice, cell.column);
  const widthPx = input.clusters.get(clusterKey(cell, side))?.widthPx ?? 0;
  if (side === 'bottom') {
    const from = Math.round((boxPx - widthPx) / 2);
    return { from, to: from + widthPx };
  }
  if (side === 'inner') return { from: 8, to: 8 + widthPx };
  return { from: boxPx - 8 - widthPx, to: boxPx - 8 };
}
