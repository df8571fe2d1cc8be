/**
 * The third step of the topology layout: how each line runs, still without any coordinates.
 *
 * A line goes from a pin into the channel above or below its row, along a track of it, down or up in a
 * gutter where it changes rows, and along a second channel to the other pin. Boxes stand neither in
 * channels nor in gutters, so no line can pass through one.
 */
import type {
  SceneBranch,
  SceneLanding,
  SceneNetwork,
  SceneRun,
  SceneSegment,
  TopologyScene,
} from '../../scene/scene.js';
import { TEXTS, lengthText } from '../../texts.js';
import type { Cell, Grid } from './grid.js';
import type { Placement, Side } from './placement.js';

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
  /** Numbers of findings that have their mark on a label. */
  readonly shownFindings: ReadonlySet<number>;
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

export function buildWiring(
  scene: TopologyScene,
  placement: Placement,
  grid: Grid,
  options: WiringOptions,
): Wiring {
  const builder = new WiringBuilder(placement, grid, options);
  for (const run of scene.runs) builder.addRun(run);
  for (const branch of scene.branches) builder.addBranch(branch);
  for (const network of scene.networks) builder.addNetwork(network);
  return builder.result();
}

type End = CellEnd | StripEnd;

interface CellEnd {
  readonly kind: 'cell';
  readonly cell: Cell;
  readonly side: Side;
  readonly ownerId: string;
  readonly tag: string;
  /** Position of the satellite above the device, from 0; −1 for the device itself. */
  readonly satellite: number;
  readonly member: string;
  readonly landing: SceneLanding | undefined;
}

interface StripEnd {
  readonly kind: 'strip';
  readonly strip: 'left' | 'right';
  readonly boxId: string;
  readonly tag: string;
  readonly band: number;
  readonly member: string;
  readonly landing: SceneLanding | undefined;
}

interface Hosting {
  readonly cell: Cell;
  readonly satellite: number;
}

/** Lines over more floors or slices than these become flags where flags are on. */
const MOST_BANDS_OF_LINE = 2;
const MOST_SLICES_OF_LINE = 1;

class WiringBuilder {
  private readonly wires: Wire[] = [];
  private readonly slots: Slot[] = [];
  private readonly pins: StripPin[] = [];
  private readonly spans: Span[] = [];
  private readonly runs: GutterRun[] = [];
  private readonly gapLabels: GapLabel[] = [];
  private readonly shown = new Set<number>();
  private readonly hosting = new Map<string, Hosting>();
  private readonly strips = new Map<
    string,
    { strip: 'left' | 'right'; band: number; tag: string }
  >();

  constructor(
    private readonly placement: Placement,
    private readonly grid: Grid,
    private readonly options: WiringOptions,
  ) {
    for (const cell of grid.cellOfDevice.values()) {
      this.hosting.set(cell.device.id, { cell, satellite: -1 });
      cell.satellites.forEach((device, satellite) => {
        this.hosting.set(device.id, { cell, satellite });
      });
    }
    for (const strip of ['left', 'right'] as const) {
      placement[strip].forEach((items, band) => {
        for (const item of items) {
          const id = item.kind === 'board' ? boardBoxId(item.board.id) : item.device.id;
          const tag = item.kind === 'board' ? item.board.tag : item.device.tag;
          this.strips.set(id, { strip, band, tag });
        }
      });
    }
  }

  result(): Wiring {
    return {
      wires: this.wires,
      slots: this.slots,
      pins: this.pins,
      spans: this.spans,
      runs: this.runs,
      gapLabels: this.gapLabels,
      shownFindings: this.shown,
    };
  }

  addRun(run: SceneRun): void {
    const side = this.placement.sideOfRun.get(run.id) ?? 'bottom';
    const layer: WireLayer = run.kind === 'feed' ? 'feed' : side === 'inner' ? 'local' : 'bus';
    const landings = new Map(run.landings.map((landing) => [landing.id, landing]));
    let isFirst = true;
    for (const segment of run.segments) {
      const from = landings.get(segment.from);
      const to = landings.get(segment.to);
      const start = from && this.endOf(from.owner, from.member, side, from);
      const end = to && this.endOf(to.owner, to.member, side, to);
      if (!start || !end) continue;
      const ofRun = isFirst ? this.options.findingsOf({ runId: run.id }) : [];
      const findings = [
        ...ofRun,
        ...this.options.findingsOf({ runId: run.id, segmentId: segment.id }),
      ];
      const withPill =
        layer === 'local' ? !this.isShort(start, end) : isFirst || !this.isShort(start, end);
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

  /** A way or outlet and all inlets on it: one line with taps, in each row a trunk. */
  addBranch(branch: SceneBranch): void {
    const source = this.endOf(branch.owner, branch.member, 'feed', undefined);
    const ends = branch.taps
      .map((tap) => this.endOf(tap.owner, tap.member, 'feed', undefined))
      .filter((end) => end !== undefined);
    if (!source || ends.length === 0) return;
    const all = [source, ...ends];
    const taps = new Map<number, CellEnd[]>();
    for (const end of all) {
      if (end.kind !== 'cell') continue;
      const key = this.options.withFlags
        ? end.cell.row * 1000 + end.cell.slice
        : end.cell.row * 1000;
      const list = taps.get(key);
      if (list) list.push(end);
      else taps.set(key, [end]);
    }
    const strips = all.filter((end): end is StripEnd => end.kind === 'strip');
    const rightStrips = strips.filter((end) => end.strip === 'right');
    const leftStrips = strips.filter((end) => end.strip === 'left');
    const pieces: Step[][] = [];
    const name: LabelContent = {
      pill: undefined,
      text: branch.mark.name,
      findings: [],
    };

    if (this.options.withFlags) {
      for (const group of taps.values()) this.addComb(branch, group, name, pieces);
      for (const end of leftStrips) {
        const pin = this.newPin(end, branch.id);
        pin.label = name;
        pin.labelWireId = branch.id;
        pieces.push([{ kind: 'pin', pin }]);
      }
      if (rightStrips.length > 1) {
        const trunk = this.newRun(rightGutter(this.grid));
        for (const end of rightStrips) pieces.push(this.tapOfRun(trunk, end, branch.id));
        pieces.push([{ kind: 'run', run: trunk }]);
      } else {
        // The source shows its pin although its lines are flags.
        for (const end of rightStrips)
          pieces.push([{ kind: 'pin', pin: this.newPin(end, branch.id) }]);
      }
    } else {
      const trunk = this.newRun(rightGutter(this.grid));
      for (const end of rightStrips) pieces.push(this.tapOfRun(trunk, end, branch.id));
      let crossing: Span | undefined;
      for (const group of taps.values()) {
        const first = group[0];
        if (!first) continue;
        const span = this.newSpan(channelOf(first.cell.row, 'feed'));
        crossing ??= span;
        this.joinSpan(span, trunk);
        for (const end of group) {
          const slot = this.newSlot(end, branch.id);
          slot.lean = 1;
          slot.reach = gutterStep(this.grid, trunk.gutter) - this.stepOf(end);
          span.ends.push({ kind: 'slot', slot });
          pieces.push([
            { kind: 'slot', slot, ownerId: end.ownerId },
            { kind: 'span', span },
          ]);
        }
        const last = rightmost(span);
        if (last) span.label = { wireId: branch.id, slot: last, direction: 1, content: name };
        pieces.push([{ kind: 'span', span }]);
      }
      if (leftStrips.length > 0) {
        if (!crossing) {
          crossing = this.newSpan(channelOf(this.firstRowOf(leftStrips[0]?.band ?? 0), 'feed'));
          this.joinSpan(crossing, trunk);
          pieces.push([{ kind: 'span', span: crossing }]);
        }
        const leftTrunk = this.newRun(LEFT_GUTTER);
        this.joinSpan(crossing, leftTrunk);
        for (const end of leftStrips) pieces.push(this.tapOfRun(leftTrunk, end, branch.id));
        pieces.push([{ kind: 'run', run: leftTrunk }]);
      }
      pieces.push([{ kind: 'run', run: trunk }]);
    }
    this.wires.push({
      id: branch.id,
      layer: 'branch',
      runId: branch.id,
      segment: undefined,
      from: source.tag,
      to: '',
      flagged: this.options.withFlags,
      pieces,
    });
  }

  addNetwork(network: SceneNetwork): void {
    const pieces: Step[][] = [];
    const trunk = this.newRun(IP_GUTTER);
    const labelled = new Set<number>();
    const findings = this.options.findingsOf({ runId: network.id });
    for (const host of network.hosts) {
      const place = this.strips.get(host.deviceId);
      if (place?.strip !== 'left') continue;
      const pin: StripPin = {
        kind: 'pin',
        boxId: host.deviceId,
        strip: 'left',
        edge: 'outer',
        member: host.lan,
        runId: network.id,
        landing: undefined,
        label: undefined,
        labelWireId: network.id,
      };
      this.pins.push(pin);
      if (!labelled.has(place.band)) {
        const isFirst = labelled.size === 0;
        labelled.add(place.band);
        pin.label = {
          pill: { runId: network.id, text: network.mark.name },
          text: '',
          findings: isFirst ? findings : [],
        };
        if (isFirst) for (const number of findings) this.shown.add(number);
      }
      trunk.ends.push({ kind: 'pin', pin });
      pieces.push([
        { kind: 'pin', pin },
        { kind: 'run', run: trunk },
      ]);
    }
    if (pieces.length === 0) return;
    pieces.push([{ kind: 'run', run: trunk }]);
    this.wires.push({
      id: network.id,
      layer: 'ip',
      runId: network.id,
      segment: undefined,
      from: '',
      to: '',
      flagged: false,
      pieces,
    });
  }

  private addSegment(request: {
    id: string;
    layer: WireLayer;
    runId: string;
    segment: SceneSegment;
    start: End;
    end: End;
    content: LabelContent;
  }): void {
    const { start, end, content, id } = request;
    const flagged = this.options.withFlags && this.isLong(start, end);
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
    for (const number of content.findings) this.shown.add(number);
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

  private route(
    start: End,
    end: End,
    request: { id: string; runId: string; content: LabelContent },
  ): Step[] {
    const { id, runId, content } = request;
    if (start.kind === 'cell' && end.kind === 'cell') {
      if (start.cell === end.cell && start.side === 'inner' && start.satellite !== end.satellite) {
        return this.lane(start, end, request);
      }
      const from = this.newSlot(start, runId);
      const to = this.newSlot(end, runId);
      if (start.cell.row === end.cell.row && start.side === end.side) {
        this.lean(from, this.stepOf(end) - this.stepOf(start));
        this.lean(to, this.stepOf(start) - this.stepOf(end));
        const span = this.newSpan(channelOf(start.cell.row, start.side));
        span.ends.push({ kind: 'slot', slot: from }, { kind: 'slot', slot: to });
        // On the inner side there is room at the right of the left end, on the others where the line arrives.
        const at = start.side === 'inner' && from.lean > 0 ? from : to;
        span.label = { wireId: id, slot: at, direction: at.lean < 0 ? -1 : 1, content };
        return [
          { kind: 'slot', slot: from, ownerId: start.ownerId },
          { kind: 'span', span },
          { kind: 'slot', slot: to, ownerId: end.ownerId },
        ];
      }
      const gutter = this.newRun(this.gutterBetween(start, end));
      const first = this.spanFrom(start, from, gutter);
      const second = this.spanFrom(end, to, gutter);
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
    const pin = this.newPin(strip, runId);
    const slot = this.newSlot(cell, runId);
    const gutter = this.newRun(strip.strip === 'left' ? LEFT_GUTTER : rightGutter(this.grid));
    gutter.ends.push({ kind: 'pin', pin });
    const span = this.spanFrom(cell, slot, gutter);
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
  private lane(
    start: CellEnd,
    end: CellEnd,
    request: { id: string; runId: string; content: LabelContent },
  ): Step[] {
    const upper = start.satellite > end.satellite ? start : end;
    const lower = upper === start ? end : start;
    const slot = this.newSlot(upper, request.runId);
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

  private betweenStrips(
    start: StripEnd,
    end: StripEnd,
    request: { id: string; runId: string; content: LabelContent },
  ): Step[] {
    const from = this.newPin(start, request.runId);
    const to = this.newPin(end, request.runId);
    to.label = request.content;
    to.labelWireId = request.id;
    const gutterOf = (end: StripEnd) =>
      end.strip === 'left' ? LEFT_GUTTER : rightGutter(this.grid);
    const first = this.newRun(gutterOf(start));
    first.ends.push({ kind: 'pin', pin: from });
    if (start.strip === end.strip) {
      first.ends.push({ kind: 'pin', pin: to });
      return [
        { kind: 'pin', pin: from },
        { kind: 'run', run: first },
        { kind: 'pin', pin: to },
      ];
    }
    const second = this.newRun(gutterOf(end));
    second.ends.push({ kind: 'pin', pin: to });
    const span = this.newSpan(channelOf(this.firstRowOf(end.band), 'feed'));
    this.joinSpan(span, first);
    this.joinSpan(span, second);
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
    request: { id: string; runId: string },
    content: LabelContent,
  ): Step[] {
    if (end.kind === 'strip') {
      const pin = this.newPin(end, request.runId);
      pin.label = content;
      pin.labelWireId = request.id;
      return [{ kind: 'pin', pin }];
    }
    const slot = this.newSlot(end, request.runId);
    this.lean(slot, this.towards(end, other));
    const direction = slot.lean < 0 ? -1 : 1;
    const span = this.newSpan(channelOf(end.cell.row, end.side));
    span.ends.push({ kind: 'slot', slot }, { kind: 'zone', slot, direction });
    span.label = { wireId: request.id, slot, direction, content };
    return [
      { kind: 'slot', slot, ownerId: end.ownerId },
      { kind: 'span', span },
      { kind: 'zone', slot, direction },
    ];
  }

  /** A trunk over the taps of one row and slice that ends in the name of its source. */
  private addComb(
    branch: SceneBranch,
    group: readonly CellEnd[],
    content: LabelContent,
    pieces: Step[][],
  ): void {
    const first = group[0];
    if (!first) return;
    const span = this.newSpan(channelOf(first.cell.row, 'feed'));
    for (const end of group) {
      const slot = this.newSlot(end, branch.id);
      slot.lean = 1;
      span.ends.push({ kind: 'slot', slot });
      pieces.push([
        { kind: 'slot', slot, ownerId: end.ownerId },
        { kind: 'span', span },
      ]);
    }
    const last = leftmost(span);
    if (!last) return;
    span.ends.push({ kind: 'zone', slot: last, direction: -1 });
    span.label = { wireId: branch.id, slot: last, direction: -1, content };
    pieces.push([{ kind: 'span', span }]);
  }

  private addSymbols(run: SceneRun, side: Side, landing: SceneLanding): void {
    const end = this.endOf(landing.owner, landing.member, side, landing);
    if (!end) return;
    const kinds: SlotKind[] = [];
    if (landing.terminator !== 'none') {
      kinds.push(landing.terminator === 'fitted' ? 'terminator-fitted' : 'terminator-missing');
    }
    if (landing.bonded) kinds.push('bond');
    for (const kind of kinds) {
      if (end.kind === 'strip') this.newPin(end, run.id, kind);
      else this.newSlot(end, run.id, kind);
    }
  }

  private endOf(
    owner: { kind: 'device' | 'board'; id: string },
    member: string,
    side: Side,
    landing: SceneLanding | undefined,
  ): End | undefined {
    const id = owner.kind === 'board' ? boardBoxId(owner.id) : owner.id;
    const strip = this.strips.get(id);
    if (strip) return { kind: 'strip', boxId: id, member, landing, ...strip };
    const hosting = this.hosting.get(id);
    if (!hosting) return undefined;
    const { cell, satellite } = hosting;
    const tag = satellite < 0 ? cell.device.tag : (cell.satellites[satellite]?.tag ?? '');
    return { kind: 'cell', cell, satellite, side, ownerId: id, tag, member, landing };
  }

  /** True for a line that stays in its row and so needs no name of its own. */
  private isShort(start: End, end: End): boolean {
    return (
      start.kind === 'cell' &&
      end.kind === 'cell' &&
      start.cell.row === end.cell.row &&
      start.side === end.side &&
      start.cell.slice === end.cell.slice
    );
  }

  private isLong(start: End, end: End): boolean {
    if (start.kind === 'strip' && end.kind === 'strip' && start.strip === end.strip) return false;
    const bands = Math.abs(this.bandOf(start) - this.bandOf(end));
    const slices = Math.abs(this.sliceOf(start) - this.sliceOf(end));
    return bands > MOST_BANDS_OF_LINE || slices > MOST_SLICES_OF_LINE;
  }

  private bandOf(end: End): number {
    return end.kind === 'strip' ? end.band : (this.grid.rows[end.cell.row]?.band ?? 0);
  }

  private sliceOf(end: End): number {
    if (end.kind === 'cell') return end.cell.slice;
    return end.strip === 'left' ? -0.5 : this.grid.slices - 0.5;
  }

  private stepOf(end: CellEnd): number {
    return columnStep(this.grid, end.cell.slice, end.cell.column);
  }

  private towards(end: CellEnd, other: End): number {
    if (other.kind === 'strip') return other.strip === 'left' ? -100 : 100;
    const difference = this.stepOf(other) - this.stepOf(end);
    return difference === 0 ? -1 : difference;
  }

  private firstRowOf(band: number): number {
    return this.grid.rows.find((row) => row.band === band)?.index ?? 0;
  }

  /** The gutter on the shortest way; among equals the one nearest to the end of the line. */
  private gutterBetween(start: CellEnd, end: CellEnd): number {
    let best = firstSliceGutter;
    let bestCost = Infinity;
    for (let gutter = firstSliceGutter; gutter < rightGutter(this.grid); gutter++) {
      const at = gutterStep(this.grid, gutter);
      const toEnd = Math.abs(this.stepOf(end) - at);
      const cost = (Math.abs(this.stepOf(start) - at) + toEnd) * 100 + toEnd;
      if (cost < bestCost) {
        best = gutter;
        bestCost = cost;
      }
    }
    return best;
  }

  private spanFrom(end: CellEnd, slot: Slot, run: GutterRun): Span {
    const span = this.newSpan(channelOf(end.cell.row, end.side));
    this.lean(slot, gutterStep(this.grid, run.gutter) - this.stepOf(end));
    span.ends.push({ kind: 'slot', slot });
    this.joinSpan(span, run);
    return span;
  }

  private joinSpan(span: Span, run: GutterRun): void {
    span.ends.push({ kind: 'gutter', run });
    run.ends.push({ kind: 'span', span });
  }

  private tapOfRun(run: GutterRun, end: StripEnd, runId: string): Step[] {
    const pin = this.newPin(end, runId);
    run.ends.push({ kind: 'pin', pin });
    return [
      { kind: 'pin', pin },
      { kind: 'run', run },
    ];
  }

  private lean(slot: Slot, difference: number): void {
    slot.lean = Math.sign(difference);
    slot.reach = Math.abs(difference);
  }

  private newSlot(end: CellEnd, runId: string, kind: SlotKind = 'pin'): Slot {
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

  private newPin(end: StripEnd, runId: string, kind: SlotKind = 'pin'): StripPin {
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

  private newSpan(channel: number): Span {
    const span: Span = { channel, ends: [], label: undefined, track: 0 };
    this.spans.push(span);
    return span;
  }

  private newRun(gutter: number): GutterRun {
    const run: GutterRun = { gutter, ends: [], track: 0 };
    this.runs.push(run);
    return run;
  }
}

/** Boards and devices share no names in a site, but a scene may be made by hand. */
export function boardBoxId(boardId: string): string {
  return `board\u0001${boardId}`;
}

function rightmost(span: Span): Slot | undefined {
  return extremeSlot(span, 1);
}

function leftmost(span: Span): Slot | undefined {
  return extremeSlot(span, -1);
}

function extremeSlot(span: Span, direction: -1 | 1): Slot | undefined {
  let best: Slot | undefined;
  for (const end of span.ends) {
    if (end.kind !== 'slot') continue;
    const isFurther =
      best === undefined ||
      direction *
        (end.slot.cell.slice - best.cell.slice || end.slot.cell.column - best.cell.column) >
        0;
    if (isFurther) best = end.slot;
  }
  return best;
}
