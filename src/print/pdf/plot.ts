/** A value along a run as a small diagram; the table beside it holds the numbers. */
import type { Plot } from '../../documents/document.js';
import { formatNumber } from '../../model/quantity.js';
import type { Flow } from './flow.js';
import { printable } from './fonts.js';
import { ALARM, INK, MUTED, RULE } from './paper.js';

const WIDTH = 400;
const HEIGHT = 96;
const AXIS = 44;

export function writePlot(flow: Flow, plot: Plot): void {
  const points = plot.lines.flat();
  const across = rangeOf(points.map((point) => point.across));
  const up = rangeOf([
    ...points.map((point) => point.up),
    ...(plot.least === undefined ? [] : [plot.least]),
  ]);
  flow.ensure(HEIGHT + 40);
  flow.paragraph(printable(plot.title), { sizePt: 8.5, weight: 700 });
  const left = flow.left + AXIS;
  const width = Math.min(WIDTH, flow.width - AXIS - 60);
  const top = flow.y + 8;
  const bottom = top + HEIGHT;
  const xOf = (value: number) => left + ((value - across.from) / (across.to - across.from)) * width;
  const yOf = (value: number) => bottom - ((value - up.from) / (up.to - up.from)) * HEIGHT;
  const { paper } = flow;
  paper.line(left, top, left, bottom, { widthPt: 0.6, colour: INK });
  paper.line(left, bottom, left + width, bottom, { widthPt: 0.6, colour: INK });
  for (const value of [up.from, up.to]) {
    paper.text(`${formatNumber(value, 2)} ${plot.up.unit}`, left - 4, yOf(value) + 2.5, {
      sizePt: 7,
      align: 'right',
      colour: MUTED,
    });
  }
  for (const value of [across.from, across.to]) {
    paper.text(`${formatNumber(value, 1)} ${plot.across.unit}`, xOf(value), bottom + 10, {
      sizePt: 7,
      align: 'centre',
      colour: MUTED,
    });
  }
  paper.text(plot.across.title, left + width / 2, bottom + 10, {
    sizePt: 7,
    align: 'centre',
    colour: MUTED,
  });
  if (plot.least !== undefined) {
    const y = yOf(plot.least);
    paper.line(left, y, left + width, y, { widthPt: 0.8, colour: ALARM, dash: [4, 2] });
    paper.text(plot.leastTitle, left + width + 4, y + 2.5, { sizePt: 7, colour: ALARM });
  }
  for (const line of plot.lines) {
    line.slice(1).forEach((point, index) => {
      const before = line[index]!;
      paper.line(xOf(before.across), yOf(before.up), xOf(point.across), yOf(point.up), {
        widthPt: 1.1,
        colour: INK,
      });
    });
  }
  for (const point of points) {
    paper.circle(xOf(point.across), yOf(point.up), 1.8, INK);
  }
  const last = plot.lines.at(-1)?.at(-1);
  if (last !== undefined) {
    paper.text(printable(last.name), xOf(last.across) + 5, yOf(last.up) - 3, { sizePt: 7 });
  }
  paper.line(left, top, left + width, top, { widthPt: 0.2, colour: RULE });
  flow.y = bottom + 20;
}

/** Never empty, so that a flat line has a place. */
function rangeOf(values: readonly number[]): { readonly from: number; readonly to: number } {
  const from = Math.min(...values);
  const to = Math.max(...values);
  return to - from > 1e-9 ? { from, to } : { from: from - 0.5, to: to + 0.5 };
}
