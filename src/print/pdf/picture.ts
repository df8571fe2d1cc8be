/** A draw list as vectors on a page. */
import type { DrawLine, DrawList, DrawNode, DrawText } from '../../drawing/svg/draw-list.js';
import type { Point } from '../../drawing/layout/geometry.js';
import { printable, widthOf } from './fonts.js';
import { INK } from './paper.js';
import type { Paper } from './paper.js';
import { PLAIN, paintOf } from './style.js';
import type { Paint } from './style.js';

/** A part of a picture and where it goes. */
export interface PicturePlace {
  readonly x: number;
  readonly y: number;
  /** Points for each pixel of the picture. */
  readonly scale: number;
  /** The part that is shown, in pixels of the picture. */
  readonly part: {
    readonly x: number;
    readonly y: number;
    readonly width: number;
    readonly height: number;
  };
}

export function writePicture(paper: Paper, list: DrawList, place: PicturePlace): void {
  const { pdf } = paper;
  const { x, y, scale, part } = place;
  paper.forget();
  pdf.save();
  pdf.rect(x, y, part.width * scale, part.height * scale).clip();
  pdf.translate(x - part.x * scale, y - part.y * scale);
  pdf.scale(scale, scale, {});
  list.children.forEach((node) => writeNode(paper, node, PLAIN, part));
  pdf.restore();
  paper.forget();
}

function writeNode(paper: Paper, node: DrawNode, outer: Paint, part: PicturePlace['part']): void {
  const { pdf } = paper;
  if (node.kind === 'text') {
    writeText(paper, node, paintOf(node.className, 'text', outer), part);
    return;
  }
  const paint = paintOf(node.className, 'shape', outer);
  switch (node.kind) {
    case 'group':
      node.children.forEach((child) => writeNode(paper, child, paint, part));
      return;
    case 'rect': {
      const { x, y, width, height } = node.rect;
      painted(paper, paint, () =>
        node.radiusPx > 0
          ? pdf.roundedRect(x, y, width, height, Math.min(node.radiusPx, width / 2, height / 2))
          : pdf.rect(x, y, width, height),
      );
      return;
    }
    case 'line':
      if (node.points.length > 1) {
        painted(paper, paint, () => tracePath(paper, node));
      }
      return;
    case 'circle':
      painted(paper, paint, () => pdf.circle(node.centre.x, node.centre.y, node.radiusPx));
      return;
    case 'ellipse':
      painted(paper, paint, () =>
        pdf.ellipse(node.centre.x, node.centre.y, node.radiusX, node.radiusY),
      );
      return;
  }
}

function painted(paper: Paper, paint: Paint, trace: () => unknown): void {
  const { pdf } = paper;
  const { fill, stroke } = paint;
  if (fill === undefined && stroke === undefined) {
    return;
  }
  if (stroke !== undefined) {
    pdf.lineWidth(paint.strokeWidthPx).lineCap(paint.cap).lineJoin(paint.join);
    if (paint.dash === undefined) {
      pdf.undash();
    } else {
      pdf.dash(paint.dash as unknown as number, {});
    }
  }
  trace();
  paper.forget();
  if (fill !== undefined && stroke !== undefined) {
    pdf.fillAndStroke(fill, stroke);
  } else if (fill !== undefined) {
    pdf.fill(fill);
  } else if (stroke !== undefined) {
    pdf.stroke(stroke);
  }
}

/** In exactly the room that the drawing gives it, as in a browser. */
function writeText(paper: Paper, node: DrawText, paint: Paint, part: PicturePlace['part']): void {
  const isOutside =
    node.baseline < part.y - 20 ||
    node.baseline > part.y + part.height + 20 ||
    node.x - node.widthPx > part.x + part.width ||
    node.x + node.widthPx < part.x;
  const text = printable(node.text).replaceAll('\n', ' ');
  if (text === '' || isOutside) {
    return;
  }
  const natural = widthOf(text, node.sizePx, node.weight);
  const sizePt =
    natural > node.widthPx + 0.5 ? (node.sizePx * node.widthPx) / natural : node.sizePx;
  const width = Math.min(natural, node.widthPx);
  const x =
    node.anchor === 'start'
      ? node.x
      : node.anchor === 'middle'
        ? node.x - width / 2
        : node.x - width;
  paper.text(text, x, node.baseline, {
    sizePt,
    weight: node.weight,
    colour: paint.fill ?? INK,
  });
}

function tracePath({ pdf }: Paper, node: DrawLine): void {
  const [first] = node.points;
  if (first === undefined) {
    return;
  }
  pdf.moveTo(first.x, first.y);
  node.points.forEach((point, index) => {
    const before = node.points[index - 1];
    const after = node.points[index + 1];
    if (before === undefined) {
      return;
    }
    const radius = after === undefined ? 0 : cornerRadius(before, point, after, node.cornerPx);
    if (after === undefined || radius < 1) {
      pdf.lineTo(point.x, point.y);
      return;
    }
    const arrive = towards(point, before, radius);
    const leave = towards(point, after, radius);
    pdf.lineTo(arrive.x, arrive.y).quadraticCurveTo(point.x, point.y, leave.x, leave.y);
  });
  if (node.closed) {
    pdf.closePath();
  }
}

function cornerRadius(before: Point, corner: Point, after: Point, wantedPx: number): number {
  const arriving = Math.abs(corner.x - before.x) + Math.abs(corner.y - before.y);
  const leaving = Math.abs(after.x - corner.x) + Math.abs(after.y - corner.y);
  return Math.min(wantedPx, arriving / 2, leaving / 2);
}

function towards(from: Point, to: Point, byPx: number): Point {
  return {
    x: from.x + Math.sign(to.x - from.x) * byPx,
    y: from.y + Math.sign(to.y - from.y) * byPx,
  };
}
