/** Turns a checked network into the numbers of its nodal equations. */
import type { Network } from './network.js';
import { planElimination } from './star-mesh.js';
import type { EliminationPlan } from './star-mesh.js';

/**
 * The nodal equations: nodes joined without resistance are one point; points held by an ideal
 * source are known, the others are the free ones that all arrays here are indexed by.
 */
export interface NodalEquations {
  /** For each node of the network its free point, or the voltage in V that an ideal source holds. */
  readonly pointOfNode: readonly NodePoint[];
  readonly plan: EliminationPlan;
  readonly conductanceS: Float64Array;
  /** To the reference: source conductances and resistive loads. */
  readonly shuntS: Float64Array;
  /** Source currents less constant-current loads. */
  readonly injectionA: Float64Array;
  readonly powerW: Float64Array;
  /** The highest source voltage: the scale for what counts as zero. */
  readonly scaleV: number;
}

/** Where a node's voltage comes from. */
export type NodePoint =
  | { readonly kind: 'free'; readonly index: number }
  | { readonly kind: 'held'; readonly voltageV: number };

/** Builds the equations of a network that has passed its check. */
export function buildEquations(network: Network): NodalEquations {
  const nodeIndex = new Map(network.nodes.map((node, index) => [node.id, index]));
  const pointOfNode = pointsOf(network, nodeIndex);
  const freeCount = countFree(pointOfNode);
  const shuntS = new Float64Array(freeCount);
  const injectionA = new Float64Array(freeCount);
  const powerW = new Float64Array(freeCount);
  const edges = new EdgeList(freeCount);

  for (const branch of network.branches) {
    const from = pointOfNode[nodeIndex.get(branch.from)!]!;
    const to = pointOfNode[nodeIndex.get(branch.to)!]!;
    const conductanceS = 1 / branch.loopResistanceOhm;
    if (from.kind === 'free' && to.kind === 'free') {
      edges.add(from.index, to.index, conductanceS);
    } else if (from.kind === 'free' && to.kind === 'held') {
      shuntS[from.index]! += conductanceS;
      injectionA[from.index]! += conductanceS * to.voltageV;
    } else if (from.kind === 'held' && to.kind === 'free') {
      shuntS[to.index]! += conductanceS;
      injectionA[to.index]! += conductanceS * from.voltageV;
    }
  }
  for (const source of network.sources) {
    const point = pointOfNode[nodeIndex.get(source.node)!]!;
    if (point.kind === 'free') {
      shuntS[point.index]! += 1 / source.resistanceOhm;
      injectionA[point.index]! += source.voltageV / source.resistanceOhm;
    }
  }
  network.nodes.forEach((node, index) => {
    const point = pointOfNode[index]!;
    if (point.kind === 'held') {
      return;
    }
    for (const load of node.loads) {
      switch (load.kind) {
        case 'constant-current':
          injectionA[point.index]! -= load.currentA;
          break;
        case 'constant-power':
          powerW[point.index]! += load.powerW;
          break;
        case 'resistive':
          shuntS[point.index]! += 1 / load.resistanceOhm;
          break;
      }
    }
  });

  const plan = planElimination(freeCount, edges.pairs);
  const conductanceS = new Float64Array(plan.edgeCount);
  conductanceS.set(edges.conductancesS);
  const scaleV = Math.max(...network.sources.map((source) => source.voltageV));
  return { pointOfNode, plan, conductanceS, shuntS, injectionA, powerW, scaleV };
}

/** The voltage of each node of the network, from those of the free points. */
export function nodeVoltages(equations: NodalEquations, freeV: Float64Array): readonly number[] {
  return equations.pointOfNode.map((point) =>
    point.kind === 'free' ? freeV[point.index]! : point.voltageV,
  );
}

/** Edges between free points; parallel branches become one, a branch onto its own point none. */
class EdgeList {
  readonly pairs: (readonly [number, number])[] = [];
  readonly conductancesS: number[] = [];
  private readonly indexByPair = new Map<number, number>();

  constructor(private readonly pointCount: number) {}

  add(one: number, other: number, conductanceS: number): void {
    if (one === other) {
      return;
    }
    const key = Math.min(one, other) * this.pointCount + Math.max(one, other);
    const known = this.indexByPair.get(key);
    if (known !== undefined) {
      this.conductancesS[known]! += conductanceS;
      return;
    }
    this.indexByPair.set(key, this.pairs.length);
    this.pairs.push([one, other]);
    this.conductancesS.push(conductanceS);
  }
}

/** The point of each node: nodes joined without resistance share one. */
export function pointsOf(
  network: Network,
  nodeIndex: ReadonlyMap<string, number>,
): readonly NodePoint[] {
  const joined = new DisjointSets(network.nodes.length);
  for (const branch of network.branches) {
    if (branch.loopResistanceOhm === 0) {
      joined.join(nodeIndex.get(branch.from)!, nodeIndex.get(branch.to)!);
    }
  }
  const pointOfRoot = new Map<number, NodePoint>();
  for (const source of network.sources) {
    if (source.resistanceOhm === 0) {
      const root = joined.rootOf(nodeIndex.get(source.node)!);
      pointOfRoot.set(root, { kind: 'held', voltageV: source.voltageV });
    }
  }
  let freeCount = 0;
  return network.nodes.map((_, node) => {
    const root = joined.rootOf(node);
    let point = pointOfRoot.get(root);
    if (point === undefined) {
      point = { kind: 'free', index: freeCount };
      freeCount += 1;
      pointOfRoot.set(root, point);
    }
    return point;
  });
}

function countFree(points: readonly NodePoint[]): number {
  return points.reduce(
    (count, point) => (point.kind === 'free' ? Math.max(count, point.index + 1) : count),
    0,
  );
}

/** Sets of numbers that are joined step by step (union-find). */
export class DisjointSets {
  private readonly parent: Int32Array;

  constructor(size: number) {
    this.parent = Int32Array.from({ length: size }, (_, index) => index);
  }

  rootOf(element: number): number {
    let root = element;
    while (this.parent[root] !== root) {
      this.parent[root] = this.parent[this.parent[root]!]!;
      root = this.parent[root]!;
    }
    return root;
  }

  /** Joins two sets; false where they are one already. */
  join(one: number, other: number): boolean {
    const [a, b] = [this.rootOf(one), this.rootOf(other)];
    this.parent[Math.max(a, b)] = Math.min(a, b);
    return a !== b;
  }
}
