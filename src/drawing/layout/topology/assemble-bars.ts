/** Bars on the edges of boxes: where a run is landed. */
import type { AssembleContext } from './assemble.js';
import type { PlannedBar } from './plan.js';
import { cellRect, pinX, satelliteIndex, satellitePinKey, satelliteRect } from './rects.js';
import type { Slot, StripPin } from './wiring.js';

/** Half the length of the bar of a single pin. */
const HALF_BAR = 4;

export function placeBars(context: AssembleContext): PlannedBar[] {
  const ends = context.wiring.wires
    .flatMap((wire) => wire.pieces.flat())
    .flatMap((step) => (step.kind === 'slot' ? [step] : []));
  return [
    ...clusterBars(context),
    ...ends.flatMap(({ slot, ownerId }) => laneBars(context, slot, ownerId)),
    ...pinGroups(context.wiring.pins).map((group) => stripBar(context, group)),
  ];
}

/** One bar for all pins of a port of the device itself. */
function clusterBars(context: AssembleContext): PlannedBar[] {
  return [...context.clusters.values()].flatMap(({ cell, side, ports }) => {
    const rect = cellRect(context, cell);
    const { from } = context.geometry.clusterX(cell, side);
    const y = side === 'bottom' ? rect.y + rect.height : rect.y;
    return ports
      .filter((port) => port.ownerId === cell.device.id)
      .map((port) => ({
        from: { x: from + port.fromPx + 1.5, y },
        to: { x: from + port.toPx - 1.5, y },
        runId: port.runId,
      }));
  });
}

/** A line into a satellite ends on its side; a lane from a satellite ends on the device below. */
function laneBars(context: AssembleContext, slot: Slot, ownerId: string): PlannedBar[] {
  const level = satelliteIndex(slot, ownerId);
  if (level >= 0) {
    const y = context.satellitePinY.get(satellitePinKey(slot, ownerId)) ?? 0;
    const rect = satelliteRect(context, slot.cell, level);
    const x = slot.side === 'inner' ? rect.x : rect.x + rect.width;
    return [{ from: { x, y: y - HALF_BAR }, to: { x, y: y + HALF_BAR }, runId: slot.runId }];
  }
  if (slot.ownerId === ownerId) return [];
  const x = context.geometry.slotX(slot);
  const { y } = cellRect(context, slot.cell);
  return [{ from: { x: x - HALF_BAR, y }, to: { x: x + HALF_BAR, y }, runId: slot.runId }];
}

function stripBar(context: AssembleContext, group: readonly StripPin[]): PlannedBar {
  const heights = group.map((pin) => context.geometry.pinY(pin));
  const first = group[0];
  const x = first ? pinX(context, first) : 0;
  return {
    from: { x, y: Math.min(...heights) - HALF_BAR },
    to: { x, y: Math.max(...heights) + HALF_BAR },
    runId: first?.runId ?? '',
  };
}

function pinGroups(pins: readonly StripPin[]): StripPin[][] {
  const groups = new Map<string, StripPin[]>();
  for (const pin of pins) {
    const key = [pin.boxId, pin.edge, pin.member, pin.runId].join('\u0001');
    const list = groups.get(key);
    if (list) list.push(pin);
    else groups.set(key, [pin]);
  }
  return [...groups.values()];
}
