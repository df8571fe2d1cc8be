/** Marks that both views share: numbers of findings, terminators, earth. */
import type { Point, Rect } from '../layout/geometry.js';
import type { SceneSeen, SceneSeverity } from '../scene/scene.js';
import type { PlannedBadge, PlannedFinding, PlannedText } from '../layout/planned.js';
import type { TextMeasure } from '../layout/text-measure.js';
import {
  circle,
  group,
  line,
  polygon,
  rectangle,
  type DrawNode,
  type DrawText,
} from './draw-list.js';

export function textNode(planned: PlannedText): DrawNode {
  return {
    kind: 'text',
    className: planned.tone === 'muted' ? 'fd-muted' : 'fd-ink',
    text: planned.text,
    x: planned.x,
    baseline: planned.baseline,
    anchor: planned.anchor,
    sizePx: planned.sizePx,
    weight: planned.weight,
    widthPx: planned.widthPx,
  };
}

/** The number of a finding at its place; a click leads to the finding's place in the text. */
export function badgeNode(badge: PlannedBadge, measure: TextMeasure): DrawNode {
  const width = (text: string, sizePx: number) => measure.width(text, sizePx, 700);
  return group('fd-finding', findingMark(badge.severity, badge.number, badge.centre, width), {
    mark: badge.mark,
    title: badge.description,
  });
}

/** The findings in the list below the picture. */
export function listedFindings(
  findings: readonly PlannedFinding[],
  measure: TextMeasure,
): DrawNode[] {
  return findings.map(({ badge, texts }) => {
    const width = (text: string, sizePx: number) => measure.width(text, sizePx, 700);
    const mark = findingMark(badge.severity, badge.number, badge.centre, width);
    return group('fd-listed', [...mark, ...texts.map(textNode)], {
      mark: badge.mark,
      title: badge.description,
    });
  });
}

/** Number of a finding: a filled hexagon for errors, a hollow one for warnings, a dotted ring for hints. */
export function findingMark(
  severity: SceneSeverity,
  number: number,
  centre: Point,
  width: (text: string, sizePx: number) => number,
): DrawNode[] {
  const text = String(number);
  const sizePx = text.length > 2 ? 7.5 : 9.5;
  const shape =
    severity === 'hint'
      ? circle('fd-hint', centre, 7.2)
      : polygon(severity === 'error' ? 'fd-error' : 'fd-warning', hexagon(centre, 7.6));
  const label: DrawText = {
    kind: 'text',
    className: severity === 'error' ? 'fd-on-error' : 'fd-ink',
    text,
    x: centre.x,
    baseline: centre.y + sizePx * 0.36,
    anchor: 'middle',
    sizePx,
    weight: 700,
    widthPx: width(text, sizePx),
  };
  return [shape, label];
}

function hexagon(centre: Point, radius: number): Point[] {
  const half = radius * 0.5;
  return [
    { x: centre.x - radius, y: centre.y },
    { x: centre.x - half, y: centre.y - radius * 0.88 },
    { x: centre.x + half, y: centre.y - radius * 0.88 },
    { x: centre.x + radius, y: centre.y },
    { x: centre.x + half, y: centre.y + radius * 0.88 },
    { x: centre.x - half, y: centre.y + radius * 0.88 },
  ];
}

/** A resistor; missing ones are dashed and crossed. */
export function terminatorMark(rect: Rect, isMissing: boolean): DrawNode[] {
  if (!isMissing) return [rectangle('fd-symbol', rect)];
  const { x, y, width, height } = rect;
  return [
    rectangle('fd-missing', rect),
    line('fd-missing-cross', [
      { x: x - 2, y: y - 1 },
      { x: x + width + 2, y: y + height + 1 },
    ]),
    line('fd-missing-cross', [
      { x: x + width + 2, y: y - 1 },
      { x: x - 2, y: y + height + 1 },
    ]),
  ];
}

/** Earth: a stem and three bars, pointing down (or up, left, right) from a point. */
export function earthMark(
  at: Point,
  direction: 'down' | 'up' | 'left' | 'right',
  lengthPx: number,
): DrawNode[] {
  const along = direction === 'down' || direction === 'right' ? 1 : -1;
  const isVertical = direction === 'down' || direction === 'up';
  const point = (distance: number, aside: number): Point =>
    isVertical
      ? { x: at.x + aside, y: at.y + along * distance }
      : { x: at.x + along * distance, y: at.y + aside };
  const bar = (distance: number, half: number) =>
    line('fd-symbol-line', [point(distance, -half), point(distance, half)]);
  return [
    line('fd-symbol-line', [point(0, 0), point(lengthPx - 6, 0)]),
    bar(lengthPx - 6, 5.5),
    bar(lengthPx - 3, 3.5),
    bar(lengthPx, 1.5),
  ];
}

/** What was seen, told by shape alone: a full disc with a tick, a square with a cross, a ring with a dash. */
export function seenMark(state: SceneSeen, { x, y }: Point): DrawNode[] {
  const at = (dx: number, dy: number): Point => ({ x: x + dx, y: y + dy });
  switch (state) {
    case 'found':
      return [
        circle('fd-cap', at(0, 0), 6.5),
        line('fd-screen', [at(-3, 0), at(-1, 3), at(3.5, -3)]),
      ];
    case 'missing':
      return [
        rectangle('fd-error', { x: x - 5.5, y: y - 5.5, width: 11, height: 11 }),
        line('fd-screen', [at(-3.5, -3.5), at(3.5, 3.5)]),
        line('fd-screen', [at(-3.5, 3.5), at(3.5, -3.5)]),
      ];
    case 'open':
      return [circle('fd-joint', at(0, 0), 6), line('fd-icon', [at(-2.5, 0), at(2.5, 0)])];
  }
}
