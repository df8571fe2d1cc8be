/** IP plan → draw list. */
import type { FieldUse, IpLegendKey, IpPlan, PlannedField } from '../layout/ip/layout.js';
import type { Point, Rect } from '../layout/geometry.js';
import { SAMPLE_PX } from '../layout/sheet.js';
import type { TextMeasure } from '../layout/text-measure.js';
import { group, line, rectangle, type DrawList, type DrawNode } from './draw-list.js';
import { hatch } from './hatch.js';
import { findingMark, textNode } from './marks.js';
import { layer, paintSheet } from './paint-sheet.js';

export function paintIp(plan: IpPlan, measure: TextMeasure): DrawList {
  return paintSheet(plan, measure, {
    layers: [
      layer(
        'networks',
        plan.networks.map((network) =>
          group('fd-network', [
            group('fd-network-title', network.texts.map(textNode), {
              mark: network.mark,
              title: network.description,
            }),
            ...network.rowNames.map(textNode),
            ...network.fields.map(paintField),
            ...network.holders.map((holder) =>
              group(
                'fd-holder',
                [rectangle('fd-row', holder.rect), ...holder.texts.map(textNode)],
                {
                  mark: holder.mark,
                  title: holder.description,
                },
              ),
            ),
          ]),
        ),
      ),
    ],
    sample: legendSample,
  });
}

function paintField(field: PlannedField): DrawNode {
  const { text, use } = field;
  const onDark = use === 'used' || use === 'router';
  return group(
    'fd-address-group',
    [
      ...fieldLook(use, field.rect),
      ...(field.inPool ? [line('fd-over-mark', underline(field.rect))] : []),
      ...(text === undefined
        ? []
        : [{ ...textNode(text), className: onDark ? 'fd-on-used' : 'fd-ink' }]),
    ],
    { title: field.description, ...(field.mark === undefined ? {} : { mark: field.mark }) },
  );
}

/** Told from each other without colour: filled, ringed, dashed, hatched, crossed, empty. */
function fieldLook(use: FieldUse, rect: Rect): DrawNode[] {
  const { x, y, width, height } = rect;
  switch (use) {
    case 'used':
      return [rectangle('fd-address-used', rect, 2)];
    case 'router':
      return [
        rectangle('fd-address-used', rect, 2),
        rectangle(
          'fd-address-ring',
          { x: x + 2.5, y: y + 2.5, width: width - 5, height: height - 5 },
          1,
        ),
      ];
    case 'laptop':
      return [rectangle('fd-address-laptop', rect, 2)];
    case 'pool':
      return [rectangle('fd-address', rect), ...hatch('fd-grid-hatch', rect, 6)];
    case 'reserved':
      return [
        rectangle('fd-address', rect),
        line('fd-rule', [
          { x, y },
          { x: x + width, y: y + height },
        ]),
        line('fd-rule', [
          { x, y: y + height },
          { x: x + width, y },
        ]),
      ];
    case 'free':
      return [rectangle('fd-address', rect)];
  }
}

function underline({ x, y, width, height }: Rect): Point[] {
  return [
    { x, y: y + height },
    { x: x + width, y: y + height },
  ];
}

function legendSample(key: IpLegendKey, at: Point, measure: TextMeasure): DrawNode[] {
  if (key === 'error' || key === 'warning' || key === 'hint') {
    const centre = { x: at.x + SAMPLE_PX / 2, y: at.y };
    return findingMark(key, 1, centre, (text, px) => measure.width(text, px, 700));
  }
  return fieldLook(key, { x: at.x + 4, y: at.y - 9, width: 27, height: 18 });
}
