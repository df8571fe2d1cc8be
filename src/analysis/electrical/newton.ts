/**
 * Finds the operating point with the highest voltages, or proves that there is none.
 *
 * The equations are G V + P/V + I − J = 0. Read as a function of the voltages they are convex in
 * each component, and for voltages at or above the highest solution the matrix G − P/V² is a
 * positive definite M-matrix. Newton's method started from above (the voltages without any
 * constant-power load) therefore descends to the highest solution and never passes it (monotone
 * Newton theorem; Ortega and Rheinboldt, Iterative Solution of Nonlinear Equations, 13.3; from
 * memory). Turned round: an iterate at or below 0 V, or a matrix that is not positive definite,
 * proves that no operating point exists. The lower, unstable root is never met.
 */
import type { NodalEquations } from './nodal-equations.js';
import { solveByElimination } from './star-mesh.js';

/** Voltages of the free points, or why there are none. */
export type NewtonResult =
  | { readonly kind: 'found'; readonly voltageV: Float64Array; readonly iterations: number }
  | { readonly kind: 'none'; readonly cause: 'constant-power' | 'constant-current' };

/**
 * A step smaller than this part of the voltage ends the search: what is left is no more than the
 * step itself, since Newton at least halves its distance, even on the nose.
 */
const SMALLEST_STEP = 1e-12;

/** A residual current below this part of the currents at the point counts as balanced. */
const BALANCED = 1e-13;

/**
 * Solves with every constant-power load multiplied by `powerFactor` (0 or more).
 *
 * `startV` may be the solution for a smaller factor, which also lies above the one looked for.
 */
export function findOperatingPoint(
  equations: NodalEquations,
  powerFactor: number,
  startV?: Float64Array,
): NewtonResult {
  const { plan, conductanceS, shuntS, injectionA, powerW } = equations;
  const start = startV ?? solveByElimination(plan, conductanceS, shuntS, injectionA);
  if (start === undefined || !isAllPositive(start, equations.scaleV)) {
    return { kind: 'none', cause: 'constant-current' };
  }
  let voltageV = start;
  const slopeS = new Float64Array(plan.nodeCount);
  const currentA = new Float64Array(plan.nodeCount);
  // Each step lowers a voltage by at least the smallest step or ends the search, and no voltage
  // passes zero: the loop ends by itself, in about 50 steps at the very worst.
  for (let iterations = 1; ; iterations += 1) {
    for (let point = 0; point < plan.nodeCount; point += 1) {
      const loadA = (powerFactor * powerW[point]!) / voltageV[point]!;
      slopeS[point] = shuntS[point]! - loadA / voltageV[point]!;
      currentA[point] = injectionA[point]! - 2 * loadA;
    }
    const next = solveByElimination(plan, conductanceS, slopeS, currentA);
    if (next === undefined || !isAllPositive(next, equations.scaleV)) {
      // On the nose itself rounding can spoil the step although the last iterate solves the network.
      return isBalanced(equations, powerFactor, voltageV)
        ? { kind: 'found', voltageV, iterations }
        : { kind: 'none', cause: 'constant-power' };
    }
    const descent = largestDescent(voltageV, next);
    voltageV = next;
    if (descent <= SMALLEST_STEP) {
      return { kind: 'found', voltageV, iterations };
    }
  }
}

function isAllPositive(voltageV: Float64Array, scaleV: number): boolean {
  return voltageV.every((voltage) => voltage > 1e-12 * scaleV);
}

function largestDescent(beforeV: Float64Array, afterV: Float64Array): number {
  let largest = 0;
  for (let point = 0; point < beforeV.length; point += 1) {
    largest = Math.max(largest, (beforeV[point]! - afterV[point]!) / beforeV[point]!);
  }
  return largest;
}

/** Whether the currents at each point add up to nothing, as far as doubles can tell. */
function isBalanced(
  equations: NodalEquations,
  powerFactor: number,
  voltageV: Float64Array,
): boolean {
  const { plan, conductanceS, shuntS, injectionA, powerW } = equations;
  const sumA = new Float64Array(plan.nodeCount);
  const sizeA = new Float64Array(plan.nodeCount);
  const count = (point: number, currentA: number): void => {
    sumA[point]! += currentA;
    sizeA[point]! += Math.abs(currentA);
  };
  const counted = new Uint8Array(conductanceS.length);
  for (const { node, neighbours, edges } of plan.steps) {
    neighbours.forEach((neighbour, position) => {
      const edge = edges[position]!;
      if (counted[edge] === 1 || conductanceS[edge] === 0) {
        return;
      }
      counted[edge] = 1;
      for (const [point, other] of [
        [node, neighbour],
        [neighbour, node],
      ] as const) {
        count(point, conductanceS[edge]! * voltageV[point]!);
        count(point, -conductanceS[edge]! * voltageV[other]!);
      }
    });
    count(node, shuntS[node]! * voltageV[node]!);
    count(node, -injectionA[node]!);
    count(node, (powerFactor * powerW[node]!) / voltageV[node]!);
  }
  return sumA.every((current, point) => Math.abs(current) <= BALANCED * sizeA[point]!);
}
