/** Power plan → draw list. */
import type { Point, Rect } from '../layout/geometry.js';
import type {
  PlannedBar,
  PlannedNode,
  PlannedTaps,
  PowerLegendKey,
  PowerPlan,
} from '../layout/power/layout.js';
import { SAMPLE_PX } from '../layout/sheet.js';
import type { TextMeasure } from '../layout/text-measure.js';
import type { PlotScene } from '../scene/plot.js';
import { group, line, rectangle, type DrawList, type DrawNode } from './draw-list.js';
import { hatch } from './hatch.js';
import { findingMark, textNode } from './marks.js';
import { paintPlot } from './paint-plot.js';
import { layer, paintSheet } from './paint-sheet.js';

export function paintPower(
  plan: PowerPlan,
  profiles: readonly PlotScene[],
  measure: TextMeasure,
): DrawList {
  return paintSheet(plan, measure, {
    layers: [
      layer(
        'links',
        plan.links.map((points) => line('fd-link', points, 5)),
      ),
      layer('nodes', plan.nodes.map(paintNode)),
      layer('lists', plan.lists.map(paintList)),
      layer(
        'plots',
        plan.plots.map((plot, at) => paintPlot(plot, profiles[at]?.title ?? '')),
      ),
    ],
    sample: legendSample,
  });
}

function paintNode(node: PlannedNode): DrawNode {
  const className = [
    'fd-box',
    ...(node.kind === 'unfed' || node.use === 'over' ? ['fd-over'] : []),
    ...(node.existing ? ['fd-existing'] : []),
  ].join(' ');
  return group(
    `fd-node fd-node-${node.kind}`,
    [
      rectangle(className, node.rect, node.kind === 'feed' || node.kind === 'bus' ? 9 : 2),
      ...(node.kind === 'board' ? [rectangle('fd-cap', edge(node.rect))] : []),
      ...(node.bar === undefined ? [] : paintBar(node.bar)),
      ...node.texts.map(textNode),
    ],
    { mark: node.mark, title: node.description },
  );
}

/** The bar at which the ways of a board begin. */
function edge({ x, y, width, height }: Rect): Rect {
  return { x: x + width - 4, y, width: 4, height };
}

function paintBar({ rect, filledPx, use }: PlannedBar): DrawNode[] {
  const filled = { ...rect, width: filledPx };
  return [
    rectangle('fd-bar-room', rect),
    ...(filledPx <= 0
      ? []
      : use === 'near'
        ? [...hatch('fd-hatch', filled, 5), rectangle('fd-bar-edge', filled)]
        : [rectangle(use === 'over' ? 'fd-bar-over' : 'fd-bar-filled', filled)]),
    ...(use === 'over'
      ? [
          line('fd-over-mark', [
            { x: rect.x + rect.width, y: rect.y - 2 },
            { x: rect.x + rect.width, y: rect.y + rect.height + 2 },
          ]),
        ]
      : []),
  ];
}

function paintList(list: PlannedTaps): DrawNode {
  const { x, width } = list.rect;
  return group('fd-taps', [
    rectangle('fd-box', list.rect, 2),
    ...list.headings.map(textNode),
    line('fd-rule', [
      { x, y: list.headingBottom },
      { x: x + width, y: list.headingBottom },
    ]),
    ...list.rows.map((row) =>
      group(
        'fd-tap',
        [
          rectangle(row.broken ? 'fd-cover-missing' : 'fd-row', {
            x: row.rect.x + 2,
            y: row.rect.y + 1,
            width: row.rect.width - 4,
            height: row.rect.height - 2,
          }),
          ...row.texts.map(textNode),
        ],
        { mark: row.mark, title: row.description },
      ),
    ),
  ]);
}

function legendSample(key: PowerLegendKey, at: Point, measure: TextMeasure): DrawNode[] {
  const rect = { x: at.x, y: at.y - 5, width: SAMPLE_PX, height: 9 };
  const bar = (filled: number, use: PlannedBar['use']) =>
    paintBar({ rect, filledPx: filled * SAMPLE_PX, use });
  switch (key) {
    case 'loadNormal':
      return bar(0.5, 'normal');
    case 'loadNear':
      return bar(0.85, 'near');
    case 'loadOver':
      return bar(1, 'over');
    case 'limit':
      return [line('fd-limit', [at, { x: at.x + SAMPLE_PX, y: at.y }])];
    default:
      return findingMark(key, 1, { x: at.x + SAMPLE_PX / 2, y: at.y }, (text, px) =>
        measure.width(text, px, 700),
      );
  }
}
