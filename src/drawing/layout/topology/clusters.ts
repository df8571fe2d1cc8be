/**
 * Where lines leave a box: the order of the pins of one cell on one side, and their distances.
 *
 * Pins of one port stand together. A line to the left leaves at the left, the nearest target outermost, so
 * that short lines lie inside long ones; a terminator stands on the side where no line goes.
 */
import { compareNames } from '../../../model/site.js';
import type { FontWeight, TextMeasure } from '../text-measure.js';
import type { Cell } from './grid.js';
import type { Side } from './placement.js';
import { PIN_PITCH, PORT_GAP, PORT_NAME_PX, SYMBOL_PITCH } from './sizes.js';
import type { Slot } from './wiring.js';

/** All pins of one cell on one side. */
export interface Cluster {
  readonly cell: Cell;
  readonly side: Side;
  /** From left to right. */
  readonly slots: readonly Slot[];
  readonly ports: readonly ClusterPort[];
  readonly widthPx: number;
}

/** The pins of one port, drawn as one bar on the edge of the box. */
export interface ClusterPort {
  readonly ownerId: string;
  readonly member: string;
  readonly runId: string;
  readonly fromPx: number;
  readonly toPx: number;
  /** Middle of the room reserved for the port's name. */
  readonly middlePx: number;
}

export type ClusterKey = string;

export function clusterKey(cell: Cell, side: Side): ClusterKey {
  return `${cell.device.id}\u0001${side}`;
}

/** Orders the slots of every cluster and sets their `index` and `offsetPx`. */
export function formClusters(
  slots: readonly Slot[],
  measure: TextMeasure,
): ReadonlyMap<ClusterKey, Cluster> {
  const groups = new Map<ClusterKey, Slot[]>();
  for (const slot of slots) {
    const key = clusterKey(slot.cell, slot.side);
    const list = groups.get(key);
    if (list) list.push(slot);
    else groups.set(key, [slot]);
  }
  const clusters = new Map<ClusterKey, Cluster>();
  for (const [key, list] of groups) {
    const first = list[0];
    if (!first) continue;
    placeSymbols(list);
    clusters.set(
      key,
      first.side === 'bottom' ? bottomCluster(first.cell, list, measure) : edgeCluster(first, list),
    );
  }
  return clusters;
}

/** Symbols go to the side of their port where no line goes; the bond outside the terminator. */
function placeSymbols(slots: readonly Slot[]): void {
  for (const slot of slots) {
    if (slot.kind === 'pin') continue;
    const lean = slots
      .filter((other) => other.kind === 'pin' && isSamePort(other, slot))
      .reduce((sum, other) => sum + other.lean, 0);
    slot.lean = lean > 0 ? -1 : 1;
    slot.reach = slot.kind === 'bond' ? -2000 : -1000;
  }
}

function isSamePort(one: Slot, other: Slot): boolean {
  return one.ownerId === other.ownerId && one.member === other.member && one.runId === other.runId;
}

/** Ascending from left to right: lines to the left with the nearest target first, lines to the right with it last. */
function position(slot: Slot): number {
  return slot.lean < 0 ? -10_000 + slot.reach : slot.lean > 0 ? 10_000 - slot.reach : 0;
}

function bottomCluster(cell: Cell, slots: readonly Slot[], measure: TextMeasure): Cluster {
  const groups = new Map<string, Slot[]>();
  for (const slot of slots) {
    const key = `${slot.member}\u0001${slot.runId}`;
    const list = groups.get(key);
    if (list) list.push(slot);
    else groups.set(key, [slot]);
  }
  const pinPosition = (list: readonly Slot[]) => {
    const pins = list.filter((slot) => slot.kind === 'pin');
    return pins.reduce((sum, slot) => sum + position(slot), 0) / Math.max(1, pins.length);
  };
  const ordered = [...groups.values()].sort(
    (one, other) =>
      pinPosition(one) - pinPosition(other) ||
      compareNames(one[0]?.member ?? '', other[0]?.member ?? '') ||
      compareNames(one[0]?.runId ?? '', other[0]?.runId ?? ''),
  );
  const withNames = ordered.length > 1;
  const inOrder: Slot[] = [];
  const ports: ClusterPort[] = [];
  let x = 0;
  ordered.forEach((group, index) => {
    if (index > 0) x += PORT_GAP;
    const pins = [...group].sort((one, other) => position(one) - position(other));
    const pinsPx = pins.reduce((sum, slot) => sum + pitchOf(slot), 0);
    const first = pins[0];
    const namePx = withNames && first ? nameWidth(measure, first.member) : 0;
    const roomPx = Math.max(pinsPx, namePx);
    let pinX = x + (roomPx - pinsPx) / 2;
    for (const slot of pins) {
      slot.offsetPx = pinX + pitchOf(slot) / 2;
      slot.index = inOrder.length;
      pinX += pitchOf(slot);
      inOrder.push(slot);
    }
    ports.push({
      ownerId: cell.device.id,
      member: first?.member ?? '',
      runId: first?.runId ?? '',
      fromPx: x + (roomPx - pinsPx) / 2,
      toPx: x + (roomPx + pinsPx) / 2,
      middlePx: x + roomPx / 2,
    });
    x += roomPx;
  });
  return { cell, side: 'bottom', slots: inOrder, ports, widthPx: x };
}

const PORT_NAME_WEIGHT: FontWeight = 400;

function nameWidth(measure: TextMeasure, name: string): number {
  return measure.width(name, PORT_NAME_PX, PORT_NAME_WEIGHT) + 4;
}

function pitchOf(slot: Slot): number {
  return slot.kind === 'pin' ? PIN_PITCH[slot.side] : SYMBOL_PITCH;
}

/**
 * Inner and feed side: lanes that pass beside satellites stand outside, the longest first, so that a stub
 * into a satellite meets no other lane. Pins of the device itself stand right of them, or left of them where
 * their line goes to the left and so would cross the lanes.
 */
function edgeCluster(first: Slot, slots: readonly Slot[]): Cluster {
  const level = (slot: Slot) =>
    slot.cell.satellites.findIndex((device) => device.id === slot.ownerId);
  const rank = (slot: Slot) => {
    if (level(slot) >= 0) return 1;
    return slot.side === 'inner' && slot.lean < 0 ? 0 : 2;
  };
  const inOrder = [...slots].sort(
    (one, other) =>
      rank(one) - rank(other) ||
      level(other) - level(one) ||
      position(one) - position(other) ||
      compareNames(one.member, other.member) ||
      compareNames(one.runId, other.runId),
  );
  let x = 0;
  inOrder.forEach((slot, index) => {
    slot.index = index;
    slot.offsetPx = x + pitchOf(slot) / 2;
    x += pitchOf(slot);
  });
  const ports: ClusterPort[] = [];
  for (const slot of inOrder) {
    const half = pitchOf(slot) / 2;
    const last = ports.at(-1);
    if (
      last &&
      last.ownerId === slot.ownerId &&
      last.member === slot.member &&
      last.runId === slot.runId
    ) {
      ports[ports.length - 1] = { ...last, toPx: slot.offsetPx + half };
    } else {
      ports.push({
        ownerId: slot.ownerId,
        member: slot.member,
        runId: slot.runId,
        fromPx: slot.offsetPx - half,
        toPx: slot.offsetPx + half,
        middlePx: slot.offsetPx,
      });
    }
  }
  return { cell: first.cell, side: first.side, slots: inOrder, ports, widthPx: x };
}
