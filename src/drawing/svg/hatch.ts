/** Hatching as plain lines, so that every writer draws it alike. */
import type { Rect } from '../layout/geometry.js';
import { line, type DrawNode } from './draw-list.js';

/** Lines that rise to the right at 45°, kept inside a rectangle. */
export function hatch(className: string, rect: Rect, stepPx: number): DrawNode[] {
  const { x, y, width, height } = rect;
  const lines: DrawNode[] = [];
  for (let at = stepPx; at < width + height; at += stepPx) {
    const from = at <= height ? { x, y: y + at } : { x: x + at - height, y: y + height };
    const to = at <= width ? { x: x + at, y } : { x: x + width, y: y + at - width };
    lines.push(line(className, [from, to]));
  }
  return lines;
}
