import type { Point } from './geometry.js';

/** A line of a finished layout: its straight pieces are horizontal or vertical. */
export interface RoutedLine {
  readonly id: string;
  readonly lines: readonly (readonly Point[])[];
}

interface Piece {
  readonly line: number;
  readonly at: number;
  readonly low: number;
  readonly high: number;
}

/** How often lines cross other lines, counted on the finished polylines; what a line does to itself does not count. */
export function countCrossings(lines: readonly RoutedLine[]): number {
  const horizontal: Piece[] = [];
  const vertical: Piece[] = [];
  lines.forEach((routed, line) => {
    for (const points of routed.lines) {
      for (let index = 1; index < points.length; index++) {
        const from = points[index - 1];
        const to = points[index];
        if (!from || !to) continue;
        if (from.y === to.y) {
          horizontal.push({
            line,
            at: from.y,
            low: Math.min(from.x, to.x),
            high: Math.max(from.x, to.x),
          });
        } else {
          vertical.push({
            line,
            at: from.x,
            low: Math.min(from.y, to.y),
            high: Math.max(from.y, to.y),
          });
        }
      }
    }
  });
  horizontal.sort((one, other) => one.at - other.at);
  const heights = horizontal.map((piece) => piece.at);
  let count = 0;
  for (const piece of vertical) {
    for (let index = firstAbove(heights, piece.low); index < horizontal.length; index++) {
      const other = horizontal[index];
      if (!other || other.at >= piece.high) break;
      if (other.line !== piece.line && piece.at > other.low && piece.at < other.high) count++;
    }
  }
  return count;
}

function firstAbove(sorted: readonly number[], value: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((sorted[middle] ?? 0) <= value) low = middle + 1;
    else high = middle;
  }
  return low;
}
