/** The topology layout from scene to plan: pure, deterministic, independent of the order of declarations. */
import { canonicalTopology } from '../../scene/canonical.js';
import type { SceneFinding, TopologyScene } from '../../scene/scene.js';
import { countCrossings } from '../crossings.js';
import { HEADER_HEIGHT } from '../sheet.js';
import type { TextMeasure } from '../text-measure.js';
import { badgesByBox } from './badge-counts.js';
import { railHeights, railWidth } from './rail.js';
import { factsOf, fieldSizes, hostAddressesOf, stripBoxes } from './boxes.js';
import { assemblePlan } from './assemble.js';
import { formClusters } from './clusters.js';
import { computeGeometry } from './coordinates.js';
import {
  chooseGrid,
  type CellEstimate,
  type Grid,
  type GridMemory,
  type StartSide,
} from './grid.js';
import { framesOf } from './frames.js';
import type { TopologyPlan } from './plan.js';
import { placeDevices, type Placement } from './placement.js';
import * as size from './sizes.js';
import { buildWiring } from './build-wiring.js';
import { segmentKey } from './wiring.js';

export interface TopologyOptions {
  readonly measure: TextMeasure;
  /** The grid of the previous picture of the same site, so that one edit moves little. */
  readonly previous?: GridMemory;
  /** Long lines as pairs of flags: `auto` turns them on for large sites. */
  readonly flags?: 'auto' | 'always' | 'never';
}

/** Sites with more devices than this get flags instead of lines over many floors. */
export const FLAGS_ABOVE_DEVICES = 150;

export function layoutTopology(original: TopologyScene, options: TopologyOptions): TopologyPlan {
  const scene = canonicalTopology(original);
  const placement = placeDevices(scene);
  const sizes = estimate(scene, placement, options.measure);
  const attempt = (startSide: StartSide) => {
    const grid = chooseGrid(placement, sizes, startSide, options.previous);
    return layoutOn(grid, scene, placement, options);
  };
  if (options.previous) return attempt(options.previous.startSide);
  let best = attempt('left');
  let bestCost = crossingCost(best);
  for (const startSide of ['roots-right', 'headed-right'] as const) {
    if (bestCost === 0) break;
    const other = attempt(startSide);
    const cost = crossingCost(other);
    if (cost < bestCost) {
      best = other;
      bestCost = cost;
    }
  }
  return best;
}

/** Crossings among buses weigh more than those with supplies, which are a layer that can be hidden. */
function crossingCost({ wires }: TopologyPlan): number {
  const withoutSupplies = wires.filter((wire) => wire.layer !== 'feed' && wire.layer !== 'branch');
  return countCrossings(wires) + 3 * countCrossings(withoutSupplies);
}

function layoutOn(
  grid: Grid,
  scene: TopologyScene,
  placement: Placement,
  options: TopologyOptions,
): TopologyPlan {
  const { measure } = options;
  const withFlags =
    options.flags === 'always' ||
    (options.flags !== 'never' && scene.devices.length > FLAGS_ABOVE_DEVICES);
  const anchors = findingsByRun(scene.findings);
  const wiring = buildWiring(scene, placement, grid, {
    withFlags,
    findingsOf: ({ runId, segmentId }) =>
      anchors.get(segmentId === undefined ? runId : segmentKey(runId, segmentId)) ?? [],
  });
  const clusters = formClusters(wiring.slots, measure);
  const hostAddresses = hostAddressesOf(scene);
  const badges = badgesByBox(scene);
  const sizes = fieldSizes({ grid, wiring, clusters, hostAddresses, badges, measure });
  const frames = framesOf(grid);
  const strips = stripBoxes(placement, wiring, scene, badges, measure);
  const railPx = railWidth(scene, placement, measure);
  const geometry = computeGeometry({
    placement,
    grid,
    wiring,
    clusters,
    strips,
    sizes,
    railPx,
    topPx: HEADER_HEIGHT,
    framedRows: new Set(frames.map((frame) => frame.row)),
    railHeights: railHeights(scene, placement, railPx, measure),
    badgesOfBox: badges,
    measure,
  });
  return assemblePlan({
    scene,
    placement,
    grid,
    wiring,
    clusters,
    strips,
    sizes,
    frames,
    geometry,
    measure,
  });
}

/** Numbers of findings by the run or segment they are about. */
function findingsByRun(findings: readonly SceneFinding[]): ReadonlyMap<string, readonly number[]> {
  const numbers = new Map<string, number[]>();
  findings.forEach(({ at }, index) => {
    const key =
      at.kind === 'segment'
        ? segmentKey(at.runId, at.id)
        : at.kind === 'run' || at.kind === 'network'
          ? at.id
          : undefined;
    if (key === undefined) return;
    const list = numbers.get(key);
    if (list) list.push(index + 1);
    else numbers.set(key, [index + 1]);
  });
  return numbers;
}

/** Rough sizes for the choice of columns and slices; the real ones follow from the lines. */
function estimate(scene: TopologyScene, placement: Placement, measure: TextMeasure): CellEstimate {
  const addresses = hostAddressesOf(scene);
  const widest = Math.max(
    size.BOX_LEAST_WIDTH,
    ...scene.devices.map((device) =>
      Math.min(
        size.BOX_MOST_WIDTH,
        2 * size.BOX_PAD +
          Math.max(
            size.ICON + 6 + measure.width(device.tag, size.TAG_PX, 700),
            measure.width(factsOf(device, addresses.get(device.id) ?? []), size.DETAIL_PX, 400),
          ),
      ),
    ),
  );
  const stripPx = placement.bands.map((band) => {
    const heights = [placement.left, placement.right].map((strip) =>
      (strip[band.index] ?? []).reduce(
        (sum, item) =>
          sum +
          80 +
          (item.kind === 'board' ? item.board.ways.length * size.STRIP_ROW : size.STRIP_ROW),
        0,
      ),
    );
    return Math.max(...heights);
  });
  return {
    columnPx: widest + size.COLUMN_GAP,
    rowPx: 150,
    satellitePx: size.SATELLITE_HEIGHT + size.SATELLITE_GAP,
    gutterPx: 60,
    leftPx: 150 + (placement.left.some((items) => items.length > 0) ? 260 : 0),
    rightPx: placement.right.some((items) => items.length > 0) ? 260 : 0,
    stripPx,
  };
}
