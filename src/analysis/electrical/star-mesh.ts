/**
 * Solves the nodal equations of a resistive network by eliminating one node after the other
 * (star-mesh transformation).
 *
 * Each step replaces the star of a node by the mesh of its neighbours, so conductances are only
 * ever added and never subtracted: small loads behind thick cables keep all their digits. Nodes
 * with the fewest neighbours go first; on a tree nothing is filled in and the whole is the
 * classical backward and forward sweep, on a ring it costs one more conductance a node.
 */

/** The order of elimination and what each step touches; depends on the shape alone. */
export interface EliminationPlan {
  readonly nodeCount: number;
  /** Conductances that a numeric run needs, filled-in ones included. */
  readonly edgeCount: number;
  readonly steps: readonly EliminationStep[];
}

interface EliminationStep {
  readonly node: number;
  readonly neighbours: readonly number[];
  /** The edge from the node to each of its neighbours. */
  readonly edges: readonly number[];
  /** The edge between each two neighbours, in the order (0,1), (0,2), …, (1,2), … */
  readonly meshEdges: readonly number[];
}

/** Plans the elimination of `nodeCount` nodes; `edges` are pairs of different nodes, each pair once. */
export function planElimination(
  nodeCount: number,
  edges: readonly (readonly [number, number])[],
): EliminationPlan {
  const adjacency = Array.from({ length: nodeCount }, () => new Map<number, number>());
  let edgeCount = 0;
  const connect = (a: number, b: number): void => {
    adjacency[a]!.set(b, edgeCount);
    adjacency[b]!.set(a, edgeCount);
    edgeCount += 1;
  };
  for (const [a, b] of edges) {
    connect(a, b);
  }
  const steps: EliminationStep[] = [];
  const done = new Uint8Array(nodeCount);
  const leaves = allNodes(nodeCount).filter((node) => adjacency[node]!.size <= 1);
  while (steps.length < nodeCount) {
    const node = nextLeaf(leaves, done) ?? nodeWithFewestNeighbours(adjacency, done);
    done[node] = 1;
    const neighbours = [...adjacency[node]!.keys()];
    const nodeEdges = [...adjacency[node]!.values()];
    const meshEdges: number[] = [];
    for (const neighbour of neighbours) {
      adjacency[neighbour]!.delete(node);
    }
    for (let a = 0; a < neighbours.length; a += 1) {
      for (let b = a + 1; b < neighbours.length; b += 1) {
        const [one, other] = [neighbours[a]!, neighbours[b]!];
        if (!adjacency[one]!.has(other)) {
          connect(one, other);
        }
        meshEdges.push(adjacency[one]!.get(other)!);
      }
    }
    leaves.push(...neighbours.filter((neighbour) => adjacency[neighbour]!.size <= 1));
    steps.push({ node, neighbours, edges: nodeEdges, meshEdges });
  }
  return { nodeCount, edgeCount, steps };
}

/**
 * Node voltages in V of the network, or undefined where the equations are not positive definite.
 *
 * `conductanceS` has one value an edge of the plan, zero for filled-in ones; `shuntS` one a node
 * to the reference and may be negative (the slope of a constant-power load); `injectionA` one a
 * node. Without a negative shunt, undefined means a node without a path to the reference.
 */
export function solveByElimination(
  plan: EliminationPlan,
  conductanceS: Float64Array,
  shuntS: Float64Array,
  injectionA: Float64Array,
): Float64Array | undefined {
  const conductance = conductanceS.slice();
  const shunt = shuntS.slice();
  const injection = injectionA.slice();
  const total = new Float64Array(plan.nodeCount);
  for (const { node, neighbours, edges, meshEdges } of plan.steps) {
    let sum = shunt[node]!;
    for (const edge of edges) {
      sum += conductance[edge]!;
    }
    if (!(sum > 0)) {
      return undefined;
    }
    total[node] = sum;
    let mesh = 0;
    for (let a = 0; a < neighbours.length; a += 1) {
      const share = conductance[edges[a]!]! / sum;
      shunt[neighbours[a]!]! += share * shunt[node]!;
      injection[neighbours[a]!]! += share * injection[node]!;
      for (let b = a + 1; b < neighbours.length; b += 1) {
        conductance[meshEdges[mesh]!]! += share * conductance[edges[b]!]!;
        mesh += 1;
      }
    }
  }
  const voltage = new Float64Array(plan.nodeCount);
  for (let step = plan.steps.length - 1; step >= 0; step -= 1) {
    const { node, neighbours, edges } = plan.steps[step]!;
    let sum = injection[node]!;
    for (let a = 0; a < neighbours.length; a += 1) {
      sum += conductance[edges[a]!]! * voltage[neighbours[a]!]!;
    }
    voltage[node] = sum / total[node]!;
  }
  return voltage;
}

function allNodes(nodeCount: number): number[] {
  return Array.from({ length: nodeCount }, (_, node) => node);
}

function nextLeaf(leaves: number[], done: Uint8Array): number | undefined {
  for (let node = leaves.pop(); node !== undefined; node = leaves.pop()) {
    if (done[node] === 0) {
      return node;
    }
  }
  return undefined;
}

/** Only rings come here, so a plain scan does. */
function nodeWithFewestNeighbours(
  adjacency: readonly Map<number, number>[],
  done: Uint8Array,
): number {
  let best = -1;
  for (let node = 0; node < adjacency.length; node += 1) {
    if (done[node] === 0 && (best < 0 || adjacency[node]!.size < adjacency[best]!.size)) {
      best = node;
    }
  }
  return best;
}
