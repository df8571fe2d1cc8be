/** Whether conductors carry what flows through them, and what their protective device lets through. */
import type { Cable } from '../../model/equipment.js';
import type { Place } from '../../model/origin.js';
import type { ConductorSize } from '../../model/quantity.js';
import type { PowerPoint, Site } from '../../model/site.js';
import { bandOf } from '../cabling/cables.js';
import { gaugeAmpacity, sizeAmpacity } from '../electrical/limits.js';
import { memoised } from '../memo.js';
import type { Source } from '../working.js';
import { stateOf } from './circuit.js';
import type { Circuit, CircuitBranch } from './circuit.js';
import { pointByKey } from './consumers.js';
import { isAmount, nominalOfPoint } from './demand.js';
import { smallestConductor } from './sizing.js';

/** What a cable may carry, and where that stands. */
export interface CableAmpacity {
  readonly currentA: number;
  /** `stated` by the cable, or by a table for its conductor size. */
  readonly basis: 'stated' | 'table';
  readonly source: Source;
}

/** A cable that is too small, with the two currents that it has to bear. */
export interface UndersizedConductor {
  readonly cable: Cable;
  /** The landing or line that the cable leads to. */
  readonly at: Place;
  /** What flows, in A; undefined where not known. */
  readonly loadA: number | undefined;
  /** What the protective device upstream is rated for, in A; undefined where none is stated. */
  readonly protectionA: number | undefined;
  readonly ampacity: CableAmpacity;
  readonly band: CircuitBand;
}

/** The installation decides how well a cable is cooled; where nobody says, tables of sizes are for ELV only. */
export type CircuitBand = 'mains' | 'extra-low' | 'unknown';

/** Source of what a cable states of itself. */
const STATED: Source = { text: "the cable's stated ampacity", sureness: 'published' };

/**
 * What a cable may carry: its stated ampacity, else the published limit for its gauge, else, in
 * extra-low-voltage circuits, a table from memory for its size in mm2. For mains cables in mm2 the
 * way of installation decides, which the site does not state: their design is a licensed
 * electrician's, and nothing is said about them here.
 */
export function ampacityOf(cable: Cable, band: CircuitBand): CableAmpacity | undefined {
  if (isAmount(cable.ampacityA)) {
    return { currentA: cable.ampacityA, basis: 'stated', source: STATED };
  }
  const size = cable.cores?.size;
  if (size === undefined) {
    return undefined;
  }
  if (size.awg !== undefined) {
    const table = gaugeAmpacity(size.awg);
    return table && { ...table, basis: 'table' };
  }
  const table = band === 'extra-low' ? sizeAmpacity(size.mm2) : undefined;
  return table && { ...table, basis: 'table' };
}

/**
 * The smallest conductor that bears both currents by the table that the present one was judged by;
 * undefined where its cable states its own ampacity, since that depends on how it is laid.
 */
export function sufficientConductor(undersized: UndersizedConductor): ConductorSize | undefined {
  const { cable, ampacity, loadA, protectionA, band } = undersized;
  if (ampacity.basis === 'stated' || cable.cores === undefined) {
    return undefined;
  }
  const { cores } = cable;
  return smallestConductor(cable, (size) => {
    const other = ampacityOf({ ...cable, cores: { ...cores, size } }, band);
    return other !== undefined && !exceeds(loadA, other) && !exceeds(protectionA, other);
  });
}

/** The rating of the protective device of a way or outlet; undefined where none is stated. */
export function protectionRatingA(point: PowerPoint): number | undefined {
  const ratedA = point.kind === 'way' ? point.way.ratedA : point.outlet.protection?.ratedA;
  return isAmount(ratedA) ? ratedA : undefined;
}

/** The cables of a circuit that are too small, branch by branch. */
export const undersizedIn: (site: Site, circuit: Circuit) => readonly UndersizedConductor[] =
  memoised((site, circuit) => {
    const points = circuit.sources.flatMap((source) => pointByKey(site, source.id) ?? []);
    const ratings = points.flatMap((point) => protectionRatingA(point) ?? []);
    const protectionA = ratings.length === 0 ? undefined : Math.max(...ratings);
    const first = points[0];
    const band = first === undefined ? 'extra-low' : bandOf(nominalOfPoint(first).voltage);
    return circuit.branches.flatMap((branch): UndersizedConductor[] => {
      const ampacity = branch.cable && ampacityOf(branch.cable, band);
      if (branch.cable === undefined || ampacity === undefined) {
        return [];
      }
      const loadA = currentThrough(site, circuit, branch);
      return exceeds(loadA, ampacity) || exceeds(protectionA, ampacity)
        ? [{ cable: branch.cable, at: branch.at, loadA, protectionA, ampacity, band }]
        : [];
    });
  });

function exceeds(currentA: number | undefined, ampacity: CableAmpacity): boolean {
  return currentA !== undefined && currentA > ampacity.currentA * (1 + 1e-9);
}

/**
 * The current of a branch in A: what the solution gives at the judged temperature, and never less
 * than the nominal currents of what hangs on the branch alone. Undefined where neither is known.
 */
function currentThrough(site: Site, circuit: Circuit, branch: CircuitBranch): number | undefined {
  const state = stateOf(site, circuit);
  const solvedA = state.kind === 'operating' ? state.branchA.get(branch.id) : undefined;
  const behindA = nominalBehindA(circuit, branch);
  return solvedA === undefined ? behindA : Math.max(Math.abs(solvedA), behindA ?? 0);
}

/** The nominal currents behind a branch; undefined where one is unknown or a source stands there, too. */
function nominalBehindA(circuit: Circuit, branch: CircuitBranch): number | undefined {
  const behind = new Set([branch.to]);
  for (const node of behind) {
    for (const other of circuit.branches) {
      if (other !== branch && other.from === node) {
        behind.add(other.to);
      } else if (other !== branch && other.to === node) {
        behind.add(other.from);
      }
    }
  }
  if (circuit.sources.some((source) => behind.has(source.node))) {
    return undefined;
  }
  let sumA = 0;
  for (const node of circuit.nodes) {
    for (const member of behind.has(node.id) ? node.members : []) {
      if (member.nominalA === undefined) {
        return undefined;
      }
      sumA += member.nominalA;
    }
  }
  return sumA;
}
