import type { SceneFinding } from '../../scene/scene.js';
import type { Point } from '../geometry.js';
import type { AssembleContext } from './assemble.js';
import type { LabelWithMarks } from './assemble-wires.js';
import { badgeOf, type PlannedBadge } from '../planned.js';
import { BADGE, sheetMark, type PlacedHeader } from '../sheet.js';
import type { PlannedBand, PlannedBox } from './plan.js';
import * as size from './sizes.js';
import { boardBoxId } from './wiring.js';

export interface BadgePlaces {
  readonly boxes: readonly PlannedBox[];
  readonly bands: readonly PlannedBand[];
  readonly labels: readonly LabelWithMarks[];
  /** Where marks about the whole sheet stand: behind the title. */
  readonly header: PlacedHeader;
}

/** One mark for every finding: on the label of its line, at its box, in the rail, or behind the title. */
export function placeBadges(context: AssembleContext, places: BadgePlaces): PlannedBadge[] {
  const onLabels = new Map<number, Point>();
  for (const label of places.labels) {
    for (const { number, centre } of label.badges) onLabels.set(number, centre);
  }
  const boxes = new Map(places.boxes.map((box) => [box.id, box]));
  const bands = new Map(
    context.placement.bands.map((band) => [band.areaId, places.bands[band.index]]),
  );
  const used = new Map<string, number>();
  const next = (key: string) => {
    const count = used.get(key) ?? 0;
    used.set(key, count + 1);
    return count;
  };
  return context.findings.map((finding, index) => {
    const number = index + 1;
    const centre =
      onLabels.get(number) ??
      placeOf(context, finding, boxes, bands, next) ??
      sheetMark(places.header, next('sheet'));
    return badgeOf(number, finding, centre);
  });
}

function placeOf(
  context: AssembleContext,
  finding: SceneFinding,
  boxes: ReadonlyMap<string, PlannedBox>,
  bands: ReadonlyMap<string | undefined, PlannedBand | undefined>,
  next: (key: string) => number,
): Point | undefined {
  const { at } = finding;
  switch (at.kind) {
    case 'device':
      return besideBox(boxes.get(at.id), next);
    case 'board':
      return besideBox(boxes.get(boardBoxId(at.id)), next);
    case 'landing': {
      const run = context.scene.runs.find((one) => one.id === at.runId);
      const owner = run?.landings.find((landing) => landing.id === at.id)?.owner;
      return owner && besideBox(boxes.get(boxIdOf(owner)), next);
    }
    case 'run': {
      // A run without a drawn line: its mark stands at the first device it lands on.
      const owner = context.scene.runs.find((run) => run.id === at.id)?.landings[0]?.owner;
      if (!owner) return undefined;
      return besideBox(boxes.get(boxIdOf(owner)), next);
    }
    case 'area': {
      const band = bands.get(at.id);
      if (!band) return undefined;
      const index = next(`area\u0001${at.id}`);
      return {
        x: context.geometry.railX + BADGE / 2 + index * (BADGE + 2),
        y: band.rect.y + 64,
      };
    }
    case 'segment':
    case 'network':
    case 'sheet':
      return undefined;
  }
}

function boxIdOf(owner: { kind: 'device' | 'board'; id: string }): string {
  return owner.kind === 'board' ? boardBoxId(owner.id) : owner.id;
}

function besideBox(box: PlannedBox | undefined, next: (key: string) => number): Point | undefined {
  if (!box) return undefined;
  const index = next(box.id);
  const { rect } = box;
  if (box.style === 'field') {
    const column = Math.floor(index / size.BADGES_IN_STACK);
    const row = index % size.BADGES_IN_STACK;
    return {
      x: rect.x - column * (BADGE + 1),
      y: rect.y + 9 + row * (BADGE + 0.5),
    };
  }
  return { x: rect.x + rect.width - 12 - index * (BADGE + 1), y: rect.y };
}
