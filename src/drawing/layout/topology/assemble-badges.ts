import type { SceneFinding } from '../../scene/scene.js';
import type { Point } from '../geometry.js';
import type { AssembleContext } from './assemble.js';
import { boxOfAnchor } from './badge-counts.js';
import { badgesInRail, railMarksTop } from './rail.js';
import type { LabelWithMarks } from './assemble-wires.js';
import { badgeOf, type PlannedBadge } from '../planned.js';
import { BADGE, sheetMark, type PlacedHeader } from '../sheet.js';
import type { PlannedBand, PlannedBox } from './plan.js';
import * as size from './sizes.js';

export interface BadgePlaces {
  readonly boxes: readonly PlannedBox[];
  readonly bands: readonly PlannedBand[];
  readonly labels: readonly LabelWithMarks[];
  /** Where marks about the whole sheet stand: behind the title. */
  readonly header: PlacedHeader;
}

/** One mark for every finding: on the label of its line, at its box, in the rail, or behind the title. */
export function placeBadges(
  context: AssembleContext,
  places: BadgePlaces,
): { readonly badges: readonly PlannedBadge[]; readonly onSheet: number } {
  const onLabels = new Map<number, Point>();
  for (const label of places.labels) {
    for (const { number, centre } of label.badges) onLabels.set(number, centre);
  }
  const boxes = new Map(places.boxes.map((box) => [box.id, box]));
  const runs = new Map(context.scene.runs.map((run) => [run.id, run]));
  const used = new Map<string, number>();
  const next = (key: string) => {
    const count = used.get(key) ?? 0;
    used.set(key, count + 1);
    return count;
  };
  const badges = context.findings.map((finding, index) => {
    const number = index + 1;
    const box = boxes.get(boxOfAnchor(runs, finding.at) ?? '');
    const centre =
      onLabels.get(number) ??
      (box && besideBox(box, next(box.id))) ??
      inRail(context, places.bands, finding, next) ??
      sheetMark(places.header, next(SHEET));
    return badgeOf(number, finding, centre);
  });
  return { badges, onSheet: used.get(SHEET) ?? 0 };
}

const SHEET = '';

function besideBox(box: PlannedBox, index: number): Point {
  const { rect } = box;
  if (box.style !== 'field') {
    return { x: rect.x + rect.width - 12 - index * (BADGE + 1), y: rect.y };
  }
  const column = Math.floor(index / size.BADGES_IN_STACK);
  const line = index % size.BADGES_IN_STACK;
  return { x: rect.x - column * (BADGE + 1), y: rect.y + 9 + line * (BADGE + 0.5) };
}

function inRail(
  context: AssembleContext,
  bands: readonly PlannedBand[],
  finding: SceneFinding,
  next: (key: string) => number,
): Point | undefined {
  const { at } = finding;
  if (at.kind !== 'area') return undefined;
  const { railX, railPx } = context.geometry;
  const band = context.placement.bands.find((one) => one.areaId === at.id);
  const planned = band && bands[band.index];
  if (!planned) return undefined;
  const index = next(`area\u0001${at.id}`);
  const perLine = badgesInRail(railPx);
  return {
    x: railX + BADGE / 2 + (index % perLine) * (BADGE + 2),
    y:
      planned.rect.y +
      railMarksTop(context.scene, at.id, railPx, context.measure) +
      Math.floor(index / perLine) * (BADGE + 2),
  };
}
