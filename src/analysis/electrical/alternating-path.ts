/**
 * Follows the operating point of a network with reactive loads from no load to the stated one.
 *
 * With reactive loads the equations have no order in which Newton's method could only descend. So
 * the loads are connected little by little: each step starts at the operating point before it, is
 * taken only where the voltages change by little and the determinant of the slopes keeps its sign,
 * and is halved otherwise. What is reached is the operating point that the real network runs into
 * when it is switched on; the lower roots lie behind the nose, where the determinant passes 0. Where
 * the steps shrink to nothing and the determinant with them, the nose is found: beyond it the path
 * turns back and no operating point continues it.
 */
import { jacobian, residualA } from './alternating-equations.js';
import type { AlternatingEquations, LoadShares } from './alternating-equations.js';
import { solveBlocks } from './block-elimination.js';

/** An operating point on the path. */
export interface PathPoint {
  readonly shares: LoadShares;
  readonly voltageV: Float64Array;
  readonly determinantLog: number;
  /** The largest of them on the path so far. */
  readonly highestLog: number;
  readonly iterations: number;
}

/** How far a path leads. */
export type PathEnd =
  | { readonly kind: 'reached'; readonly point: PathPoint }
  /** The nose lies between the share of the last point and `failsAt`. */
  | { readonly kind: 'nose'; readonly last: PathPoint; readonly failsAt: number }
  /** A voltage was brought down to nothing. */
  | { readonly kind: 'exhausted'; readonly last: PathPoint }
  | { readonly kind: 'undecided' };

/** Steps are halved down to this part of the share reached. */
const RESOLUTION = 1e-9;

/** A step may change no voltage by more than this part of it. */
const LARGEST_CHANGE = 0.3;

/** More Newton steps than this mean that the step along the path was too long. */
const MOST_ITERATIONS = 25;

/** Newton has arrived when its steps are below this part of the voltage. */
const SMALLEST_STEP = 1e-13;

/** Where steps no longer shrink below this part of the voltage, rounding is all that moves it. */
const ROUNDING = 1e-10;

/** At a billionth before the nose the determinant is about 3e-5 of the largest before; this tells it apart. */
const VANISHED = Math.log(1e-2);

/** A voltage below this part of the source's counts as none. */
const NO_VOLTAGE = 1e-3;

/** The operating point without constant currents and powers; undefined where there is none. */
export function unloadedPoint(equations: AlternatingEquations): PathPoint | undefined {
  const flat = new Float64Array(2 * equations.plan.nodeCount);
  for (let point = 0; point < equations.plan.nodeCount; point += 1) {
    flat[2 * point] = equations.scaleV;
  }
  const shares = { currents: 0, powers: 0 };
  // Linear equations: the step may be as long as it likes.
  const found = newton(equations, shares, flat, Number.POSITIVE_INFINITY);
  return found && { ...found, highestLog: found.determinantLog };
}

/** Goes from an operating point with shares up to the wanted ones to those, currents first. */
export function follow(
  equations: AlternatingEquations,
  from: PathPoint,
  wanted: LoadShares,
): PathEnd {
  const at = stepTo(equations, from, wanted);
  if (at !== undefined) {
    return { kind: 'reached', point: at };
  }
  const loaded = advance(equations, from, 'currents', wanted.currents);
  return loaded.kind === 'reached'
    ? advance(equations, loaded.point, 'powers', wanted.powers)
    : loaded;
}

/** Raises one share as far as it goes, at most to the wanted one. */
function advance(
  equations: AlternatingEquations,
  from: PathPoint,
  raised: keyof LoadShares,
  wanted: number,
): PathEnd {
  let point = from;
  let step = wanted - from.shares[raised];
  while (point.shares[raised] < wanted) {
    const next = Math.min(wanted, point.shares[raised] + step);
    const found = stepTo(equations, point, { ...point.shares, [raised]: next });
    if (found !== undefined) {
      point = found;
      step *= 2;
    } else if (step > RESOLUTION * next) {
      step /= 2;
    } else if (lowestV(point.voltageV) < NO_VOLTAGE * equations.scaleV) {
      return { kind: 'exhausted', last: point };
    } else {
      return point.determinantLog - point.highestLog < VANISHED
        ? { kind: 'nose', last: point, failsAt: next }
        : { kind: 'undecided' };
    }
  }
  return { kind: 'reached', point };
}

function stepTo(
  equations: AlternatingEquations,
  from: PathPoint,
  shares: LoadShares,
): PathPoint | undefined {
  const found = newton(equations, shares, from.voltageV, LARGEST_CHANGE);
  return found && { ...found, highestLog: Math.max(from.highestLog, found.determinantLog) };
}

/** Newton's method; undefined where it goes too far, does not arrive or arrives behind the nose. */
function newton(
  equations: AlternatingEquations,
  shares: LoadShares,
  startV: Float64Array,
  largestChange: number,
): Omit<PathPoint, 'highestLog'> | undefined {
  const voltageV = startV.slice();
  let before = Number.POSITIVE_INFINITY;
  for (let iterations = 1; iterations <= MOST_ITERATIONS; iterations += 1) {
    const solved = solveBlocks(
      equations.plan,
      jacobian(equations, shares, voltageV),
      residualA(equations, shares, voltageV),
    );
    if (solved === undefined || solved.determinantSign <= 0) {
      return undefined;
    }
    const change = largestPart(solved.unknowns, voltageV);
    for (let index = 0; index < voltageV.length; index += 1) {
      voltageV[index]! -= solved.unknowns[index]!;
    }
    if (
      largestPart(difference(voltageV, startV), startV) > largestChange ||
      !(lowestV(voltageV) > 0)
    ) {
      return undefined;
    }
    if (change <= SMALLEST_STEP || (change <= ROUNDING && change >= before / 2)) {
      return { shares, voltageV, determinantLog: solved.determinantLog, iterations };
    }
    before = change;
  }
  return undefined;
}

function difference(one: Float64Array, other: Float64Array): Float64Array {
  return one.map((value, index) => value - other[index]!);
}

/** The largest of the changes as a part of the voltages that they change. */
function largestPart(changeV: Float64Array, voltageV: Float64Array): number {
  let largest = 0;
  for (let index = 0; index < changeV.length; index += 2) {
    const size = Math.hypot(voltageV[index]!, voltageV[index + 1]!);
    largest = Math.max(largest, Math.hypot(changeV[index]!, changeV[index + 1]!) / size);
  }
  return largest;
}

function lowestV(voltageV: Float64Array): number {
  let lowest = Number.POSITIVE_INFINITY;
  for (let index = 0; index < voltageV.length; index += 2) {
    lowest = Math.min(lowest, Math.hypot(voltageV[index]!, voltageV[index + 1]!));
  }
  return lowest;
}
