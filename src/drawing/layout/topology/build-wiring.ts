/** The third step of the topology layout: how each line runs. */
import type { TopologyScene } from '../../scene/scene.js';
import { Ends } from './ends.js';
import type { Grid } from './grid.js';
import { Pieces } from './pieces.js';
import type { Placement } from './placement.js';
import { RunWires } from './wire-runs.js';
import { TrunkWires } from './wire-trunks.js';
import type { Wiring, WiringOptions } from './wiring.js';

export function buildWiring(
  scene: TopologyScene,
  placement: Placement,
  grid: Grid,
  options: WiringOptions,
): Wiring {
  const ends = new Ends(placement, grid);
  const pieces = new Pieces(grid);
  const runs = new RunWires(placement, ends, pieces, options);
  const trunks = new TrunkWires(ends, pieces, options);
  for (const run of scene.runs) runs.add(run);
  for (const branch of scene.branches) trunks.addBranch(branch);
  for (const network of scene.networks) trunks.addNetwork(network);
  return {
    wires: [...runs.wires, ...trunks.wires],
    slots: pieces.slots,
    pins: pieces.pins,
    spans: pieces.spans,
    runs: pieces.runs,
    gapLabels: runs.gapLabels,
  };
}
