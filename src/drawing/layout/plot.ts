/** A plot → positions: axes with round numbers, the lines, the limit, and names at the right. */
import { formatNumber } from '../../model/quantity.js';
import type { PlotPoint, PlotScene } from '../scene/plot.js';
import type { Point, Rect } from './geometry.js';
import { anchored, fittedText, plannedText, type PlannedText, type TextLook } from './planned.js';
import type { TextMeasure } from './text-measure.js';

export interface PlannedPlot {
  readonly rect: Rect;
  readonly frame: readonly (readonly Point[])[];
  readonly grid: readonly (readonly Point[])[];
  readonly lines: readonly (readonly Point[])[];
  readonly dots: readonly Point[];
  /** Where the value is below the limit. */
  readonly crossed: readonly Point[];
  readonly limit: readonly Point[] | undefined;
  readonly texts: readonly PlannedText[];
}

export const PLOT_WIDTH = 430;
export const PLOT_HEIGHT = 190;

const LEFT = 58;
const RIGHT = 116;
const TOP = 28;
const BOTTOM = 34;
const TITLE: TextLook = { sizePx: 12, weight: 700, tone: 'ink' };
const TICK: TextLook = { sizePx: 9.5, weight: 400, tone: 'muted' };
const NAME: TextLook = { sizePx: 9.5, weight: 400, tone: 'ink' };
/** Names at the right stand at least so far apart. */
const NAME_PX = 13;

/** Lays a plot out from its upper left corner. */
export function layoutPlot(plot: PlotScene, measure: TextMeasure, at: Point): PlannedPlot {
  const points = plot.lines.flat();
  const { least } = plot;
  const ups = points.map(({ up }) => up);
  // A little below the limit, so that its line never lies on the axis.
  const belowLeast = least === undefined ? [] : [least - 0.05 * Math.abs(Math.max(...ups) - least)];
  const upTicks = ticksOf([...ups, ...belowLeast]);
  const acrossTicks = ticksOf([0, ...points.map(({ across }) => across)]);
  const left = at.x + LEFT;
  const right = at.x + PLOT_WIDTH - RIGHT;
  const top = at.y + TOP;
  const bottom = at.y + PLOT_HEIGHT - BOTTOM;
  const xOf = scaleOf(acrossTicks, left, right);
  const yOf = scaleOf(upTicks, bottom, top);
  const place = ({ across, up }: PlotPoint): Point => ({ x: xOf(across), y: yOf(up) });
  const isCrossed = ({ up }: PlotPoint): boolean => least !== undefined && up < least;
  const distinct = [...new Map(points.map((one) => [`${one.name} ${one.across}`, one])).values()];
  return {
    rect: { x: at.x, y: at.y, width: PLOT_WIDTH, height: PLOT_HEIGHT },
    frame: [
      [
        { x: left, y: top },
        { x: left, y: bottom },
        { x: right, y: bottom },
      ],
    ],
    grid: upTicks.slice(1).map((value) => [
      { x: left, y: yOf(value) },
      { x: right, y: yOf(value) },
    ]),
    lines: plot.lines.map((line) => line.map(place)),
    dots: distinct.filter((point) => !isCrossed(point)).map(place),
    crossed: distinct.filter(isCrossed).map(place),
    limit:
      least === undefined
        ? undefined
        : [
            { x: left, y: yOf(least) },
            { x: right, y: yOf(least) },
          ],
    texts: [
      fittedText(measure, plot.title, { x: at.x, baseline: at.y + 12 }, TITLE, PLOT_WIDTH),
      ...upTicks.map((value) =>
        anchored(
          plannedText(
            measure,
            numberText(value, upTicks, plot.up.unit),
            { x: left - 6, baseline: yOf(value) + 3.3 },
            TICK,
          ),
          'end',
        ),
      ),
      ...acrossTicks.map((value) =>
        anchored(
          plannedText(
            measure,
            numberText(value, acrossTicks, plot.across.unit),
            { x: xOf(value), baseline: bottom + 13 },
            TICK,
          ),
          'middle',
        ),
      ),
      anchored(
        plannedText(
          measure,
          plot.across.title,
          { x: (left + right) / 2, baseline: bottom + 27 },
          TICK,
        ),
        'middle',
      ),
      ...names(plot, distinct, measure, right + 8, yOf),
    ],
  };
}

/** The limit, and the place at which the value is lowest. */
function names(
  plot: PlotScene,
  points: readonly PlotPoint[],
  measure: TextMeasure,
  x: number,
  yOf: (value: number) => number,
): PlannedText[] {
  const { least, leastTitle, up } = plot;
  const lowest = points.reduce<PlotPoint | undefined>(
    (low, point) => (low === undefined || point.up <= low.up ? point : low),
    undefined,
  );
  const wanted = [
    ...(lowest === undefined
      ? []
      : [{ lines: [lowest.name, valueText(lowest.up, up.unit)], y: yOf(lowest.up) }]),
    ...(least === undefined
      ? []
      : [{ lines: [`${leastTitle} ${valueText(least, up.unit)}`], y: yOf(least) }]),
  ].sort((one, other) => one.y - other.y);
  let next = -Infinity;
  return wanted.flatMap(({ lines, y }) => {
    const first = Math.max(y - ((lines.length - 1) * NAME_PX) / 2, next);
    next = first + lines.length * NAME_PX;
    return lines.map((text, index) =>
      fittedText(measure, text, { x, baseline: first + index * NAME_PX + 3.3 }, NAME, RIGHT - 10),
    );
  });
}

function scaleOf(ticks: readonly number[], from: number, to: number): (value: number) => number {
  const first = ticks[0] ?? 0;
  const span = (ticks.at(-1) ?? 1) - first;
  return (value) => from + ((value - first) / span) * (to - from);
}

/** Three to six round numbers that hold all values between them; at least two however flat the values are. */
export function ticksOf(values: readonly number[]): readonly number[] {
  const low = Math.min(...values);
  const high = Math.max(...values);
  const span = Math.max(high - low, Math.abs(high) * 1e-3, 1e-3);
  const rough = span / 4;
  const decade = 10 ** Math.floor(Math.log10(rough));
  const step = decade * ([1, 2, 5, 10].find((one) => one * decade >= rough) ?? 10);
  const first = Math.floor(low / step + 1e-9);
  const last = Math.max(first + 1, Math.ceil(high / step - 1e-9));
  return Array.from({ length: last - first + 1 }, (_, index) => (first + index) * step);
}

function numberText(value: number, ticks: readonly number[], unit: string): string {
  const step = (ticks[1] ?? 1) - (ticks[0] ?? 0);
  return `${formatNumber(value, Math.max(0, Math.ceil(-Math.log10(step) - 1e-9)))} ${unit}`;
}

function valueText(value: number, unit: string): string {
  return `${formatNumber(value, 2)} ${unit}`;
}
