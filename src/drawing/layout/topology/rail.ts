/** The rail at the left of the picture: title and level of each band, and marks of findings about it. */
import type { TopologyScene } from '../../scene/scene.js';
import { TEXTS } from '../../texts.js';
import { BADGE } from '../sheet.js';
import { fitText, wrapText, type TextMeasure } from '../text-measure.js';
import type { Placement } from './placement.js';
import * as size from './sizes.js';

const MOST_TITLE_LINES = 3;
/** Room between the rail's texts and what stands right of it. */
const RAIL_GAP = 14;

/** Width of the rail: that of the widest title, within limits. */
export function railWidth(
  scene: TopologyScene,
  placement: Placement,
  measure: TextMeasure,
): number {
  const widest = Math.max(
    ...placement.bands.map((band) => measure.width(titleOf(scene, band.areaId), size.AREA_PX, 700)),
  );
  return Math.ceil(Math.min(size.RAIL_MOST, Math.max(size.RAIL_LEAST, widest + RAIL_GAP + 4)));
}

/** A band's title in the lines that it takes in the rail. */
export function railTitle(title: string, railPx: number, measure: TextMeasure): string[] {
  const limit = railPx - RAIL_GAP;
  const lines = wrapText(measure, title, size.AREA_PX, 700, limit);
  const kept = lines.slice(0, MOST_TITLE_LINES);
  const rest = lines.slice(MOST_TITLE_LINES);
  const last = kept.pop();
  if (last !== undefined) kept.push([last, ...rest].join(' '));
  return kept.map((line) => fitText(measure, line, size.AREA_PX, 700, limit));
}

/** Height below a band's top at which its marks stand. */
export function railMarksTop(
  scene: TopologyScene,
  areaId: string | undefined,
  railPx: number,
  measure: TextMeasure,
): number {
  const lines = railTitle(titleOf(scene, areaId), railPx, measure);
  return size.RAIL_TEXTS + (lines.length - 1) * size.AREA_LINE;
}

/** How many marks stand side by side. */
export function badgesInRail(railPx: number): number {
  return Math.max(1, Math.floor((railPx - 10) / (BADGE + 2)));
}

/** Height that title, level and marks of each band need. */
export function railHeights(
  scene: TopologyScene,
  placement: Placement,
  railPx: number,
  measure: TextMeasure,
): readonly number[] {
  const counts = new Map<string, number>();
  for (const { at } of scene.findings) {
    if (at.kind === 'area') counts.set(at.id, (counts.get(at.id) ?? 0) + 1);
  }
  return placement.bands.map(({ areaId }) => {
    const lines = Math.ceil((counts.get(areaId ?? '') ?? 0) / badgesInRail(railPx));
    return railMarksTop(scene, areaId, railPx, measure) + lines * (BADGE + 2);
  });
}

function titleOf(scene: TopologyScene, areaId: string | undefined): string {
  return scene.areas.find((area) => area.id === areaId)?.title ?? TEXTS.unplaced;
}
