/** Tracks of the topology layout: which line runs on which track of its channel or gutter. */
import { clusterKey } from './clusters.js';
import type { GeometryInput } from './geometry.js';
import type { Grid } from './grid.js';
import type { Placement } from './placement.js';
import { assignTracks, type Leaving, type TrackItem } from './tracks.js';
import {
  BOARD_BOX,
  CHANNELS_PER_ROW,
  IP_GUTTER,
  channelOf,
  columnStep,
  gutterStep,
  rightGutter,
  type GutterRun,
  type Slot,
  type Span,
  type SpanEnd,
  type StripPin,
} from './wiring.js';

/** Height of an end in whole channels, before any height is known. */
export function coarseY(input: GeometryInput, end: GutterRun['ends'][number]): number {
  if (end.kind === 'span') return end.span.channel;
  const band = bandOfBox(input.placement, end.pin);
  const first = input.grid.rows.find((row) => row.band === band)?.index ?? 0;
  return channelOf(first, 'inner') + 0.5;
}

function bandOfBox(placement: Placement, pin: StripPin): number {
  return (
    (pin.boxId.startsWith(BOARD_BOX)
      ? placement.bandOfBoard.get(pin.boxId.slice(BOARD_BOX.length))
      : placement.bandOfDevice.get(pin.boxId)) ?? 0
  );
}

/** Gives every gutter run its track, from the heights of its ends. */
export function assignGutters(
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

/** Gives every span its track, from the order of pins and gutters. */
export function assignChannels(
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
