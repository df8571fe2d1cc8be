/** What every drawing has around its own layers: ground, title, findings, legend and list. */
import type { PlannedBadge, PlannedFinding, PlannedText } from '../layout/planned.js';
import type { Point } from '../layout/geometry.js';
import type { PlannedLegendItem } from '../layout/sheet.js';
import type { TextMeasure } from '../layout/text-measure.js';
import type { SceneTitle } from '../scene/scene.js';
import { group, rectangle, type DrawList, type DrawNode } from './draw-list.js';
import { badgeNode, listedFindings, textNode } from './marks.js';

export interface SheetPlan<Key extends string> {
  readonly view: DrawList['view'];
  readonly sheet: SceneTitle;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly header: readonly PlannedText[];
  readonly badges: readonly PlannedBadge[];
  readonly legend: readonly PlannedLegendItem<Key>[];
  readonly findings: readonly PlannedFinding[];
  readonly footerTexts: readonly PlannedText[];
}

/** What differs from drawing to drawing. */
export interface SheetContent<Key extends string> {
  /** From the ground upwards; findings, legend and list lie above them. */
  readonly layers: readonly DrawNode[];
  readonly sample: (key: Key, at: Point, measure: TextMeasure) => readonly DrawNode[];
}

export function paintSheet<Key extends string>(
  plan: SheetPlan<Key>,
  measure: TextMeasure,
  { layers, sample }: SheetContent<Key>,
): DrawList {
  const { widthPx, heightPx } = plan;
  return {
    view: plan.view,
    title: plan.sheet.title,
    description: plan.sheet.subtitle,
    widthPx,
    heightPx,
    children: [
      rectangle('fd-ground', { x: 0, y: 0, width: widthPx, height: heightPx }),
      layer('sheet', plan.header.map(textNode)),
      ...layers,
      layer(
        'findings',
        plan.badges.map((badge) => badgeNode(badge, measure)),
      ),
      layer(
        'legend',
        plan.legend.flatMap((item) => [
          ...sample(item.key, item.sample, measure),
          textNode(item.text),
        ]),
      ),
      layer('list', [...plan.footerTexts.map(textNode), ...listedFindings(plan.findings, measure)]),
    ],
  };
}

export function layer(name: string, children: readonly DrawNode[]): DrawNode {
  return group(`fd-layer-${name}`, children);
}
