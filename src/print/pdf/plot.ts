/** A value along a run as a small diagram: the drawings' own plot; the table beside it holds the numbers. */
import type { Plot } from '../../documents/document.js';
import { plotPicture } from '../../drawing/index.js';
import type { Flow } from './flow.js';
import { writePicture } from './picture.js';

/** Points for each pixel: the plot's smallest text is then 1.9 mm high. */
const SCALE = 0.8;

export function writePlot(flow: Flow, plot: Plot): void {
  const list = plotPicture(plot);
  const { widthPx: width, heightPx: height } = list;
  flow.ensure(height * SCALE + 8);
  writePicture(flow.paper, list, {
    x: flow.left,
    y: flow.y + 4,
    scale: SCALE,
    part: { x: 0, y: 0, width, height },
  });
  flow.y += height * SCALE + 8;
}
