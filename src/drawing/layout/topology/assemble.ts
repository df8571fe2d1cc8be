/** The last step of the topology layout: turns positions into everything that is drawn. */
import type { SceneFinding, TopologyScene } from '../../scene/scene.js';
import { LEAST_WIDTH, placeHeader } from '../sheet.js';
import type { TextMeasure } from '../text-measure.js';
import { placeBadges } from './assemble-badges.js';
import { placeBands, placeFrames } from './assemble-bands.js';
import { placeBars } from './assemble-bars.js';
import { placeBoxes } from './assemble-boxes.js';
import { satellitePins } from './rects.js';
import { placeFooter } from './assemble-sheet.js';
import { placeLabels, placeSymbols, placeWires } from './assemble-wires.js';
import type { FieldSizes, StripBox } from './boxes.js';
import type { Cluster, ClusterKey } from './clusters.js';
import type { Geometry } from './geometry.js';
import type { RoomFrame } from './frames.js';
import type { Grid } from './grid.js';
import type { Placement } from './placement.js';
import type { RunStyle, TopologyPlan } from './plan.js';
import type { Wiring } from './wiring.js';

export interface AssembleInput {
  readonly scene: TopologyScene;
  readonly placement: Placement;
  readonly grid: Grid;
  readonly wiring: Wiring;
  readonly clusters: ReadonlyMap<ClusterKey, Cluster>;
  readonly strips: ReadonlyMap<string, StripBox>;
  readonly sizes: FieldSizes;
  readonly frames: readonly RoomFrame[];
  readonly geometry: Geometry;
  readonly measure: TextMeasure;
}

export interface AssembleContext extends AssembleInput {
  readonly satellitePinY: ReadonlyMap<string, number>;
  readonly findings: readonly SceneFinding[];
}

export function assemblePlan(input: AssembleInput): TopologyPlan {
  const context: AssembleContext = {
    ...input,
    satellitePinY: satellitePins(input),
    findings: input.scene.findings,
  };
  const boxes = placeBoxes(context);
  const labels = placeLabels(context);
  const wires = placeWires(context, labels);
  const symbols = placeSymbols(context);
  const bands = placeBands(context);
  const { sheet } = input.scene;
  const places = { boxes, bands, labels, header: placeHeader(sheet, 0, input.measure, 0) };
  const { badges, onSheet } = placeBadges(context, places);
  const headerPx = placeHeader(sheet, onSheet, input.measure, 0).widthPx;
  const widthPx = Math.ceil(Math.max(input.geometry.widthPx, headerPx, LEAST_WIDTH));
  const footer = placeFooter(context, { wires, symbols, widthPx });
  return {
    view: 'topology',
    widthPx,
    heightPx: footer.bottomPx,
    sheet,
    header: placeHeader(sheet, onSheet, input.measure, widthPx).texts,
    bands: bands.map((band) => ({ ...band, rect: { ...band.rect, width: widthPx } })),
    frames: placeFrames(context),
    boxes,
    bars: placeBars(context),
    wires,
    labels: labels.map(({ planned }) => planned),
    symbols,
    badges,
    legend: footer.legend,
    findings: footer.findings,
    footerTexts: footer.texts,
    runStyles: runStyles(input),
    memory: input.grid.memory,
  };
}

/** Colours and dashes by the order of names: neighbours differ in both. Links inside rooms share one look. */
export const RUN_COLOURS = 6;
export const RUN_DASHES = 7;

function runStyles({ scene, placement }: AssembleInput): ReadonlyMap<string, RunStyle> {
  const styles = new Map<string, RunStyle>();
  let index = 0;
  for (const run of scene.runs) {
    if (placement.sideOfRun.get(run.id) !== 'bottom') continue;
    styles.set(run.id, { colour: index % RUN_COLOURS, dash: index % RUN_DASHES });
    index++;
  }
  return styles;
}
