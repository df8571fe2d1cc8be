/** Collects slots, pins, spans and gutter runs while lines are built from them. */
import type { CellEnd, StripEnd } from './ends.js';
import type { Grid } from './grid.js';
import {
  channelOf,
  columnStep,
  gutterStep,
  type GutterRun,
  type Slot,
  type SlotKind,
  type Span,
  type Step,
  type StripPin,
} from './wiring.js';

export class Pieces {
  readonly slots: Slot[] = [];
  readonly pins: StripPin[] = [];
  readonly spans: Span[] = [];
  readonly runs: GutterRun[] = [];

  constructor(private readonly grid: Grid) {}

  newSlot(end: CellEnd, runId: string, kind: SlotKind = 'pin'): Slot {
    const slot: Slot = {
      kind,
      cell: end.cell,
      side: end.side,
      ownerId: end.ownerId,
      member: end.member,
      landing: end.landing,
      runId,
      lean: 0,
      reach: 0,
      index: 0,
      offsetPx: 0,
    };
    this.slots.push(slot);
    return slot;
  }

  newPin(end: StripEnd, runId: string, kind: SlotKind = 'pin'): StripPin {
    const pin: StripPin = {
      kind,
      boxId: end.boxId,
      strip: end.strip,
      edge: 'inner',
      member: end.member,
      runId,
      landing: end.landing,
      label: undefined,
      labelWireId: '',
    };
    this.pins.push(pin);
    return pin;
  }

  newSpan(channel: number): Span {
    const span: Span = { channel, ends: [], label: undefined, track: 0 };
    this.spans.push(span);
    return span;
  }

  newRun(gutter: number): GutterRun {
    const run: GutterRun = { gutter, ends: [], track: 0 };
    this.runs.push(run);
    return run;
  }

  /** From a slot along its channel into a gutter. */
  spanFrom(end: CellEnd, slot: Slot, run: GutterRun): Span {
    const span = this.newSpan(channelOf(end.cell.row, end.side));
    this.lean(
      slot,
      gutterStep(this.grid, run.gutter) - columnStep(this.grid, end.cell.slice, end.cell.column),
    );
    span.ends.push({ kind: 'slot', slot });
    this.joinSpan(span, run);
    return span;
  }

  joinSpan(span: Span, run: GutterRun): void {
    span.ends.push({ kind: 'gutter', run });
    run.ends.push({ kind: 'span', span });
  }

  /** From a pin of a strip into the gutter beside it. */
  tapOfRun(run: GutterRun, end: StripEnd, runId: string): Step[] {
    const pin = this.newPin(end, runId);
    run.ends.push({ kind: 'pin', pin });
    return [
      { kind: 'pin', pin },
      { kind: 'run', run },
    ];
  }

  /** Where the line of a slot goes: how many columns to the left (negative) or right. */
  lean(slot: Slot, difference: number): void {
    slot.lean = Math.sign(difference);
    slot.reach = Math.abs(difference);
  }
}
