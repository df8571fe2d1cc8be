/**
 * Solves linear equations whose coefficients are 2 × 2 blocks, one for each pair of joined points, by
 * eliminating one point after the other in the order of a plan.
 *
 * Two real numbers stand for one complex unknown: the current of a load depends on its voltage in a
 * way that no complex factor describes, but four real ones do. A block is stored row by row.
 */
import type { EliminationPlan } from './star-mesh.js';

/** The coefficients, four numbers a block. */
export interface BlockMatrix {
  /** One block a point. */
  readonly diagonal: Float64Array;
  /** Two blocks an edge of the plan: first the one in the row of the lower point, then the other. */
  readonly offDiagonal: Float64Array;
}

/** The unknowns, and the determinant of the matrix. */
export interface BlockSolution {
  /** Two numbers a point. */
  readonly unknowns: Float64Array;
  readonly determinantSign: -1 | 0 | 1;
  /** Natural logarithm of its size; −∞ where it is 0. */
  readonly determinantLog: number;
}

/** Solves for right sides of two numbers a point; undefined where a block met on the way is singular. */
export function solveBlocks(
  plan: EliminationPlan,
  matrix: BlockMatrix,
  rightSide: Float64Array,
): BlockSolution | undefined {
  const diagonal = matrix.diagonal.slice();
  const off = matrix.offDiagonal.slice();
  const right = rightSide.slice();
  const inverse = new Float64Array(4 * plan.nodeCount);
  const share = new Float64Array(4);
  let determinantSign: -1 | 1 = 1;
  let determinantLog = 0;
  for (const { node, neighbours, edges, meshEdges } of plan.steps) {
    const pivot = invert(diagonal, 4 * node, inverse);
    if (!(Math.abs(pivot) > 0) || !Number.isFinite(pivot)) {
      return undefined;
    }
    determinantSign = pivot < 0 ? (determinantSign === 1 ? -1 : 1) : determinantSign;
    determinantLog += Math.log(Math.abs(pivot));
    let mesh = 0;
    const meshOf = new Map<number, number>();
    for (let a = 0; a < neighbours.length; a += 1) {
      for (let b = a + 1; b < neighbours.length; b += 1) {
        meshOf.set(a * neighbours.length + b, meshEdges[mesh]!);
        mesh += 1;
      }
    }
    for (let a = 0; a < neighbours.length; a += 1) {
      const one = neighbours[a]!;
      multiply(off, blockAt(edges[a]!, one, node), inverse, 4 * node, share);
      right[2 * one]! -= share[0]! * right[2 * node]! + share[1]! * right[2 * node + 1]!;
      right[2 * one + 1]! -= share[2]! * right[2 * node]! + share[3]! * right[2 * node + 1]!;
      for (let b = 0; b < neighbours.length; b += 1) {
        const other = neighbours[b]!;
        const source = blockAt(edges[b]!, node, other);
        if (a === b) {
          subtractProduct(share, off, source, diagonal, 4 * one);
        } else {
          const key = Math.min(a, b) * neighbours.length + Math.max(a, b);
          subtractProduct(share, off, source, off, blockAt(meshOf.get(key)!, one, other));
        }
      }
    }
  }
  const unknowns = new Float64Array(2 * plan.nodeCount);
  for (let step = plan.steps.length - 1; step >= 0; step -= 1) {
    const { node, neighbours, edges } = plan.steps[step]!;
    let first = right[2 * node]!;
    let second = right[2 * node + 1]!;
    for (let a = 0; a < neighbours.length; a += 1) {
      const at = blockAt(edges[a]!, node, neighbours[a]!);
      const [x, y] = [unknowns[2 * neighbours[a]!]!, unknowns[2 * neighbours[a]! + 1]!];
      first -= off[at]! * x + off[at + 1]! * y;
      second -= off[at + 2]! * x + off[at + 3]! * y;
    }
    unknowns[2 * node] = inverse[4 * node]! * first + inverse[4 * node + 1]! * second;
    unknowns[2 * node + 1] = inverse[4 * node + 2]! * first + inverse[4 * node + 3]! * second;
  }
  return { unknowns, determinantSign, determinantLog };
}

/** Where the block in the row of one point and the column of another starts. */
export function blockAt(edge: number, row: number, column: number): number {
  return 8 * edge + (row < column ? 0 : 4);
}

/** Writes the inverse of a block to the same place; gives its determinant. */
function invert(from: Float64Array, at: number, to: Float64Array): number {
  const [a, b, c, d] = [from[at]!, from[at + 1]!, from[at + 2]!, from[at + 3]!];
  const determinant = a * d - b * c;
  to[at] = d / determinant;
  to[at + 1] = -b / determinant;
  to[at + 2] = -c / determinant;
  to[at + 3] = a / determinant;
  return determinant;
}

function multiply(
  left: Float64Array,
  leftAt: number,
  right: Float64Array,
  rightAt: number,
  product: Float64Array,
): void {
  for (const row of [0, 2]) {
    for (const column of [0, 1]) {
      product[row + column] =
        left[leftAt + row]! * right[rightAt + column]! +
        left[leftAt + row + 1]! * right[rightAt + 2 + column]!;
    }
  }
}

function subtractProduct(
  left: Float64Array,
  right: Float64Array,
  rightAt: number,
  from: Float64Array,
  fromAt: number,
): void {
  for (const row of [0, 2]) {
    for (const column of [0, 1]) {
      from[fromAt + row + column]! -=
        left[row]! * right[rightAt + column]! + left[row + 1]! * right[rightAt + 2 + column]!;
    }
  }
}
