/** Rectangles of boxes and the places of pins on their edges. */
import type { Rect } from '../geometry.js';
import type { AssembleInput } from './assemble.js';
import type { StripBox } from './boxes.js';
import type { Cell } from './grid.js';
import * as size from './sizes.js';
import type { Slot, StripPin } from './wiring.js';

export function cellRect({ geometry, sizes }: AssembleInput, cell: Cell): Rect {
  return {
    x: geometry.columnX(cell.slice, cell.column),
    y: geometry.rows[cell.row]?.hostTop ?? 0,
    width: geometry.columnPx(cell.slice, cell.column),
    height: sizes.boxHeightPx(cell),
  };
}

/** A satellite stands right of the lanes and left of the feed lanes of its cell. */
export function satelliteRect(
  { geometry, sizes }: AssembleInput,
  cell: Cell,
  satellite: number,
): Rect {
  return {
    x: Math.round(geometry.clusterX(cell, 'inner').to + size.LANE_GAP),
    y: geometry.satelliteTop(cell, satellite),
    width: sizes.satellitePx,
    height: sizes.satelliteHeightPx(cell, satellite),
  };
}

export function stripRect(
  { geometry }: AssembleInput,
  box: StripBox,
  strip: 'left' | 'right',
): Rect {
  return {
    x: geometry.strips[strip].x,
    y: geometry.stripTop.get(box.id) ?? 0,
    width: geometry.strips[strip].px,
    height: box.heightPx,
  };
}

/** The edge of a side strip's boxes on which a pin stands. */
export function pinX({ geometry }: AssembleInput, pin: StripPin): number {
  const strip = geometry.strips[pin.strip];
  return pinFacesLeft(pin) ? strip.x : strip.x + strip.px;
}

export function pinFacesLeft(pin: StripPin): boolean {
  return (pin.strip === 'left') === (pin.edge === 'outer');
}

/** Position of an owner above its cell's device; −1 for the device itself. */
export function satelliteIndex(slot: Slot, ownerId: string): number {
  return slot.cell.satellites.findIndex((device) => device.id === ownerId);
}

/** Key of a pin on a satellite: one slot may reach two satellites. */
export function satellitePinKey(slot: Slot, ownerId: string): string {
  return `${ownerId}\u0001${slot.side}\u0001${slot.index}`;
}

interface EdgePin {
  readonly slot: Slot;
  readonly ownerId: string;
  readonly order: number;
}

/** Heights of the pins on the satellites' edges: lines that go up stand above lines from below. */
export function satellitePins(context: AssembleInput): ReadonlyMap<string, number> {
  const byEdge = new Map<string, EdgePin[]>();
  const seen = new Set<string>();
  const add = (slot: Slot, ownerId: string) => {
    const key = satellitePinKey(slot, ownerId);
    if (satelliteIndex(slot, ownerId) < 0 || seen.has(key)) return;
    seen.add(key);
    const goesUp = slot.ownerId !== ownerId;
    const edge = `${ownerId}\u0001${slot.side}`;
    const pin = { slot, ownerId, order: goesUp ? 0 : slot.kind === 'pin' ? 2 : 1 };
    const list = byEdge.get(edge);
    if (list) list.push(pin);
    else byEdge.set(edge, [pin]);
  };
  for (const step of context.wiring.wires.flatMap((wire) => wire.pieces.flat())) {
    if (step.kind === 'slot') add(step.slot, step.ownerId);
  }
  for (const slot of context.wiring.slots) if (slot.kind !== 'pin') add(slot, slot.ownerId);
  const heights = new Map<string, number>();
  for (const pins of byEdge.values()) {
    pins.sort((one, other) => one.order - other.order || one.slot.index - other.slot.index);
    pins.forEach(({ slot, ownerId }, index) => {
      const rect = satelliteRect(context, slot.cell, satelliteIndex(slot, ownerId));
      heights.set(
        satellitePinKey(slot, ownerId),
        Math.round(rect.y + (rect.height * (index + 1)) / (pins.length + 1)),
      );
    });
  }
  return heights;
}
