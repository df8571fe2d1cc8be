/** A feed or a powered bus as an electrical network: plain data in, an operating point out. */

/**
 * What a load does when its voltage changes. A node may have several.
 *
 * The figures are those of the active part: A in phase with the voltage, W, ohm of the parallel
 * resistance. On alternating current a lagging reactive part may stand beside it.
 */
export type Load = (
  | { readonly kind: 'constant-current'; readonly currentA: number }
  | { readonly kind: 'constant-power'; readonly powerW: number }
  | { readonly kind: 'resistive'; readonly resistanceOhm: number }
) & {
  /** tan φ: reactive for each unit of active, lagging. Left out: 0, a power factor of 1. */
  readonly reactivePerActive?: number;
};

/** A point of the network: an inlet, a port, a junction. */
export interface NetworkNode {
  readonly id: string;
  readonly loads: readonly Load[];
}

/** A run of cable between two nodes with the resistance of both its conductors; 0 is allowed. */
export interface Branch {
  readonly id: string;
  readonly from: string;
  readonly to: string;
  readonly loopResistanceOhm: number;
  /**
   * Of both conductors, too. It counts only in a network with a reactive load, and never where the
   * resistance is 0: at a power factor of 1 it turns the voltage and hardly lowers it.
   */
  readonly loopReactanceOhm?: number;
}

/** A voltage behind a resistance; 0 is an ideal source. */
export interface NetworkSource {
  readonly id: string;
  readonly node: string;
  readonly voltageV: number;
  readonly resistanceOhm: number;
  /** `blocked`: a decoupling diode keeps current from flowing back in (its own drop is not counted). */
  readonly reverseCurrent?: 'possible' | 'blocked';
}

/** The whole network: a tree, a ring, or fed at several places. */
export interface Network {
  readonly nodes: readonly NetworkNode[];
  readonly branches: readonly Branch[];
  readonly sources: readonly NetworkSource[];
}

/** What a network does. Lists are in the order of the network's own lists. */
export type NetworkSolution = OperatingPoint | NoOperatingPoint | NetworkRejected;

/** The stable operating point: of several solutions the one with the highest voltages. */
export interface OperatingPoint {
  readonly kind: 'operating-point';
  readonly nodes: readonly SolvedNode[];
  readonly branches: readonly SolvedBranch[];
  readonly sources: readonly SolvedSource[];
  /** Newton steps that it took. */
  readonly iterations: number;
}

/**
 * A node's voltage, and the current that its loads take; effective values on alternating current.
 *
 * Here and below the angles stand only where the network has a reactive load. They are counted from
 * the voltage of the sources, in degrees; a current is its signed effective value at its angle.
 */
export interface SolvedNode {
  readonly id: string;
  readonly voltageV: number;
  readonly loadCurrentA: number;
  readonly angleDeg?: number;
}

/** A branch's current, positive from `from` to `to`; with an angle: where active power flows that way. */
export interface SolvedBranch {
  readonly id: string;
  readonly currentA: number;
  readonly angleDeg?: number;
}

/** A source's current, positive out of the source; negative means that another source drives it. */
export interface SolvedSource {
  readonly id: string;
  readonly currentA: number;
  readonly angleDeg?: number;
}

/**
 * The loads ask for more than the network can carry: a result, and not a failure to converge.
 *
 * `constant-power`: without its constant-power loads the network works, with them the voltage
 * collapses. `constant-current`: already the constant currents take more than the source voltage.
 */
export interface NoOperatingPoint {
  readonly kind: 'no-operating-point';
  readonly cause: 'constant-power' | 'constant-current';
  /** Where the network stops working; null where it has no constant-power load at all. */
  readonly margin: CollapseFactor | null;
}

/** Where the growing constant-power loads bring the network down. */
export interface CollapseFactor {
  readonly kind: 'factor';
  /**
   * An operating point exists with every constant-power load multiplied by this; below 1 the
   * network has collapsed, and 0 means that it does not work even without those loads.
   */
  readonly factor: number;
  /**
   * None exists at this factor: proved, not merely not found. At most a billionth higher. With
   * reactive loads: the path of operating points, followed from no power on, turns back before it.
   */
  readonly failsAtFactor: number;
}

/** How far a network is from collapse. `unbounded`: no constant-power load lies behind a resistance that it could feel. */
export type CollapseMargin = CollapseFactor | { readonly kind: 'unbounded' } | NetworkRejected;

/** The input is no network. `at` names the nodes, branches or sources that are concerned. */
export interface NetworkRejected {
  readonly kind: 'rejected';
  readonly problem: NetworkProblem;
  readonly at: readonly string[];
}

/** Why an input is no network. */
export type NetworkProblem =
  | 'id-twice'
  | 'node-unknown'
  | 'value-out-of-range' // a negative or infinite number, a source of 0 V, or a resistive load of 0 ohm
  | 'source-missing'
  | 'node-unsupplied' // no path of branches to a source
  | 'ideal-sources-joined' // two sources without resistance on one point: their shares are not defined
  | 'resistanceless-loop' // branches without resistance in a ring: their shares are not defined
  | 'too-many-blocked-sources' // more than four
  | 'blocked-source-alternating' // a decoupling diode beside a reactive load
  | 'undecided'; // the path of operating points of a network with reactive loads ends without a nose
