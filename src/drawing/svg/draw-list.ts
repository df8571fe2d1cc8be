/**
 * A picture as a tree of plain shapes, before it becomes SVG or PDF.
 *
 * Shapes carry class names instead of colours: what a class looks like stands in one style sheet, so that
 * the same list serves light and dark.
 */
import type { Point, Rect } from '../layout/geometry.js';
import type { FontWeight } from '../layout/text-measure.js';
import type { Mark } from '../scene/scene.js';

export type DrawNode = DrawGroup | DrawRect | DrawLine | DrawCircle | DrawEllipse | DrawText;

export interface DrawGroup {
  readonly kind: 'group';
  readonly className: string;
  /** A group with a mark can be clicked. */
  readonly mark?: Mark;
  /** Tooltip, and name for screen readers. */
  readonly title?: string;
  readonly children: readonly DrawNode[];
}

export interface DrawRect {
  readonly kind: 'rect';
  readonly className: string;
  readonly rect: Rect;
  readonly radiusPx: number;
}

export interface DrawLine {
  readonly kind: 'line';
  readonly className: string;
  readonly points: readonly Point[];
  readonly closed: boolean;
  /** Radius of rounded corners; only for horizontal and vertical pieces. */
  readonly cornerPx: number;
}

export interface DrawCircle {
  readonly kind: 'circle';
  readonly className: string;
  readonly centre: Point;
  readonly radiusPx: number;
}

export interface DrawEllipse {
  readonly kind: 'ellipse';
  readonly className: string;
  readonly centre: Point;
  readonly radiusX: number;
  readonly radiusY: number;
}

export interface DrawText {
  readonly kind: 'text';
  readonly className: string;
  readonly text: string;
  readonly x: number;
  readonly baseline: number;
  readonly anchor: 'start' | 'middle' | 'end';
  readonly sizePx: number;
  readonly weight: FontWeight;
  /** The text is drawn in exactly this width, whatever font the reader's computer has. */
  readonly widthPx: number;
}

export interface DrawList {
  readonly view: string;
  readonly title: string;
  readonly description: string;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly children: readonly DrawNode[];
}

export const group = (
  className: string,
  children: readonly DrawNode[],
  about: { readonly mark?: Mark; readonly title?: string } = {},
): DrawGroup => ({ kind: 'group', className, children, ...about });

export const rectangle = (className: string, rect: Rect, radiusPx = 0): DrawRect => ({
  kind: 'rect',
  className,
  rect,
  radiusPx,
});

export const line = (className: string, points: readonly Point[], cornerPx = 0): DrawLine => ({
  kind: 'line',
  className,
  points,
  closed: false,
  cornerPx,
});

export const polygon = (className: string, points: readonly Point[]): DrawLine => ({
  kind: 'line',
  className,
  points,
  closed: true,
  cornerPx: 0,
});

export const circle = (className: string, centre: Point, radiusPx: number): DrawCircle => ({
  kind: 'circle',
  className,
  centre,
  radiusPx,
});
