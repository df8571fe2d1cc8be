/** What the last steps of the topology layout know about positions, and what they start from. */
import type { TextMeasure } from '../text-measure.js';
import type { FieldSizes, StripBox } from './boxes.js';
import type { Cluster, ClusterKey } from './clusters.js';
import type { Cell, Grid, GridRow } from './grid.js';
import type { Placement, Side } from './placement.js';
import type { GutterRun, Slot, Span, StripPin, Wiring } from './wiring.js';

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
  /** Height that the texts and marks of each band need in the rail. */
  readonly railHeights: readonly number[];
  /** Marks of findings that stand at each box. */
  readonly badgesOfBox: ReadonlyMap<string, number>;
  readonly measure: TextMeasure;
}
