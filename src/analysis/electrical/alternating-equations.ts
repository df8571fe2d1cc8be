/**
 * The nodal equations of a network with reactive loads, in complex voltages: real and imaginary part
 * side by side, the voltage of the sources at 0°.
 *
 * At each free point Y V + y V + I V/|V| + conj(S/V) − J = 0: cables, constant impedances, constant
 * currents (whose angle to the voltage is fixed), constant powers, sources.
 */
import { blockAt } from './block-elimination.js';
import type { BlockMatrix } from './block-elimination.js';
import type { Load, Network } from './network.js';
import { pointsOf } from './nodal-equations.js';
import type { NodePoint } from './nodal-equations.js';
import { planElimination } from './star-mesh.js';
import type { EliminationPlan } from './star-mesh.js';

/** Arrays hold two numbers a free point or an edge. */
export interface AlternatingEquations {
  readonly pointOfNode: readonly NodePoint[];
  readonly plan: EliminationPlan;
  /** The free points that an edge of the plan joins, and its admittance in S. */
  readonly edges: readonly AlternatingEdge[];
  /** To the reference: sources, branches to held points, constant impedances, in S. */
  readonly shuntS: Float64Array;
  /** From sources and held points, in A. */
  readonly injectionA: Float64Array;
  /** Of constant-current loads, with the voltage as reference, in A. */
  readonly currentA: Float64Array;
  /** conj(S) of constant-power loads: W, and var with a minus. */
  readonly powerVA: Float64Array;
  /** The highest source voltage in V. */
  readonly scaleV: number;
}

export interface AlternatingEdge {
  readonly one: number;
  readonly other: number;
  readonly conductanceS: number;
  readonly susceptanceS: number;
}

/** How much of the loads is connected: 0 none, 1 all as stated. */
export interface LoadShares {
  readonly currents: number;
  readonly powers: number;
}

/** Whether a load of the network has a reactive part, so that these equations are needed. */
export function hasReactiveLoad(network: Network): boolean {
  return network.nodes.some((node) => node.loads.some((load) => (load.reactivePerActive ?? 0) > 0));
}

/** Builds the equations of a network that has passed its check. */
export function buildAlternatingEquations(network: Network): AlternatingEquations {
  const nodeIndex = new Map(network.nodes.map((node, index) => [node.id, index]));
  const pointOfNode = pointsOf(network, nodeIndex);
  const pointAt = (id: string): NodePoint => pointOfNode[nodeIndex.get(id)!]!;
  const freeCount = pointOfNode.reduce(
    (count, point) => (point.kind === 'free' ? Math.max(count, point.index + 1) : count),
    0,
  );
  const shuntS = new Float64Array(2 * freeCount);
  const injectionA = new Float64Array(2 * freeCount);
  const currentA = new Float64Array(2 * freeCount);
  const powerVA = new Float64Array(2 * freeCount);
  const edges = new Map<number, AlternatingEdge>();
  for (const branch of network.branches) {
    const [one, other] = [pointAt(branch.from), pointAt(branch.to)];
    if (branch.loopResistanceOhm === 0) {
      continue;
    }
    const [resistanceOhm, reactanceOhm] = impedanceOf(branch);
    const squareOhm2 = resistanceOhm ** 2 + reactanceOhm ** 2;
    const conductanceS = resistanceOhm / squareOhm2;
    const susceptanceS = -reactanceOhm / squareOhm2;
    if (one.kind === 'held' || other.kind === 'held') {
      const free = one.kind === 'free' ? one : other;
      const held = one.kind === 'held' ? one : other;
      if (free.kind === 'free' && held.kind === 'held') {
        add(shuntS, free.index, conductanceS, susceptanceS);
        add(injectionA, free.index, conductanceS * held.voltageV, susceptanceS * held.voltageV);
      }
    } else if (one.index !== other.index) {
      const [low, high] = [Math.min(one.index, other.index), Math.max(one.index, other.index)];
      const key = low * freeCount + high;
      const known = edges.get(key);
      edges.set(key, {
        one: low,
        other: high,
        conductanceS: conductanceS + (known?.conductanceS ?? 0),
        susceptanceS: susceptanceS + (known?.susceptanceS ?? 0),
      });
    }
  }
  for (const source of network.sources) {
    const point = pointAt(source.node);
    if (point.kind === 'free') {
      add(shuntS, point.index, 1 / source.resistanceOhm, 0);
      add(injectionA, point.index, source.voltageV / source.resistanceOhm, 0);
    }
  }
  network.nodes.forEach((node, index) => {
    const point = pointOfNode[index]!;
    for (const load of point.kind === 'free' ? node.loads : []) {
      const [active, reactive] = partsOf(load);
      const target = { 'constant-current': currentA, 'constant-power': powerVA, resistive: shuntS };
      add(target[load.kind], (point as { index: number }).index, active, -reactive);
    }
  });
  return {
    pointOfNode,
    plan: planElimination(
      freeCount,
      [...edges.values()].map(({ one, other }) => [one, other] as const),
    ),
    edges: [...edges.values()],
    shuntS,
    injectionA,
    currentA,
    powerVA,
    scaleV: Math.max(...network.sources.map((source) => source.voltageV)),
  };
}

/** Resistance and reactance of a branch; a cable without resistance has no length and so no reactance. */
export function impedanceOf(branch: Network['branches'][number]): readonly [number, number] {
  return branch.loopResistanceOhm === 0
    ? [0, 0]
    : [branch.loopResistanceOhm, branch.loopReactanceOhm ?? 0];
}

/** The current that a load takes at a voltage, in A, real and imaginary part. */
export function loadCurrent(
  load: Load,
  [real, imaginary]: readonly [number, number],
  powerShare: number,
): readonly [number, number] {
  const [active, reactive] = partsOf(load);
  const square = real ** 2 + imaginary ** 2;
  const along = {
    'constant-current': 1 / Math.sqrt(square),
    'constant-power': powerShare / square,
    resistive: 1,
  }[load.kind];
  return [
    along * (active * real + reactive * imaginary),
    along * (active * imaginary - reactive * real),
  ];
}

/** What is left over at each free point in A: all 0 at an operating point. */
export function residualA(
  equations: AlternatingEquations,
  shares: LoadShares,
  voltageV: Float64Array,
): Float64Array {
  const left = new Float64Array(voltageV.length);
  // Of the differences along the cables, not of their ends: only so do small drops keep their digits.
  for (const { one, other, conductanceS, susceptanceS } of equations.edges) {
    const real = voltageV[2 * one]! - voltageV[2 * other]!;
    const imaginary = voltageV[2 * one + 1]! - voltageV[2 * other + 1]!;
    const alongA = conductanceS * real - susceptanceS * imaginary;
    const acrossA = conductanceS * imaginary + susceptanceS * real;
    add(left, one, alongA, acrossA);
    add(left, other, -alongA, -acrossA);
  }
  for (let point = 0; point < equations.plan.nodeCount; point += 1) {
    const [real, imaginary] = [voltageV[2 * point]!, voltageV[2 * point + 1]!];
    const square = real ** 2 + imaginary ** 2;
    const { shuntS, injectionA, currentA, powerVA } = equations;
    const alongS = shares.currents / Math.sqrt(square);
    const powerS = shares.powers / square;
    const [a, b] = [
      shuntS[2 * point]! + alongS * currentA[2 * point]! + powerS * powerVA[2 * point]!,
      shuntS[2 * point + 1]! + alongS * currentA[2 * point + 1]! + powerS * powerVA[2 * point + 1]!,
    ];
    add(
      left,
      point,
      a * real - b * imaginary - injectionA[2 * point]!,
      a * imaginary + b * real - injectionA[2 * point + 1]!,
    );
  }
  return left;
}

/** How the residuals change with the voltages, in S. */
export function jacobian(
  equations: AlternatingEquations,
  shares: LoadShares,
  voltageV: Float64Array,
): BlockMatrix {
  const { plan, edges, shuntS, currentA, powerVA } = equations;
  const diagonal = new Float64Array(4 * plan.nodeCount);
  const offDiagonal = new Float64Array(8 * plan.edgeCount);
  edges.forEach(({ one, other, conductanceS, susceptanceS }, edge) => {
    addComplex(diagonal, 4 * one, conductanceS, susceptanceS);
    addComplex(diagonal, 4 * other, conductanceS, susceptanceS);
    addComplex(offDiagonal, blockAt(edge, one, other), -conductanceS, -susceptanceS);
    addComplex(offDiagonal, blockAt(edge, other, one), -conductanceS, -susceptanceS);
  });
  for (let point = 0; point < plan.nodeCount; point += 1) {
    const at = 4 * point;
    const [x, y] = [voltageV[2 * point]!, voltageV[2 * point + 1]!];
    const square = x ** 2 + y ** 2;
    const size = Math.sqrt(square);
    addComplex(diagonal, at, shuntS[2 * point]!, shuntS[2 * point + 1]!);
    // d(V/|V|) = dV/|V| − V (x dx + y dy)/|V|³, times the current.
    const [ca, cb] = [
      shares.currents * currentA[2 * point]!,
      shares.currents * currentA[2 * point + 1]!,
    ];
    addComplex(diagonal, at, ca / size, cb / size);
    const [alongX, alongY] = [(ca * x - cb * y) / size ** 3, (ca * y + cb * x) / size ** 3];
    diagonal[at]! -= alongX * x;
    diagonal[at + 1]! -= alongX * y;
    diagonal[at + 2]! -= alongY * x;
    diagonal[at + 3]! -= alongY * y;
    // With conj(V) = V': d(S'/V') = −S'/V'² dV', and 1/V'² is V²/|V|⁴.
    const [pa, pb] = [shares.powers * powerVA[2 * point]!, shares.powers * powerVA[2 * point + 1]!];
    const [qa, qb] = [(x ** 2 - y ** 2) / square ** 2, (2 * x * y) / square ** 2];
    const [a, b] = [-(pa * qa - pb * qb), -(pa * qb + pb * qa)];
    diagonal[at]! += a;
    diagonal[at + 1]! += b;
    diagonal[at + 2]! += b;
    diagonal[at + 3]! -= a;
  }
  return { diagonal, offDiagonal };
}

function partsOf(load: Load): readonly [active: number, reactive: number] {
  const active =
    load.kind === 'constant-current'
      ? load.currentA
      : load.kind === 'constant-power'
        ? load.powerW
        : 1 / load.resistanceOhm;
  return [active, active * (load.reactivePerActive ?? 0)];
}

function add(to: Float64Array, index: number, real: number, imaginary: number): void {
  to[2 * index]! += real;
  to[2 * index + 1]! += imaginary;
}

/** Adds the block that multiplies by a complex number. */
function addComplex(to: Float64Array, at: number, real: number, imaginary: number): void {
  to[at]! += real;
  to[at + 1]! -= imaginary;
  to[at + 2]! += imaginary;
  to[at + 3]! += real;
}
