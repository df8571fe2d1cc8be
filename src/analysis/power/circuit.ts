/**
 * A feed, an inlet line or a powered bus as an electrical circuit: the site's names on top of the
 * solver's network, with the gaps that keep it from being solved.
 */
import type { Cable } from '../../model/equipment.js';
import type { Place } from '../../model/origin.js';
import type { Site } from '../../model/site.js';
import { CABLE_REACTANCE_OHM_PER_M, conductorLengths } from '../electrical/alternating.js';
import { hasReactiveLoad } from '../electrical/alternating-equations.js';
import { conductorResistance } from '../electrical/conductors.js';
import type {
  CollapseMargin,
  Load,
  Network,
  NetworkSolution,
  OperatingPoint,
} from '../electrical/network.js';
import { collapseMargin, solveNetwork } from '../electrical/solve-network.js';
import { memoised } from '../memo.js';
import type { LengthBasis } from '../run.js';
import type { Gap } from './bus-load.js';
import { judgedTemperature, USUAL_TEMPERATURES_C } from './temperature.js';
import { powerTexts } from './texts.js';

/** A place where conductors meet. */
export interface CircuitNode {
  readonly id: string;
  /** The inlets or ports that are landed there, with what they take. */
  readonly members: readonly CircuitMember[];
}

/** An inlet or port on a node. */
export interface CircuitMember {
  /** `ZC-1.supply`, `RC-1-01.link`. */
  readonly subject: string;
  readonly at: Place;
  readonly load: Load | undefined;
  /** What it takes at the source's nominal voltage, power factor included; undefined where not known. */
  readonly nominalA: number | undefined;
}

/** A piece of cable. */
export interface CircuitBranch {
  readonly id: string;
  readonly from: string;
  readonly to: string;
  /** In metres; 0 where unknown, which then stands among the gaps. */
  readonly lengthM: number;
  readonly basis: LengthBasis;
  readonly cable: Cable | undefined;
  /** The landing or line that the cable leads to. */
  readonly at: Place;
}

/** A way, an outlet or a giving port. */
export interface CircuitSource {
  /** `PS-1.out`. */
  readonly id: string;
  readonly node: string;
  /** Nominal voltage, between lines where there are three phases. */
  readonly nominalV: number;
  /** Voltage without load, between lines where there are three phases. */
  readonly openV: number;
  readonly resistanceOhm: number;
  /** True where nothing states the resistance, so that the 0 is only a convention for voltages. */
  readonly resistanceAssumed: boolean;
  readonly decoupled: boolean;
}

export interface Circuit {
  /** The nominal voltage to which drops are referred; NaN where it is not known. */
  readonly nominalV: number;
  readonly threePhase: boolean;
  readonly nodes: readonly CircuitNode[];
  readonly branches: readonly CircuitBranch[];
  readonly sources: readonly CircuitSource[];
  /** Where there is any, the circuit has no known operating point. */
  readonly gaps: readonly Gap[];
}

/** What a circuit does at a conductor temperature. Voltages are between lines in three-phase. */
export type CircuitState =
  | {
      readonly kind: 'operating';
      readonly network: Network;
      /** By node id, V. */
      readonly voltageV: ReadonlyMap<string, number>;
      /** By branch id, A, positive from `from` to `to`. */
      readonly branchA: ReadonlyMap<string, number>;
      /** By source id, A. */
      readonly sourceA: ReadonlyMap<string, number>;
      /** Only where a load has a power factor below 1. */
      readonly angles: CircuitAngles | undefined;
    }
  | { readonly kind: 'collapsed'; readonly network: Network }
  | { readonly kind: 'unknown'; readonly gaps: readonly Gap[] };

/** By how much voltages and currents lead the voltage of the sources, in degrees. */
export interface CircuitAngles {
  /** By node id. */
  readonly voltageDeg: ReadonlyMap<string, number>;
  /** By branch id, with the sign of the current as it stands. */
  readonly branchDeg: ReadonlyMap<string, number>;
  /** By source id. */
  readonly sourceDeg: ReadonlyMap<string, number>;
}

/** The state at the temperature at which the site is judged. */
export const stateOf: (site: Site, circuit: Circuit) => CircuitState = memoised((site, circuit) =>
  stateAt(circuit, judgedTemperature(site).temperatureC),
);

/** The state with cold conductors, 20 °C. */
export const coldState: (site: Site, circuit: Circuit) => CircuitState = memoised(
  (_site, circuit) => stateAt(circuit, USUAL_TEMPERATURES_C.cold),
);

/** The state with hot conductors, 70 °C. */
export const hotState: (site: Site, circuit: Circuit) => CircuitState = memoised((_site, circuit) =>
  stateAt(circuit, USUAL_TEMPERATURES_C.hot),
);

/** How far the circuit is from collapse at the judged temperature; undefined where that is not known. */
export const collapseOf: (site: Site, circuit: Circuit) => CollapseMargin | undefined = memoised(
  (site, circuit) => {
    const network = networkAt(circuit, judgedTemperature(site).temperatureC);
    return 'gaps' in network ? undefined : collapseMargin(network);
  },
);

/** The state at any conductor temperature. */
export function stateAt(circuit: Circuit, temperatureC: number): CircuitState {
  const network = networkAt(circuit, temperatureC);
  if ('gaps' in network) {
    return { kind: 'unknown', gaps: network.gaps };
  }
  return stateFrom(circuit, network, solveNetwork(network));
}

/**
 * The circuit as the solver's network. A three-phase circuit becomes the network of one line
 * conductor and the neutral that carries nothing: voltages are divided by √3, one conductor counts.
 */
export function networkAt(
  circuit: Circuit,
  temperatureC: number,
): Network | { readonly gaps: readonly Gap[] } {
  if (circuit.gaps.length > 0) {
    return { gaps: circuit.gaps };
  }
  const scale = scaleOf(circuit);
  const gaps: Gap[] = [];
  const branches = circuit.branches.map((branch) => {
    const resistanceOhm = branchResistanceOhm(circuit, branch, temperatureC);
    if (typeof resistanceOhm !== 'number') {
      gaps.push(resistanceOhm);
    }
    return {
      id: branch.id,
      from: branch.from,
      to: branch.to,
      loopResistanceOhm: typeof resistanceOhm === 'number' ? resistanceOhm : 0,
    };
  });
  if (gaps.length > 0) {
    return { gaps };
  }
  const network: Network = {
    nodes: circuit.nodes.map((node) => ({
      id: node.id,
      loads: node.members.flatMap((member) => member.load ?? []),
    })),
    branches,
    sources: circuit.sources.map((source) => ({
      id: source.id,
      node: source.node,
      voltageV: source.openV / scale,
      resistanceOhm: source.resistanceOhm,
      ...(source.decoupled ? { reverseCurrent: 'blocked' as const } : {}),
    })),
  };
  return hasReactiveLoad(network)
    ? {
        ...network,
        branches: branches.map((branch, index) => ({
          ...branch,
          loopReactanceOhm: branchReactanceOhm(circuit, circuit.branches[index]!),
        })),
      }
    : network;
}

/** Reactance in ohm of a branch, out and back (three-phase: one conductor), by the usual figure a metre. */
export function branchReactanceOhm(circuit: Circuit, branch: CircuitBranch): number {
  return conductorsOf(circuit) * branch.lengthM * CABLE_REACTANCE_OHM_PER_M;
}

/** Resistance in ohm of a branch, out and back (three-phase: one conductor), or what is missing for it. */
export function branchResistanceOhm(
  circuit: Circuit,
  branch: CircuitBranch,
  temperatureC: number,
): number | Gap {
  const { cable } = branch;
  if (cable?.cores === undefined) {
    const reason = powerTexts.coresUnstated(cable?.name ?? branch.to);
    const needs = cable === undefined ? '' : powerTexts.needsCores(cable);
    return { subject: branch.to, needs, reason };
  }
  const { size, conductorClass } = cable.cores;
  const perKm = conductorResistance(
    conductorClass === undefined ? { size } : { size, conductorClass },
    temperatureC,
  );
  if (!perKm.known) {
    return { subject: branch.to, needs: powerTexts.needsCores(cable), reason: perKm.reason };
  }
  return (conductorsOf(circuit) * branch.lengthM * perKm.value) / 1000;
}

/** The node on which an inlet or port stands. */
export function nodeOf(circuit: Circuit, subject: string, at?: Place): CircuitNode | undefined {
  return circuit.nodes.find((node) =>
    node.members.some(
      (member) =>
        member.subject === subject &&
        (at === undefined ||
          (member.at.declaration === at.declaration && member.at.part === at.part)),
    ),
  );
}

/** √3 where voltages are between lines and the network is that of one line. */
export function scaleOf(circuit: Circuit): number {
  return circuit.threePhase ? Math.sqrt(3) : 1;
}

function conductorsOf(circuit: Circuit): 1 | 2 {
  return conductorLengths(circuit.threePhase ? 'three-phase' : 'single-phase');
}

function stateFrom(circuit: Circuit, network: Network, solution: NetworkSolution): CircuitState {
  switch (solution.kind) {
    case 'rejected': {
      const reason = powerTexts.rejected(solution.problem);
      return { kind: 'unknown', gaps: [{ subject: solution.at[0] ?? '', needs: '', reason }] };
    }
    case 'no-operating-point':
      return { kind: 'collapsed', network };
    case 'operating-point': {
      const scale = scaleOf(circuit);
      return {
        kind: 'operating',
        network,
        voltageV: new Map(solution.nodes.map((node) => [node.id, node.voltageV * scale])),
        branchA: new Map(solution.branches.map((branch) => [branch.id, branch.currentA])),
        sourceA: new Map(solution.sources.map((source) => [source.id, source.currentA])),
        angles: hasReactiveLoad(network) ? anglesOf(solution) : undefined,
      };
    }
  }
}

function anglesOf(solution: OperatingPoint): CircuitAngles {
  const byId = (all: readonly { readonly id: string; readonly angleDeg?: number }[]) =>
    new Map(all.map(({ id, angleDeg }) => [id, angleDeg ?? 0]));
  return {
    voltageDeg: byId(solution.nodes),
    branchDeg: byId(solution.branches),
    sourceDeg: byId(solution.sources),
  };
}
