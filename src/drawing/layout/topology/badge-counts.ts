/** How many marks of findings stand at each box: they need room before anything is placed. */
import type { SceneAnchor, SceneRun, TopologyScene } from '../../scene/scene.js';
import { BADGE } from '../sheet.js';
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
    case 'node':
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

function ownerBox(landing: { readonly owner: SceneRun['landings'][number]['owner'] } | undefined) {
  if (landing === undefined) return undefined;
  const { kind, id } = landing.owner;
  return kind === 'board' ? boardBoxId(id) : id;
}
