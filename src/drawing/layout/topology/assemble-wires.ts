import { TEXTS, lengthText } from '../../texts.js';
import type { Mark } from '../../scene/scene.js';
import { tidied, type Point, type Rect } from '../geometry.js';
import { BADGE } from '../sheet.js';
import type { AssembleContext } from './assemble.js';
import {
  cellRect,
  pinFacesLeft,
  pinX,
  satelliteIndex,
  satellitePinKey,
  satelliteRect,
} from './rects.js';
import { labelWidth, pillWidth } from './boxes.js';
import { plannedText, type PlannedText, type TextLook } from '../planned.js';
import type { PlannedLabel, PlannedSymbol, PlannedWire } from './plan.js';
import * as size from './sizes.js';
import type { GutterRun, LabelContent, Slot, Span, Step, StripPin, Wire } from './wiring.js';

const PILL_TEXT: TextLook = { sizePx: size.LABEL_PX, weight: 700, tone: 'ink' };
const LABEL_TEXT: TextLook = { sizePx: size.LABEL_PX, weight: 400, tone: 'ink' };

/** A label with what hangs on it: the span that ends at it, and the places of its findings' marks. */
export interface LabelWithMarks {
  readonly planned: PlannedLabel;
  readonly span: Span | undefined;
  readonly pin: StripPin | undefined;
  readonly badges: readonly { readonly number: number; readonly centre: Point }[];
}

export function placeLabels(context: AssembleContext): LabelWithMarks[] {
  const labels: LabelWithMarks[] = [];
  const marks = marksOfRuns(context);
  for (const span of context.wiring.spans) {
    if (!span.label) continue;
    const { slot, direction, content, wireId } = span.label;
    const width = labelWidth(content, context.measure);
    const zone = context.geometry.zone(slot, direction);
    const endsHere = span.ends.some((end) => end.kind === 'zone');
    const middle = endsHere
      ? direction < 0
        ? zone.to - 10 - width / 2
        : zone.from + 10 + width / 2
      : (zone.from + zone.to) / 2;
    labels.push({
      ...labelAt(
        context,
        wireId,
        content,
        middle - width / 2,
        context.geometry.trackY(span),
        marks,
      ),
      span,
      pin: undefined,
    });
  }
  for (const pin of context.wiring.pins) {
    if (!pin.label) continue;
    const width = labelWidth(pin.label, context.measure);
    const stub = context.geometry.stubs[pin.strip][pin.edge];
    const x = pinX(context, pin);
    const goesLeft = pinFacesLeft(pin);
    const middle = goesLeft ? x - stub / 2 : x + stub / 2;
    labels.push({
      ...labelAt(
        context,
        pin.labelWireId,
        pin.label,
        middle - width / 2,
        context.geometry.pinY(pin),
        marks,
      ),
      span: undefined,
      pin,
    });
  }
  const usedOfGap = new Map<string, number>();
  for (const gap of context.wiring.gapLabels) {
    const rect = satelliteRect(context, gap.cell, gap.satellite);
    const key = `${gap.cell.device.id}\u0001${gap.satellite}`;
    const x = usedOfGap.get(key) ?? rect.x + 2;
    labels.push({
      ...labelAt(
        context,
        gap.wireId,
        gap.content,
        x,
        rect.y + rect.height + size.SATELLITE_GAP / 2,
        marks,
      ),
      span: undefined,
      pin: undefined,
    });
    usedOfGap.set(key, x + labelWidth(gap.content, context.measure) + size.LABEL_GAP);
  }
  return labels;
}

function labelAt(
  context: AssembleContext,
  wireId: string,
  content: LabelContent,
  left: number,
  middleY: number,
  marks: ReadonlyMap<string, Mark>,
): Pick<LabelWithMarks, 'planned' | 'badges'> {
  let x = Math.round(left * 2) / 2;
  const rect: Rect = {
    x,
    y: middleY - size.PILL_HEIGHT / 2,
    width: labelWidth(content, context.measure),
    height: size.PILL_HEIGHT,
  };
  const baseline = middleY + size.LABEL_PX * 0.36;
  let pill: PlannedLabel['pill'];
  if (content.pill) {
    const width = pillWidth(content.pill.text, context.measure);
    const text = plannedText(
      context.measure,
      content.pill.text,
      { x: x + size.PILL_PAD, baseline },
      PILL_TEXT,
    );
    pill = {
      rect: { x, y: rect.y, width, height: size.PILL_HEIGHT },
      text,
      mark: marks.get(content.pill.runId) ?? { place: '', name: content.pill.text },
    };
    x += width + size.LABEL_GAP;
  }
  let text: PlannedText | undefined;
  if (content.text !== '') {
    text = plannedText(context.measure, content.text, { x, baseline }, LABEL_TEXT);
    x += text.widthPx + size.LABEL_GAP;
  }
  const badges = content.findings.map((number, index) => ({
    number,
    centre: { x: x + index * (BADGE + size.LABEL_GAP) + BADGE / 2, y: middleY },
  }));
  return {
    planned: {
      wireId,
      runId: content.pill?.runId ?? '',
      rect,
      pill,
      text,
      findings: content.findings,
    },
    badges,
  };
}

function marksOfRuns(context: AssembleContext): ReadonlyMap<string, Mark> {
  const { scene } = context;
  return new Map(
    [...scene.runs, ...scene.branches, ...scene.networks].map((one) => [one.id, one.mark]),
  );
}

export function placeWires(
  context: AssembleContext,
  labels: readonly LabelWithMarks[],
): PlannedWire[] {
  const marks = marksOfRuns(context);
  const titles = new Map(context.scene.runs.map((run) => [run.id, run.title]));
  const flagEnds = new Map<Span, Rect>();
  for (const label of labels) if (label.span) flagEnds.set(label.span, label.planned.rect);
  return context.wiring.wires.map((wire) => {
    const mark = wire.segment?.mark ?? marks.get(wire.runId) ?? { place: '', name: wire.runId };
    const name = marks.get(wire.runId)?.name ?? wire.runId;
    const title = titles.get(wire.runId) ?? '';
    const description = wire.segment
      ? TEXTS.wire(name, wire.from, wire.to, lengthText(wire.segment.length))
      : name;
    return {
      id: wire.id,
      layer: wire.layer,
      runId: wire.runId,
      lines: wire.pieces.map((piece) => tidied(lineOf(context, piece, flagEnds))),
      dots: dotsOf(context, wire),
      existing: wire.segment?.existing ?? false,
      spur: wire.segment?.kind === 'spur',
      flagged: wire.flagged,
      mark,
      description: title === '' ? description : `${description} (${title})`,
    };
  });
}

/** The points of one piece of a line. */
function lineOf(
  context: AssembleContext,
  piece: readonly Step[],
  flagEnds: ReadonlyMap<Span, Rect>,
): Point[] {
  const { geometry } = context;
  const only = piece.length === 1 ? piece[0] : undefined;
  if (only?.kind === 'span') return trunkOfSpan(context, only.span, flagEnds);
  if (only?.kind === 'run') return trunkOfRun(context, only.run);
  if (only?.kind === 'pin') {
    const x = pinX(context, only.pin);
    const y = geometry.pinY(only.pin);
    const direction = pinFacesLeft(only.pin) ? -1 : 1;
    const length = only.pin.label ? 8 : 10;
    const stub = geometry.stubs[only.pin.strip][only.pin.edge];
    const labelPx = only.pin.label ? labelWidth(only.pin.label, context.measure) : 0;
    const reach = only.pin.label ? Math.max(length, (stub - labelPx) / 2) : length;
    return [
      { x, y },
      { x: x + direction * reach, y },
    ];
  }
  const points: Point[] = [];
  let lastSpan: Span | undefined;
  piece.forEach((step, index) => {
    const last = points.at(-1);
    if (step.kind === 'slot') {
      const edge = slotPoints(context, step.slot, step.ownerId);
      const x = geometry.slotX(step.slot);
      if (index === 0) points.push(...edge.reverse());
      else {
        if (last) points.push({ x, y: last.y });
        points.push(...edge);
      }
    } else if (step.kind === 'pin') {
      const x = pinX(context, step.pin);
      const y = geometry.pinY(step.pin);
      if (last) points.push({ x: last.x, y });
      points.push({ x, y });
    } else if (step.kind === 'span') {
      lastSpan = step.span;
      if (last) points.push({ x: last.x, y: geometry.trackY(step.span) });
    } else if (step.kind === 'run') {
      if (last) points.push({ x: geometry.trackX(step.run), y: last.y });
    } else if (last && lastSpan) {
      points.push({ x: flagEndX(lastSpan, step.direction, flagEnds) ?? last.x, y: last.y });
    }
  });
  return points;
}

function flagEndX(
  span: Span,
  direction: -1 | 1,
  flagEnds: ReadonlyMap<Span, Rect>,
): number | undefined {
  const rect = flagEnds.get(span);
  if (!rect) return undefined;
  return direction < 0 ? rect.x + rect.width : rect.x;
}

/** From a line's slot to the edge of the box, in this order. */
function slotPoints(context: AssembleContext, slot: Slot, ownerId: string): Point[] {
  const x = context.geometry.slotX(slot);
  const level = satelliteIndex(slot, ownerId);
  if (level < 0) {
    const rect = cellRect(context, slot.cell);
    return [{ x, y: slot.side === 'bottom' ? rect.y + rect.height : rect.y }];
  }
  const rect = satelliteRect(context, slot.cell, level);
  const y = context.satellitePinY.get(satellitePinKey(slot, ownerId)) ?? rect.y;
  return [
    { x, y },
    { x: slot.side === 'inner' ? rect.x : rect.x + rect.width, y },
  ];
}

function trunkOfSpan(
  context: AssembleContext,
  span: Span,
  flagEnds: ReadonlyMap<Span, Rect>,
): Point[] {
  const y = context.geometry.trackY(span);
  const places = spanPlaces(context, span, flagEnds);
  return [
    { x: Math.min(...places), y },
    { x: Math.max(...places), y },
  ];
}

function spanPlaces(
  context: AssembleContext,
  span: Span,
  flagEnds: ReadonlyMap<Span, Rect>,
): number[] {
  return span.ends.map((end) => {
    if (end.kind === 'slot') return context.geometry.slotX(end.slot);
    if (end.kind === 'gutter') return context.geometry.trackX(end.run);
    return flagEndX(span, end.direction, flagEnds) ?? context.geometry.slotX(end.slot);
  });
}

function trunkOfRun(context: AssembleContext, run: GutterRun): Point[] {
  const x = context.geometry.trackX(run);
  const heights = runHeights(context, run);
  return [
    { x, y: Math.min(...heights) },
    { x, y: Math.max(...heights) },
  ];
}

function runHeights(context: AssembleContext, run: GutterRun): number[] {
  return run.ends.map((end) =>
    end.kind === 'pin' ? context.geometry.pinY(end.pin) : context.geometry.trackY(end.span),
  );
}

/** Dots where a branching line joins itself; corners get none. */
function dotsOf(context: AssembleContext, wire: Wire): Point[] {
  const dots: Point[] = [];
  for (const piece of wire.pieces) {
    const only = piece.length === 1 ? piece[0] : undefined;
    if (only?.kind === 'span') {
      const places = spanPlaces(context, only.span, new Map());
      const y = context.geometry.trackY(only.span);
      dots.push(...innerPlaces(places).map((x) => ({ x, y })));
    } else if (only?.kind === 'run') {
      const x = context.geometry.trackX(only.run);
      dots.push(...innerPlaces(runHeights(context, only.run)).map((y) => ({ x, y })));
    }
  }
  return dots;
}

function innerPlaces(places: readonly number[]): number[] {
  const low = Math.min(...places);
  const high = Math.max(...places);
  return [...new Set(places)].filter((place) => place > low && place < high).sort((a, b) => a - b);
}

const SYMBOL_LENGTH = 16;
const SYMBOL_BREADTH = 10;

export function placeSymbols(context: AssembleContext): PlannedSymbol[] {
  const marks = marksOfRuns(context);
  const symbols: PlannedSymbol[] = [];
  const add = (
    slot: Slot | StripPin,
    tag: string,
    at: Point,
    direction: PlannedSymbol['direction'],
    rect: Rect,
  ) => {
    if (slot.kind === 'pin') return;
    symbols.push({
      kind: slot.kind,
      runId: slot.runId,
      landingId: slot.landing?.id ?? '',
      at,
      direction,
      rect,
      mark: slot.landing?.mark ?? { place: '', name: tag },
      description: TEXTS.symbol[slot.kind](marks.get(slot.runId)?.name ?? slot.runId, tag),
    });
  };
  for (const slot of context.wiring.slots) {
    if (slot.kind === 'pin') continue;
    const x = context.geometry.slotX(slot);
    const level = satelliteIndex(slot, slot.ownerId);
    const satellite = slot.cell.satellites[level];
    if (satellite) {
      const box = satelliteRect(context, slot.cell, level);
      const y = context.satellitePinY.get(satellitePinKey(slot, slot.ownerId)) ?? box.y;
      const rect = { x: x - 6, y: y - 4, width: 12, height: 8 };
      add(slot, satellite.tag, { x: box.x, y }, 'left', rect);
      continue;
    }
    const box = cellRect(context, slot.cell);
    const row = context.geometry.rows[slot.cell.row];
    const framed = slot.cell.device.roomId === undefined ? 0 : size.FRAME_PAD;
    const tag = slot.cell.device.tag;
    if (slot.side === 'bottom') {
      const y = (row?.hostBottom ?? 0) + framed + 4;
      const rect = { x: x - SYMBOL_BREADTH / 2, y, width: SYMBOL_BREADTH, height: SYMBOL_LENGTH };
      add(slot, tag, { x, y: box.y + box.height }, 'down', rect);
    } else {
      const rect = {
        x: x - SYMBOL_BREADTH / 2,
        y: box.y - 4 - SYMBOL_LENGTH,
        width: SYMBOL_BREADTH,
        height: SYMBOL_LENGTH,
      };
      add(slot, tag, { x, y: box.y }, 'up', rect);
    }
  }
  for (const pin of context.wiring.pins) {
    if (pin.kind === 'pin') continue;
    const x = pinX(context, pin);
    const y = context.geometry.pinY(pin);
    const goesLeft = pinFacesLeft(pin);
    const rect = {
      x: goesLeft ? x - 10 - SYMBOL_LENGTH : x + 10,
      y: y - SYMBOL_BREADTH / 2,
      width: SYMBOL_LENGTH,
      height: SYMBOL_BREADTH,
    };
    add(pin, context.strips.get(pin.boxId)?.id ?? '', { x, y }, goesLeft ? 'left' : 'right', rect);
  }
  return symbols;
}
