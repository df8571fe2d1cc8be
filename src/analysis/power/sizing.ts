/** What would do: the smallest conductor and the longest cable with which a circuit passes, the next usual supply. */
import type { Cable } from '../../model/equipment.js';
import type { Place } from '../../model/origin.js';
import { placeKey } from '../../model/origin.js';
import { crossSectionMm2 } from '../../model/quantity.js';
import type { ConductorSize } from '../../model/quantity.js';
import type { PowerPoint } from '../../model/site.js';
import { ASSUMED_CONDUCTOR_CLASS, tabulatedSizesMm2 } from '../electrical/conductors.js';
import { nextTransformerRatingVA } from '../electrical/limits.js';
import type { Circuit, CircuitBranch } from './circuit.js';
import { unitOf } from './point-rating.js';

/** What of a cable would have to be otherwise. */
export interface Sizing {
  /** The smallest conductor of the table with which the circuit passes, wherever this cable is in it. */
  readonly smallest: ConductorSize | undefined;
  /** The longest piece of this cable with which it passes, in m. */
  readonly longestM: number | undefined;
}

/** Gauges that are made, from thin to thick. */
const GAUGES: readonly number[] = [24, 22, 20, 18, 16, 14, 12, 10, 8, 6, 4, 2, 1, 0, -1, -2, -3];

/** Lengths are found to this part of a metre. */
const LENGTH_RESOLUTION_M = 1e-4;

/**
 * How the cable that leads to a place would have to be for a circuit to pass. `upTo` is the largest
 * conductor that is allowed.
 */
export function sizingOf(
  circuit: Circuit,
  at: Place,
  passes: (changed: Circuit) => boolean,
  upTo?: ConductorSize,
): Sizing {
  const branch =
    circuit.branches.find((one) => placeKey(one.at) === placeKey(at)) ?? circuit.branches[0];
  return branch?.cable === undefined
    ? { smallest: undefined, longestM: undefined }
    : {
        smallest: smallestConductor(
          branch.cable,
          (size) => passes(withConductor(circuit, branch.cable!, size)),
          upTo,
        ),
        longestM: longestPieceM(circuit, branch, passes),
      };
}

/** The smallest conductor of the table, larger than a cable's own, for which a condition holds. */
export function smallestConductor(
  { cores }: Cable,
  passes: (size: ConductorSize) => boolean,
  upTo?: ConductorSize,
): ConductorSize | undefined {
  if (cores === undefined) {
    return undefined;
  }
  const { size, conductorClass } = cores;
  const all: readonly ConductorSize[] =
    size.awg === undefined
      ? tabulatedSizesMm2(conductorClass ?? ASSUMED_CONDUCTOR_CLASS).map((mm2) => ({ mm2 }))
      : GAUGES.map((awg) => ({ awg }));
  const mostMm2 = upTo === undefined ? Number.POSITIVE_INFINITY : crossSectionMm2(upTo);
  return all
    .filter(
      (one) =>
        crossSectionMm2(one) > crossSectionMm2(size) * (1 + 1e-9) &&
        crossSectionMm2(one) <= mostMm2 * (1 + 1e-9),
    )
    .find(passes);
}

/** The next usual size of supply for a load in VA; undefined for other outlets and where none is large enough. */
export function nextSupplyVA(point: PowerPoint, loadVA: number): number | undefined {
  return point.kind === 'outlet' && unitOf(point) === 'VA'
    ? nextTransformerRatingVA(loadVA)
    : undefined;
}

/** A circuit in which a cable has other conductors. */
export function withConductor(circuit: Circuit, present: Cable, size: ConductorSize): Circuit {
  const cable: Cable = { ...present, cores: { ...present.cores!, size } };
  return {
    ...circuit,
    branches: circuit.branches.map((one) => (one.cable === present ? { ...one, cable } : one)),
  };
}

function longestPieceM(
  circuit: Circuit,
  branch: CircuitBranch,
  passes: (changed: Circuit) => boolean,
): number | undefined {
  const at = (lengthM: number): Circuit => ({
    ...circuit,
    branches: circuit.branches.map((one) => (one === branch ? { ...one, lengthM } : one)),
  });
  let short = LENGTH_RESOLUTION_M;
  if (!passes(at(short))) {
    return undefined;
  }
  let long = branch.lengthM;
  while (long - short > LENGTH_RESOLUTION_M) {
    const middle = (short + long) / 2;
    if (passes(at(middle))) {
      short = middle;
    } else {
      long = middle;
    }
  }
  return short;
}
