/** Which drawn shapes a bus type allows. */
import type { Shape } from '../../model/values.js';
import type { BusGeometry, DrawnShape } from './geometry.js';

const allowedShapes: Readonly<Record<Shape, readonly DrawnShape[]>> = {
  chain: ['chain'],
  tree: ['chain', 'star', 'tree'],
  star: ['star'],
  ring: ['ring'],
  free: ['chain', 'tree', 'star', 'ring', 'branched-ring', 'meshed'],
};

/**
 * Whether a segment is drawn as its type allows. Two places joined by one cable are every shape at
 * once, and a junction with one or two arms is a star as well as a chain.
 */
export function isShapeAllowed({ segment, shape, arms, graph }: BusGeometry): boolean {
  const allowed = segment.busType?.shape;
  if (allowed === undefined || shape === 'single') {
    return true;
  }
  return (
    allowedShapes[allowed].includes(shape) ||
    (shape === 'chain' && (graph.nodes.length === 2 || (allowed === 'star' && arms > 0)))
  );
}
