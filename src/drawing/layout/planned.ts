/** Planned things that every view has: texts, marks of findings, lines of the list. */
import type { Mark, SceneFinding, SceneSeverity } from '../scene/scene.js';
import type { Point, Rect } from './geometry.js';
import { fitText, type FontWeight, type TextMeasure } from './text-measure.js';

export type Tone = 'ink' | 'muted';

export interface PlannedText {
  readonly text: string;
  readonly x: number;
  /** The line on which the letters stand. */
  readonly baseline: number;
  readonly anchor: 'start' | 'middle' | 'end';
  readonly sizePx: number;
  readonly weight: FontWeight;
  readonly tone: Tone;
  /** Room that the text has and takes. */
  readonly widthPx: number;
}

export interface PlannedBadge {
  readonly number: number;
  readonly severity: SceneSeverity;
  readonly centre: Point;
  readonly mark: Mark;
  readonly description: string;
}

/** A finding in the list below the picture. */
export interface PlannedFinding {
  readonly number: number;
  readonly finding: SceneFinding;
  readonly badge: PlannedBadge;
  readonly texts: readonly PlannedText[];
  readonly rect: Rect;
}

/** Size and look of a text. */
export interface TextLook {
  readonly sizePx: number;
  readonly weight: FontWeight;
  readonly tone: Tone;
}

/** A text from its left end. */
export function plannedText(
  measure: TextMeasure,
  text: string,
  at: { readonly x: number; readonly baseline: number },
  look: TextLook,
): PlannedText {
  const { sizePx, weight, tone } = look;
  const widthPx = measure.width(text, sizePx, weight);
  return { text, x: at.x, baseline: at.baseline, anchor: 'start', sizePx, weight, tone, widthPx };
}

/** A text from its left end, cut with an ellipsis to the room it has. */
export function fittedText(
  measure: TextMeasure,
  text: string,
  at: { readonly x: number; readonly baseline: number },
  look: TextLook,
  limitPx: number,
): PlannedText {
  return plannedText(measure, fitText(measure, text, look.sizePx, look.weight, limitPx), at, look);
}

/** The same text hung up at another point of it. */
export function anchored(text: PlannedText, anchor: PlannedText['anchor']): PlannedText {
  return { ...text, anchor };
}

export function badgeOf(number: number, finding: SceneFinding, centre: Point): PlannedBadge {
  return {
    number,
    severity: finding.severity,
    centre,
    mark: finding.mark,
    description: `${number}. ${finding.rule}: ${finding.message}`,
  };
}

/** Height above and depth below the baseline, as parts of the size. */
const ASCENT = 0.76;
const DESCENT = 0.22;

export function textRect(text: PlannedText): Rect {
  const x =
    text.anchor === 'start'
      ? text.x
      : text.anchor === 'end'
        ? text.x - text.widthPx
        : text.x - text.widthPx / 2;
  return {
    x,
    y: text.baseline - ASCENT * text.sizePx,
    width: text.widthPx,
    height: (ASCENT + DESCENT) * text.sizePx,
  };
}
