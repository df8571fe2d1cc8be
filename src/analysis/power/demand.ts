/** What an inlet asks for, by the figures that its equipment states. */
import type { Inlet, Outlet, Voltage } from '../../model/equipment.js';
import type { Term } from '../../model/finding.js';
import type { Way } from '../../model/records.js';
import type { PowerPoint } from '../../model/site.js';
import type { Draws } from '../../model/values.js';
import type { Load } from '../electrical/network.js';
import { term } from '../working.js';

/** The nominal voltage of a source or inlet with its phases. */
export interface Nominal {
  readonly voltage?: Voltage | undefined;
  readonly threePhase: boolean;
}

/** What an inlet takes at its nominal voltage. */
export interface Demand {
  readonly draws: Draws;
  /** A, in three-phase of each line conductor. */
  readonly currentA: number;
  readonly apparentVA: number;
  readonly activeW: number;
  /** tan φ, lagging: 0 at a power factor of 1 and on direct current. */
  readonly reactivePerActive: number;
  readonly nominalV: number;
  readonly threePhase: boolean;
  readonly terms: readonly Term[];
}

/** Whether a figure can be computed with. */
export function isAmount(value: number | undefined): value is number {
  return value !== undefined && Number.isFinite(value) && value >= 0;
}

/** The nominal voltage of a way or outlet. */
export function nominalOfPoint(point: PowerPoint): Nominal {
  const record: Way | Outlet = point.kind === 'way' ? point.way : point.outlet;
  return { voltage: record.voltage, threePhase: record.threePhase };
}

/** √3 for three phases, where the voltage is the one from line to line; else 1. */
export function phaseFactor(nominal: { readonly threePhase: boolean }): number {
  return nominal.threePhase ? Math.sqrt(3) : 1;
}

/**
 * The demand by the stated figures, or undefined where none is stated.
 *
 * Constant power where VA or W is stated, constant current where A is stated, unless the equipment
 * says otherwise; power factor 1 unless stated. `source` stands in where the inlet names no voltage.
 */
export function statedDemand(inlet: Inlet, source: Nominal): Demand | undefined {
  const nominalV = inlet.voltage?.volts ?? source.voltage?.volts;
  const threePhase = inlet.voltage === undefined ? source.threePhase : inlet.threePhase;
  if (!isAmount(nominalV) || nominalV === 0) {
    return undefined;
  }
  const factor = phaseFactor({ threePhase });
  const powerFactor = usablePowerFactor(inlet.powerFactor);
  const powerFactorTerms =
    inlet.powerFactor === undefined ? [] : [term('power factor', powerFactor, '')];
  const kind = inlet.voltage?.kind ?? source.voltage?.kind;
  const common = {
    nominalV,
    threePhase,
    reactivePerActive: kind === 'dc' ? 0 : Math.sqrt(1 - powerFactor ** 2) / powerFactor,
  };
  if (isAmount(inlet.currentA)) {
    const apparentVA = factor * nominalV * inlet.currentA;
    return {
      ...common,
      draws: inlet.draws ?? 'constant-current',
      currentA: inlet.currentA,
      apparentVA,
      activeW: apparentVA * powerFactor,
      terms: [term('stated', inlet.currentA, 'A'), ...powerFactorTerms],
    };
  }
  if (isAmount(inlet.powerVA)) {
    return {
      ...common,
      draws: inlet.draws ?? 'constant-power',
      currentA: inlet.powerVA / (factor * nominalV),
      apparentVA: inlet.powerVA,
      activeW: inlet.powerVA * powerFactor,
      terms: [term('stated', inlet.powerVA, 'VA'), ...powerFactorTerms],
    };
  }
  if (isAmount(inlet.powerW)) {
    const apparentVA = inlet.powerW / powerFactor;
    return {
      ...common,
      draws: inlet.draws ?? 'constant-power',
      currentA: apparentVA / (factor * nominalV),
      apparentVA,
      activeW: inlet.powerW,
      terms: [term('stated', inlet.powerW, 'W'), ...powerFactorTerms],
    };
  }
  return undefined;
}

/** A demand for constant power of the given VA, as a supply passes it on from what hangs on it. */
export function powerDemand(apparentVA: number, nominal: Nominal): Demand | undefined {
  const nominalV = nominal.voltage?.volts;
  if (!isAmount(nominalV) || nominalV === 0) {
    return undefined;
  }
  return {
    draws: 'constant-power',
    currentA: apparentVA / (phaseFactor(nominal) * nominalV),
    apparentVA,
    activeW: apparentVA,
    reactivePerActive: 0,
    nominalV,
    threePhase: nominal.threePhase,
    terms: [],
  };
}

/** The current in A and the VA that a demand takes from a source of the given nominal voltage. */
export function demandAt(
  demand: Demand,
  sourceV: number,
): { readonly currentA: number; readonly apparentVA: number } {
  if (sourceV === demand.nominalV || !(sourceV > 0)) {
    return demand;
  }
  const ratio = sourceV / demand.nominalV;
  switch (demand.draws) {
    case 'constant-current':
      return { currentA: demand.currentA, apparentVA: demand.apparentVA * ratio };
    case 'constant-power':
      return { currentA: demand.currentA / ratio, apparentVA: demand.apparentVA };
    case 'resistive':
      return { currentA: demand.currentA * ratio, apparentVA: demand.apparentVA * ratio ** 2 };
  }
}

/**
 * The load of a demand in a network. In three-phase the network is the one of a single line
 * conductor: its voltage is the one to neutral, its power a third.
 */
export function networkLoad(demand: Demand): Load | undefined {
  const load = activeLoad(demand);
  return load === undefined || demand.reactivePerActive === 0
    ? load
    : { ...load, reactivePerActive: demand.reactivePerActive };
}

function activeLoad(demand: Demand): Load | undefined {
  const powerW = demand.threePhase ? demand.activeW / 3 : demand.activeW;
  if (!(powerW > 0)) {
    return undefined;
  }
  switch (demand.draws) {
    case 'constant-current':
      return {
        kind: 'constant-current',
        currentA: demand.currentA * (demand.activeW / demand.apparentVA),
      };
    case 'constant-power':
      return { kind: 'constant-power', powerW };
    case 'resistive':
      return { kind: 'resistive', resistanceOhm: demand.nominalV ** 2 / demand.activeW };
  }
}

function usablePowerFactor(stated: number | undefined): number {
  return stated !== undefined && stated > 0 && stated <= 1 ? stated : 1;
}
