import type { Point } from '../layout/geometry.js';
import type { DrawLine, DrawList, DrawNode, DrawText } from './draw-list.js';
import { STYLE_SHEET, themeClass, type Theme } from './style.js';

/** Writes a draw list as one SVG document. Text of the site appears only as escaped text. */
export function writeSvg(list: DrawList, theme?: Theme, styleSheet = STYLE_SHEET): string {
  const width = number(list.widthPx);
  const height = number(list.heightPx);
  const lines = [
    `<svg xmlns="http://www.w3.org/2000/svg" class="${themeClass(theme)}" data-view="${escaped(list.view)}" ` +
      `width="${width}" height="${height}" viewBox="0 0 ${width} ${height}" role="group" aria-label="${escaped(list.title)}">`,
    `<title>${escaped(list.title)}</title>`,
    `<desc>${escaped(list.description)}</desc>`,
    `<style>${styleSheet}</style>`,
  ];
  for (const node of list.children) writeNode(node, lines);
  lines.push('</svg>', '');
  return lines.join('\n');
}

function writeNode(node: DrawNode, lines: string[]): void {
  const open = `class="${escaped(node.className)}"`;
  switch (node.kind) {
    case 'group': {
      const mark = node.mark
        ? ` data-place="${escaped(node.mark.place)}" data-name="${escaped(node.mark.name)}" role="button" tabindex="-1" aria-label="${escaped(node.title ?? node.mark.name)}"`
        : '';
      lines.push(`<g ${open}${mark}>`);
      if (node.title !== undefined) lines.push(`<title>${escaped(node.title)}</title>`);
      for (const child of node.children) writeNode(child, lines);
      lines.push('</g>');
      return;
    }
    case 'rect': {
      const { x, y, width, height } = node.rect;
      const radius = node.radiusPx > 0 ? ` rx="${number(node.radiusPx)}"` : '';
      lines.push(
        `<rect ${open} x="${number(x)}" y="${number(y)}" width="${number(width)}" height="${number(height)}"${radius}/>`,
      );
      return;
    }
    case 'line':
      lines.push(`<path ${open} d="${pathOf(node)}"/>`);
      return;
    case 'circle':
      lines.push(
        `<circle ${open} cx="${number(node.centre.x)}" cy="${number(node.centre.y)}" r="${number(node.radiusPx)}"/>`,
      );
      return;
    case 'ellipse':
      lines.push(
        `<ellipse ${open} cx="${number(node.centre.x)}" cy="${number(node.centre.y)}" rx="${number(node.radiusX)}" ry="${number(node.radiusY)}"/>`,
      );
      return;
    case 'text':
      lines.push(textElement(node, open));
  }
}

function textElement(node: DrawText, open: string): string {
  const anchor = node.anchor === 'start' ? '' : ` text-anchor="${node.anchor}"`;
  const weight = node.weight === 400 ? '' : ` font-weight="${node.weight}"`;
  return (
    `<text ${open} x="${number(node.x)}" y="${number(node.baseline)}" font-size="${number(node.sizePx)}"${weight}${anchor} ` +
    `textLength="${number(node.widthPx)}" lengthAdjust="spacingAndGlyphs">${escaped(node.text)}</text>`
  );
}

function pathOf(node: DrawLine): string {
  const first = node.points[0];
  if (!first) return '';
  const parts = [`M${at(first)}`];
  for (let index = 1; index < node.points.length; index++) {
    const before = node.points[index - 1] ?? first;
    const point = node.points[index] ?? first;
    const after = node.points[index + 1];
    const radius = after ? cornerRadius(before, point, after, node.cornerPx) : 0;
    if (!after || radius < 1) {
      parts.push(`L${at(point)}`);
      continue;
    }
    parts.push(
      `L${at(towards(point, before, radius))}`,
      `Q${at(point)} ${at(towards(point, after, radius))}`,
    );
  }
  if (node.closed) parts.push('Z');
  return parts.join('');
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

function at(point: Point): string {
  return `${number(point.x)} ${number(point.y)}`;
}

/** Two decimals at most, without trailing zeros. */
function number(value: number): string {
  const rounded = Math.round(value * 100) / 100;
  return String(Object.is(rounded, -0) ? 0 : rounded);
}

const ESCAPES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** Escapes for text and attributes; what XML 1.0 does not allow is replaced, a separator of places included. */
export function escaped(text: string): string {
  return text
    .replace(/[&<>"']/gu, (character) => ESCAPES[character] ?? character)
    .replace(/[^\t\n\r\u0020-\uD7FF\uE000-\uFFFD\u{10000}-\u{10FFFF}]/gu, '\uFFFD');
}
