/** Drawings: scene → layout → draw list → SVG. Pure: the same scene gives the same bytes. */
import { layoutTopology } from './layout/topology/layout.js';
import type { GridMemory } from './layout/topology/grid.js';
import type { TopologyPlan } from './layout/topology/plan.js';
import type { TopologyScene } from './scene/scene.js';
import type { DrawList } from './svg/draw-list.js';
import { paintTopology } from './svg/paint-topology.js';
import { fontMeasure } from './svg/text-measure.js';
import { writeSvg } from './svg/write-svg.js';

export type * from './scene/scene.js';
export type { DrawList } from './svg/draw-list.js';

/** What carries over from one picture of a site to the next, so that an edit moves little. */
export type LayoutMemory = GridMemory;

export interface DrawOptions {
  readonly previous?: LayoutMemory;
  /** Long lines as pairs of flags: on above 150 devices where left out. */
  readonly flags?: 'auto' | 'always' | 'never';
}

export interface Drawing {
  readonly svg: string;
  readonly list: DrawList;
  readonly memory: LayoutMemory | undefined;
}

export function planTopology(scene: TopologyScene, options: DrawOptions = {}): TopologyPlan {
  return layoutTopology(scene, { measure: fontMeasure, ...options });
}

/** The topology of a site as SVG. */
export function drawTopologyScene(scene: TopologyScene, options: DrawOptions = {}): Drawing {
  const plan = planTopology(scene, options);
  const list = paintTopology(plan, fontMeasure);
  return { svg: writeSvg(list), list, memory: plan.memory };
}
