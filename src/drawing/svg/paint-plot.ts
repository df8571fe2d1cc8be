/** Planned plot → draw nodes. */
import { layoutPlot, type PlannedPlot } from '../layout/plot.js';
import type { Point } from '../layout/geometry.js';
import type { PlotScene } from '../scene/plot.js';
import { circle, group, line, type DrawList, type DrawNode } from './draw-list.js';
import { textNode } from './marks.js';
import { fontMeasure } from './text-measure.js';

export function paintPlot(plot: PlannedPlot, title: string): DrawNode {
  return group(
    'fd-plot',
    [
      ...plot.grid.map((points) => line('fd-grid', points)),
      ...plot.frame.map((points) => line('fd-axis', points)),
      ...(plot.limit === undefined ? [] : [line('fd-limit', plot.limit)]),
      ...plot.lines.map((points) => line('fd-curve', points)),
      ...plot.dots.map((point) => circle('fd-plot-dot', point, 2.6)),
      ...plot.crossed.flatMap((point) => crossAt(point)),
      ...plot.texts.map(textNode),
    ],
    { title },
  );
}

/** A plot as a picture of its own. */
export function plotPicture(scene: PlotScene): DrawList {
  const plot = layoutPlot(scene, fontMeasure, { x: 0, y: 0 });
  return {
    view: 'plot',
    title: scene.title,
    description: scene.title,
    widthPx: plot.rect.width,
    heightPx: plot.rect.height,
    children: [paintPlot(plot, scene.title)],
  };
}

/** A place below the limit: told from the others without colour. */
function crossAt({ x, y }: Point): DrawNode[] {
  const half = 4;
  return [
    line('fd-missing-cross', [
      { x: x - half, y: y - half },
      { x: x + half, y: y + half },
    ]),
    line('fd-missing-cross', [
      { x: x - half, y: y + half },
      { x: x + half, y: y - half },
    ]),
  ];
}
