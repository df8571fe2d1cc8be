/** The measures that the other tests trust: each finds the fault that it is for. */
import { describe, expect, it } from 'vitest';
import { planTopology } from '../../src/drawing/index.js';
import type { Point } from '../../src/drawing/layout/geometry.js';
import type { TopologyPlan } from '../../src/drawing/layout/topology/plan.js';
import {
  boxesOnBoxes,
  crossings,
  labelsOnBoxes,
  labelsOnLabels,
  linesThroughBoxes,
  linesThroughLabels,
  outOfPicture,
  sharedLines,
  textsOutOfBoxes,
} from '../support/drawing-metrics.js';
import { randomScene } from '../support/scenes.js';

const plan = planTopology(randomScene(6, 40));
const box = plan.boxes[0]!;
const label = plan.labels.find((one) => one.text !== undefined)!;
const middle = { x: box.rect.x + box.rect.width / 2, y: box.rect.y + box.rect.height / 2 };

function withLine(id: string, points: readonly Point[]): TopologyPlan {
  const wire = { ...plan.wires[0]!, id, lines: [points], dots: [] };
  return { ...plan, wires: [...plan.wires, wire] };
}

function withLabelAt(at: Point): TopologyPlan {
  const text = { ...label.text!, x: at.x, baseline: at.y };
  return {
    ...plan,
    labels: [...plan.labels, { ...label, wireId: 'other', text, pill: undefined }],
  };
}

describe('the measures of a picture', () => {
  it('find a line through a box and through a label', () => {
    const line = [
      { x: box.rect.x - 20, y: middle.y },
      { x: box.rect.x + box.rect.width + 20, y: middle.y },
    ];
    expect(linesThroughBoxes(withLine('strange', line))).toContain(`strange through ${box.id}`);
    const { x, y, height } = label.rect;
    const across = [
      { x: x + 4, y: y - 30 },
      { x: x + 4, y: y + height + 30 },
    ];
    expect(linesThroughLabels(withLine('strange', across)).join()).toContain('strange through');
  });

  it('find a label on a label, on a box, and outside the picture', () => {
    expect(
      labelsOnLabels(withLabelAt({ x: label.text!.x + 1, y: label.text!.baseline })),
    ).not.toEqual([]);
    expect(labelsOnBoxes(withLabelAt(middle)).join()).toContain(`on box ${box.id}`);
    expect(outOfPicture(withLabelAt({ x: -50, y: 100 }))).toHaveLength(1);
  });

  it('find a box on a box and a text that is too long for its box', () => {
    expect(boxesOnBoxes({ ...plan, boxes: [...plan.boxes, { ...box, id: 'twin' }] })).toContain(
      `${box.id} on twin`,
    );
    const long = { ...box.texts[0]!, widthPx: 2000 };
    const boxes = [{ ...box, texts: [long] }];
    expect(textsOutOfBoxes({ ...plan, boxes })).toEqual([`${long.text} out of ${box.id}`]);
  });

  it('find a line along another one, and count a crossing as such', () => {
    const wire = plan.wires.find((one) => (one.lines[0]?.length ?? 0) > 3)!;
    const [from, to] = wire.lines[0]!.slice(1, 3) as [Point, Point];
    expect(sharedLines(withLine('strange', [from, to]))).toContain(`${wire.id} along strange`);
    const across =
      from.y === to.y
        ? [
            { x: (from.x + to.x) / 2, y: from.y - 1 },
            { x: (from.x + to.x) / 2, y: from.y + 1 },
          ]
        : [
            { x: from.x - 1, y: (from.y + to.y) / 2 },
            { x: from.x + 1, y: (from.y + to.y) / 2 },
          ];
    expect(crossings(withLine('strange', across))).toBe(crossings(plan) + 1);
  });
});
