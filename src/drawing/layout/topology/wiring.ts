/**
 * How lines run, still without any coordinates: the pieces that the third step of the topology layout
 * builds and the fourth one measures.
 *
 * A line goes from a pin into the channel above or below its row, along a track of it, down or up in a
 * gutter where it changes rows, and along a second channel to the other pin. Boxes stand neither in
 * channels nor in gutters, so no line can pass through one.
 */
import type { SceneLanding, SceneSegment } from '../../scene/scene.js';
import type { Cell, Grid } from './grid.js';
import type { Side } from './placement.js';

export type SlotKind = 'pin' | 'terminator-fitted' | 'terminator-missing' | 'bond';

/** A place on the edge of a box in the field where a line or a symbol stands. */
export interface Slot {
  readonly kind: SlotKind;
  readonly cell: Cell;
  readonly side: Side;
  /** The device of the cell, or one of its satellites. */
  readonly ownerId: string;
  readonly member: string;
  readonly landing: SceneLanding | undefined;
  readonly runId: string;
  /** −1: the line goes to the left, 1: to the right, 0: neither. */
  lean: number;
  /** Distance to where the line goes, in columns. */
  reach: number;
  /** Order inside its cluster, from the left. */
  index: number;
  /** Left-to-right position inside the cluster in px. */
  offsetPx: number;
}

/** A place on the inner or outer edge of a box in a side strip. */
export interface StripPin {
  readonly kind: SlotKind;
  readonly boxId: string;
  readonly strip: 'left' | 'right';
  readonly edge: 'inner' | 'outer';
  readonly member: string;
  readonly runId: string;
  readonly landing: SceneLanding | undefined;
  /** A label on the pin's own stub. */
  label: LabelContent | undefined;
  labelWireId: string;
}

export type SpanEnd =
  | { readonly kind: 'slot'; readonly slot: Slot }
  | { readonly kind: 'gutter'; readonly run: GutterRun }
  | { readonly kind: 'zone'; readonly slot: Slot; readonly direction: -1 | 1 };

/** A horizontal piece on a track of a channel. */
export interface Span {
  readonly channel: number;
  readonly ends: SpanEnd[];
  label: SpanLabel | undefined;
  track: number;
}

/** A label on a span, in the free zone beside the cluster of a slot. */
export interface SpanLabel {
  readonly wireId: string;
  readonly slot: Slot;
  readonly direction: -1 | 1;
  readonly content: LabelContent;
}

export interface LabelContent {
  readonly pill: { readonly runId: string; readonly text: string } | undefined;
  readonly text: string;
  /** Numbers of findings about what the label names. */
  readonly findings: readonly number[];
}

export type RunEnd =
  { readonly kind: 'span'; readonly span: Span } | { readonly kind: 'pin'; readonly pin: StripPin };

/** A vertical piece on a track of a gutter. */
export interface GutterRun {
  readonly gutter: number;
  readonly ends: RunEnd[];
  track: number;
}

export type Step =
  | { readonly kind: 'slot'; readonly slot: Slot; readonly ownerId: string }
  | { readonly kind: 'pin'; readonly pin: StripPin }
  | { readonly kind: 'span'; readonly span: Span }
  | { readonly kind: 'run'; readonly run: GutterRun }
  | { readonly kind: 'zone'; readonly slot: Slot; readonly direction: -1 | 1 };

export type WireLayer = 'bus' | 'local' | 'feed' | 'branch' | 'ip';

export interface Wire {
  /** Unique in the picture: the segment, branch or network. */
  readonly id: string;
  readonly layer: WireLayer;
  /** The run, branch or network that it is a part of. */
  readonly runId: string;
  readonly segment: SceneSegment | undefined;
  readonly from: string;
  readonly to: string;
  readonly flagged: boolean;
  /** Pieces of the line, each a list of steps; a wire with several pieces branches at dots. */
  readonly pieces: readonly (readonly Step[])[];
}

/** A label in the gap under a satellite, right of its lanes. */
export interface GapLabel {
  readonly wireId: string;
  readonly cell: Cell;
  /** The satellite above the gap, counted from the device upwards. */
  readonly satellite: number;
  readonly content: LabelContent;
}

export interface Wiring {
  readonly wires: readonly Wire[];
  readonly slots: readonly Slot[];
  readonly pins: readonly StripPin[];
  readonly spans: readonly Span[];
  readonly runs: readonly GutterRun[];
  readonly gapLabels: readonly GapLabel[];
}

/** Gutters by number: the IP trunks, the left strip's, those beside the slices, the right strip's. */
export const IP_GUTTER = -1;
export const LEFT_GUTTER = 0;
export const firstSliceGutter = 1;
export const rightGutter = (grid: Grid): number => grid.slices + 2;

export const CHANNELS_PER_ROW = 3;
export const CHANNEL_OF_SIDE: Readonly<Record<Side, number>> = { feed: 0, inner: 1, bottom: 2 };
export const channelOf = (row: number, side: Side): number =>
  row * CHANNELS_PER_ROW + CHANNEL_OF_SIDE[side];

/** Position of a column among columns and gutters, in whole steps. */
export function columnStep(grid: Grid, slice: number, column: number): number {
  return 2 + slice * (grid.columns + 1) + column;
}

export function gutterStep(grid: Grid, gutter: number): number {
  if (gutter <= LEFT_GUTTER) return gutter;
  if (gutter === rightGutter(grid)) return gutterStep(grid, gutter - 1) + 1;
  return 1 + (gutter - firstSliceGutter) * (grid.columns + 1);
}

export interface WiringOptions {
  /** True where long lines become pairs of flags. */
  readonly withFlags: boolean;
  /** Numbers of the findings about a run or a segment (key: run id, or run id and segment id). */
  readonly findingsOf: (anchor: { runId: string; segmentId?: string }) => readonly number[];
}

export function segmentKey(runId: string, segmentId: string): string {
  return `${runId}\u0001${segmentId}`;
}

/** Boards and devices share no names in a site, but a scene may be made by hand. */
export function boardBoxId(boardId: string): string {
  return `${BOARD_BOX}${boardId}`;
}

/** What the box of a board is called before the board's own id. */
export const BOARD_BOX = 'board\u0001';
