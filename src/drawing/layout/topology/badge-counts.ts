/** How many marks of findings stand at each box and in the rail: they need room before anything is placed. */
import type { SceneAnchor, SceneRun, TopologyScene } from '../../scene/scene.js';
import { BADGE } from '../sheet.js';
import type { Placement } from './placement.js';
import * as size from './sizes.js';
import { boardBoxId } from './wiring.js';

/** The box at which a finding's mark stands; undefined for marks that stand elsewhere. */
export function boxOfAnchor(
  runs: ReadonlyMap<string, SceneRun>,
  at: SceneAnchor,
): string | undefined {
  switch (at.kind) {
    case 'device':
      return at.id;
    case 'board':
      return boardBoxId(at.id);
    case 'landing':
      return ownerBox(runs.get(at.runId)?.landings.find((landing) => landing.id === at.id));
    case 'run':
      // A run without a drawn line: its mark stands at the first thing it lands on.
      return ownerBox(runs.get(at.id)?.landings[0]);
    case 'area':
    case 'segment':
    case 'network':
    case 'sheet':
      return undefined;
  }
}

/** The most marks that may stand at each box. */
export function badgesByBox(scene: TopologyScene): ReadonlyMap<string, number> {
  const runs = new Map(scene.runs.map((run) => [run.id, run]));
  const counts = new Map<string, number>();
  for (const { at } of scene.findings) {
    const id = boxOfAnchor(runs, at);
    if (id !== undefined) counts.set(id, (counts.get(id) ?? 0) + 1);
  }
  return counts;
}

/** Width that marks side by side on the upper edge of a box need. */
export function badgeRowPx(count: number): number {
  return count === 0 ? 0 : count * (BADGE + 1) + 10;
}

/** Marks of areas stand in lines below the level. */
export function badgesInRail(railPx: number): number {
  return Math.max(1, Math.floor((railPx - 10) / (BADGE + 2)));
}

/** Height that title, level and marks of each band need. */
export function railHeights(
  scene: TopologyScene,
  placement: Placement,
  railPx: number,
): readonly number[] {
  const counts = new Map<string, number>();
  for (const { at } of scene.findings) {
    if (at.kind === 'area') counts.set(at.id, (counts.get(at.id) ?? 0) + 1);
  }
  return placement.bands.map((band) => {
    const lines = Math.ceil((counts.get(band.areaId ?? '') ?? 0) / badgesInRail(railPx));
    return size.RAIL_TEXTS + lines * (BADGE + 2);
  });
}

function ownerBox(landing: { readonly owner: SceneRun['landings'][number]['owner'] } | undefined) {
  if (landing === undefined) return undefined;
  const { kind, id } = landing.owner;
  return kind === 'board' ? boardBoxId(id) : id;
}
