/** Small line symbols of the roles, drawn in a square of 16 px; explained by the tooltip of their box. */
import type { Point } from '../layout/geometry.js';
import type { SceneRole } from '../scene/scene.js';
import { circle, line, polygon, rectangle, type DrawNode } from './draw-list.js';

type Pen = (origin: Point) => DrawNode[];

const shifted = (origin: Point, points: readonly (readonly [number, number])[]): Point[] =>
  points.map(([x, y]) => ({ x: origin.x + x, y: origin.y + y }));
const stroke = (origin: Point, ...points: (readonly [number, number])[]): DrawNode =>
  line('fd-icon', shifted(origin, points));
const outline = (origin: Point, ...points: (readonly [number, number])[]): DrawNode =>
  polygon('fd-icon', shifted(origin, points));
const ring = (origin: Point, x: number, y: number, radius: number): DrawNode =>
  circle('fd-icon', { x: origin.x + x, y: origin.y + y }, radius);
const spot = (origin: Point, x: number, y: number, radius: number): DrawNode =>
  circle('fd-icon-fill', { x: origin.x + x, y: origin.y + y }, radius);
const frame = (
  origin: Point,
  x: number,
  y: number,
  width: number,
  height: number,
  radius = 1.5,
): DrawNode => rectangle('fd-icon', { x: origin.x + x, y: origin.y + y, width, height }, radius);

const PENS: Readonly<Record<SceneRole | 'board', Pen>> = {
  // A casing that blows air to both sides.
  'indoor-unit': (o) => [
    frame(o, 1, 2, 14, 6),
    stroke(o, [5, 10], [2, 14]),
    stroke(o, [8, 10], [8, 14.5]),
    stroke(o, [11, 10], [14, 14]),
  ],
  // A casing with a fan of three blades.
  'outdoor-unit': (o) => [
    frame(o, 1, 1, 14, 14),
    spot(o, 8, 8, 1.2),
    stroke(o, [8, 8], [8, 3.5]),
    stroke(o, [8, 8], [4.2, 10.4]),
    stroke(o, [8, 8], [11.8, 10.4]),
  ],
  // A plate with a display and one key.
  'room-controller': (o) => [
    frame(o, 2.5, 1, 11, 14, 2),
    stroke(o, [5, 5], [11, 5]),
    spot(o, 8, 10.5, 1.6),
  ],
  // A plate with four fields.
  'zone-controller': (o) => [
    frame(o, 1, 1, 14, 14, 2),
    stroke(o, [8, 1], [8, 15]),
    stroke(o, [1, 8], [15, 8]),
  ],
  // A house front over the zones.
  'site-controller': (o) => [
    outline(o, [1, 6], [8, 1], [15, 6], [15, 15], [1, 15]),
    stroke(o, [5, 15], [5, 9], [11, 9], [11, 15]),
  ],
  // Two arrows that pass each other.
  gateway: (o) => [
    stroke(o, [1, 5], [14, 5]),
    stroke(o, [11, 2], [14.5, 5], [11, 8]),
    stroke(o, [15, 11], [2, 11]),
    stroke(o, [5, 8], [1.5, 11], [5, 14]),
  ],
  // A converter: one side over, the other under a diagonal.
  supply: (o) => [
    frame(o, 1, 1, 14, 14),
    stroke(o, [1, 15], [15, 1]),
    stroke(o, [3.5, 4], [5, 3], [6.5, 5], [8, 4]),
    stroke(o, [9, 11.5], [13, 11.5]),
  ],
  // Cables that meet.
  junction: (o) => [
    ring(o, 8, 8, 6.5),
    spot(o, 8, 8, 2),
    stroke(o, [1.5, 8], [14.5, 8]),
    stroke(o, [8, 8], [8, 14.5]),
  ],
  // An amplifier.
  repeater: (o) => [
    outline(o, [3, 2], [13, 8], [3, 14]),
    stroke(o, [0.5, 8], [3, 8]),
    stroke(o, [13, 8], [15.5, 8]),
  ],
  // A resistor.
  terminator: (o) => [
    frame(o, 4, 5.5, 8, 5, 0),
    stroke(o, [0.5, 8], [4, 8]),
    stroke(o, [12, 8], [15.5, 8]),
  ],
  // A row of sockets.
  switch: (o) => [
    frame(o, 1, 4, 14, 8),
    spot(o, 4.2, 8, 1.1),
    spot(o, 8, 8, 1.1),
    spot(o, 11.8, 8, 1.1),
  ],
  // A dial with a needle.
  meter: (o) => [
    ring(o, 8, 8, 6.8),
    stroke(o, [8, 9.5], [11.5, 5]),
    stroke(o, [4, 11.5], [12, 11.5]),
  ],
  // A bulb on a stem.
  sensor: (o) => [
    ring(o, 8, 11.5, 3.2),
    stroke(o, [8, 8.3], [8, 1.5]),
    stroke(o, [8, 3], [11, 3]),
    stroke(o, [8, 5.5], [11, 5.5]),
  ],
  other: (o) => [frame(o, 2, 2, 12, 12), spot(o, 8, 8, 1.4)],
  // A row of switches in a cabinet.
  board: (o) => [
    frame(o, 2, 1, 12, 14),
    stroke(o, [5, 4], [5, 8]),
    stroke(o, [8, 4], [8, 8]),
    stroke(o, [11, 4], [11, 8]),
    stroke(o, [4.5, 11.5], [11.5, 11.5]),
  ],
};

export function iconOf(role: SceneRole | 'board', origin: Point): readonly DrawNode[] {
  return PENS[role](origin);
}
