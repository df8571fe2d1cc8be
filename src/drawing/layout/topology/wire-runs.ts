/** Lines of buses and feeds: each segment of a run from landing to landing. */
import type { SceneLanding, SceneRun, SceneSegment } from '../../scene/scene.js';
import { TEXTS, lengthText } from '../../texts.js';
import type { CellEnd, End, Ends, StripEnd } from './ends.js';
import type { Pieces } from './pieces.js';
import type { Placement, Side } from './placement.js';
import {
  LEFT_GUTTER,
  channelOf,
  rightGutter,
  segmentKey,
  type GapLabel,
  type LabelContent,
  type SlotKind,
  type Step,
  type Wire,
  type WireLayer,
  type WiringOptions,
} from './wiring.js';

/** A line to be drawn: its name, and what its label says. */
interface Request {
  readonly id: string;
  readonly runId: string;
  readonly content: LabelContent;
}

export class RunWires {
  readonly wires: Wire[] = [];
  readonly gapLabels: GapLabel[] = [];

  constructor(
    private readonly placement: Placement,
    private readonly ends: Ends,
    private readonly pieces: Pieces,
    private readonly options: WiringOptions,
  ) {}

  add(run: SceneRun): void {
    const side = this.placement.sideOfRun.get(run.id) ?? 'bottom';
    const layer: WireLayer = run.kind === 'feed' ? 'feed' : side === 'inner' ? 'local' : 'bus';
    const landings = new Map(run.landings.map((landing) => [landing.id, landing]));
    let isFirst = true;
    for (const segment of run.segments) {
      const from = landings.get(segment.from);
      const to = landings.get(segment.to);
      const start = from && this.ends.endOf(from.owner, from.member, side, from);
      const end = to && this.ends.endOf(to.owner, to.member, side, to);
      if (!start || !end) continue;
      const ofRun = isFirst ? this.options.findingsOf({ runId: run.id }) : [];
      const findings = [
        ...ofRun,
        ...this.options.findingsOf({ runId: run.id, segmentId: segment.id }),
      ];
      const withPill =
        layer === 'local'
          ? !this.ends.isShort(start, end)
          : isFirst || !this.ends.isShort(start, end);
      this.addSegment({
        id: segmentKey(run.id, segment.id),
        layer,
        runId: run.id,
        segment,
        start,
        end,
        content: {
          pill: withPill ? { runId: run.id, text: run.mark.name } : undefined,
          text:
            segment.kind === 'ring'
              ? `${TEXTS.ring} ${lengthText(segment.length)}`
              : lengthText(segment.length),
          findings,
        },
      });
      isFirst = false;
    }
    for (const landing of run.landings) this.addSymbols(run, side, landing);
  }

  private addSegment(
    request: Request & {
      readonly layer: WireLayer;
      readonly segment: SceneSegment;
      readonly start: End;
      readonly end: End;
    },
  ): void {
    const { start, end, content, id } = request;
    const flagged = this.options.withFlags && this.ends.isLong(start, end);
    const pieces = flagged
      ? [
          this.flag(start, end, request, {
            ...content,
            text: TEXTS.towards(end.tag),
            findings: [],
          }),
          this.flag(end, start, request, {
            ...content,
            text: `${TEXTS.towards(start.tag)} · ${content.text}`,
          }),
        ]
      : [this.route(start, end, request)];
    this.wires.push({
      id,
      layer: request.layer,
      runId: request.runId,
      segment: request.segment,
      from: start.tag,
      to: end.tag,
      flagged,
      pieces,
    });
  }

  private route(start: End, end: End, request: Request): Step[] {
    const { id, runId, content } = request;
    if (start.kind === 'cell' && end.kind === 'cell') {
      if (start.cell === end.cell && start.side === 'inner' && start.satellite !== end.satellite) {
        return this.lane(start, end, request);
      }
      const from = this.pieces.newSlot(start, runId);
      const to = this.pieces.newSlot(end, runId);
      if (start.cell.row === end.cell.row && start.side === end.side) {
        this.pieces.lean(from, this.ends.stepOf(end) - this.ends.stepOf(start));
        this.pieces.lean(to, this.ends.stepOf(start) - this.ends.stepOf(end));
        const span = this.pieces.newSpan(channelOf(start.cell.row, start.side));
        span.ends.push({ kind: 'slot', slot: from }, { kind: 'slot', slot: to });
        // A line from a device to itself has no zone of its own for a label, so it takes one.
        if (to.lean === 0) span.ends.push({ kind: 'zone', slot: to, direction: 1 });
        // On the inner side there is room at the right of the left end, on the others where the line arrives.
        const at = start.side === 'inner' && from.lean > 0 ? from : to;
        span.label = { wireId: id, slot: at, direction: at.lean < 0 ? -1 : 1, content };
        return [
          { kind: 'slot', slot: from, ownerId: start.ownerId },
          { kind: 'span', span },
          { kind: 'slot', slot: to, ownerId: end.ownerId },
        ];
      }
      const gutter = this.pieces.newRun(this.ends.gutterBetween(start, end));
      const first = this.pieces.spanFrom(start, from, gutter);
      const second = this.pieces.spanFrom(end, to, gutter);
      second.label = { wireId: id, slot: to, direction: to.lean < 0 ? -1 : 1, content };
      return [
        { kind: 'slot', slot: from, ownerId: start.ownerId },
        { kind: 'span', span: first },
        { kind: 'run', run: gutter },
        { kind: 'span', span: second },
        { kind: 'slot', slot: to, ownerId: end.ownerId },
      ];
    }
    if (start.kind === 'strip' && end.kind === 'strip')
      return this.betweenStrips(start, end, request);
    const strip = start.kind === 'strip' ? start : (end as StripEnd);
    const cell = start.kind === 'cell' ? start : (end as CellEnd);
    const pin = this.pieces.newPin(strip, runId);
    const slot = this.pieces.newSlot(cell, runId);
    const gutter = this.pieces.newRun(
      strip.strip === 'left' ? LEFT_GUTTER : rightGutter(this.ends.grid),
    );
    gutter.ends.push({ kind: 'pin', pin });
    const span = this.pieces.spanFrom(cell, slot, gutter);
    span.label = { wireId: id, slot, direction: slot.lean < 0 ? -1 : 1, content };
    const steps: Step[] = [
      { kind: 'pin', pin },
      { kind: 'run', run: gutter },
      { kind: 'span', span },
      { kind: 'slot', slot, ownerId: cell.ownerId },
    ];
    return start.kind === 'strip' ? steps : steps.reverse();
  }

  /** A straight line beside the satellites of one cell. */
  private lane(start: CellEnd, end: CellEnd, request: Request): Step[] {
    const upper = start.satellite > end.satellite ? start : end;
    const lower = upper === start ? end : start;
    const slot = this.pieces.newSlot(upper, request.runId);
    slot.reach = lower.satellite;
    this.gapLabels.push({
      wireId: request.id,
      cell: upper.cell,
      satellite: upper.satellite,
      content: request.content,
    });
    return [
      { kind: 'slot', slot, ownerId: start.ownerId },
      { kind: 'slot', slot, ownerId: end.ownerId },
    ];
  }

  private betweenStrips(start: StripEnd, end: StripEnd, request: Request): Step[] {
    const from = this.pieces.newPin(start, request.runId);
    const to = this.pieces.newPin(end, request.runId);
    to.label = request.content;
    to.labelWireId = request.id;
    const gutterOf = (end: StripEnd) =>
      end.strip === 'left' ? LEFT_GUTTER : rightGutter(this.ends.grid);
    const first = this.pieces.newRun(gutterOf(start));
    first.ends.push({ kind: 'pin', pin: from });
    if (start.strip === end.strip) {
      first.ends.push({ kind: 'pin', pin: to });
      return [
        { kind: 'pin', pin: from },
        { kind: 'run', run: first },
        { kind: 'pin', pin: to },
      ];
    }
    const second = this.pieces.newRun(gutterOf(end));
    second.ends.push({ kind: 'pin', pin: to });
    const span = this.pieces.newSpan(channelOf(this.ends.firstRowOf(end.band), 'feed'));
    this.pieces.joinSpan(span, first);
    this.pieces.joinSpan(span, second);
    return [
      { kind: 'pin', pin: from },
      { kind: 'run', run: first },
      { kind: 'span', span },
      { kind: 'run', run: second },
      { kind: 'pin', pin: to },
    ];
  }

  /** One end of a long line: a short piece that ends in a label which names the other end. */
  private flag(
    end: End,
    other: End,
    request: Pick<Request, 'id' | 'runId'>,
    content: LabelContent,
  ): Step[] {
    if (end.kind === 'strip') {
      const pin = this.pieces.newPin(end, request.runId);
      pin.label = content;
      pin.labelWireId = request.id;
      return [{ kind: 'pin', pin }];
    }
    const slot = this.pieces.newSlot(end, request.runId);
    this.pieces.lean(slot, this.ends.towards(end, other));
    const direction = slot.lean < 0 ? -1 : 1;
    const span = this.pieces.newSpan(channelOf(end.cell.row, end.side));
    span.ends.push({ kind: 'slot', slot }, { kind: 'zone', slot, direction });
    span.label = { wireId: request.id, slot, direction, content };
    return [
      { kind: 'slot', slot, ownerId: end.ownerId },
      { kind: 'span', span },
      { kind: 'zone', slot, direction },
    ];
  }

  /** Terminators and the screen's earth at a landing. */
  private addSymbols(run: SceneRun, side: Side, landing: SceneLanding): void {
    const end = this.ends.endOf(landing.owner, landing.member, side, landing);
    if (!end) return;
    const kinds: SlotKind[] = [];
    if (landing.terminator !== 'none') {
      kinds.push(landing.terminator === 'fitted' ? 'terminator-fitted' : 'terminator-missing');
    }
    if (landing.bonded) kinds.push('bond');
    for (const kind of kinds) {
      if (end.kind === 'strip') this.pieces.newPin(end, run.id, kind);
      else this.pieces.newSlot(end, run.id, kind);
    }
  }
}
