/** Distances along the cables of a segment, each computed in time linear in the number of cables. */
import { knownLengthM, otherEnd } from './graph.js';
import type { BusCable, BusGraph } from './graph.js';

/** Two nodes with the cable between them, in metres. */
export interface NodePair {
  readonly one: number;
  readonly other: number;
  readonly lengthM: number;
}

/** Distances from a node, and over which node the way leads back. */
export interface Distances {
  /** In metres by node; Infinity where no cable leads there. */
  readonly lengthM: readonly number[];
  /** By node the one before it on the way; −1 at the start. */
  readonly before: readonly number[];
}

/**
 * Distances from a node of a graph without loops; where there are some, the distances along the
 * first way found.
 */
export function distancesFrom(graph: BusGraph, start: number): Distances {
  const lengthM = graph.nodes.map(() => Number.POSITIVE_INFINITY);
  const before = graph.nodes.map(() => -1);
  lengthM[start] = 0;
  const queue = [start];
  for (const node of queue) {
    for (const position of graph.cablesAt[node]!) {
      const cable = graph.cables[position]!;
      const next = otherEnd(cable, node);
      if (lengthM[next] === Number.POSITIVE_INFINITY) {
        lengthM[next] = lengthM[node]! + knownLengthM(cable);
        before[next] = node;
        queue.push(next);
      }
    }
  }
  return { lengthM, before };
}

/**
 * The two nodes that are furthest apart by the shortest way between them.
 *
 * Undefined for an empty graph and for one with more than one loop. Of several pairs the one with
 * the earliest landings.
 */
export function farthestPair(graph: BusGraph): NodePair | undefined {
  if (graph.nodes.length === 0 || graph.loops > 1) {
    return undefined;
  }
  const pair = graph.loops === 0 ? farthestInTree(graph) : farthestAroundLoop(graph);
  return pair.one <= pair.other
    ? pair
    : { one: pair.other, other: pair.one, lengthM: pair.lengthM };
}

/** The shortest distance in metres from each node to the nearest of several. */
export function distancesToNearest(graph: BusGraph, starts: readonly number[]): readonly number[] {
  if (graph.loops === 0 && starts.length === 1) {
    return distancesFrom(graph, starts[0]!).lengthM;
  }
  const lengthM = graph.nodes.map(() => Number.POSITIVE_INFINITY);
  const heap = new Heap();
  for (const start of starts) {
    lengthM[start] = 0;
    heap.push({ node: start, lengthM: 0 });
  }
  for (let least = heap.pop(); least !== undefined; least = heap.pop()) {
    if (least.lengthM > lengthM[least.node]!) {
      continue;
    }
    for (const position of graph.cablesAt[least.node]!) {
      const cable = graph.cables[position]!;
      const next = otherEnd(cable, least.node);
      const through = least.lengthM + knownLengthM(cable);
      if (through < lengthM[next]!) {
        lengthM[next] = through;
        heap.push({ node: next, lengthM: through });
      }
    }
  }
  return lengthM;
}

/** The cables of a shortest way between two nodes, in its order; none where no way leads there. */
export function cablesBetween(
  graph: BusGraph,
  { one, other }: Pick<NodePair, 'one' | 'other'>,
): readonly BusCable[] {
  const lengthM = distancesToNearest(graph, [one]);
  const way: BusCable[] = [];
  const passed = new Set([other]);
  for (let node = other; node !== one;) {
    const back = graph.cablesAt[node]!.map((position) => graph.cables[position]!).find((cable) => {
      const before = otherEnd(cable, node);
      return !passed.has(before) && lengthM[before]! + knownLengthM(cable) === lengthM[node];
    });
    if (back === undefined) {
      return [];
    }
    way.unshift(back);
    node = otherEnd(back, node);
    passed.add(node);
  }
  return way;
}

/** From any node the farthest one is an end of a longest way of a tree. */
function farthestInTree(graph: BusGraph): NodePair {
  const one = indexOfGreatest(distancesFrom(graph, 0).lengthM);
  const { lengthM } = distancesFrom(graph, one);
  const other = indexOfGreatest(lengthM);
  return { one, other, lengthM: lengthM[other]! };
}

function indexOfGreatest(values: readonly number[]): number {
  let best = 0;
  values.forEach((value, index) => {
    if (value > values[best]! && value !== Number.POSITIVE_INFINITY) {
      best = index;
    }
  });
  return best;
}

/** A node of the loop with the deepest branch that hangs on it. */
interface LoopNode {
  readonly deepest: number;
  readonly depthM: number;
}

function farthestAroundLoop(graph: BusGraph): NodePair {
  const { best, deepest, onLoop } = foldBranches(graph);
  const { nodes, positionsM, aroundM } = walkLoop(graph, onLoop);
  const hanging: readonly LoopNode[] = nodes.map((node) => deepest[node]!);
  const across = farthestAcross(hanging, positionsM, aroundM);
  return across !== undefined && across.lengthM > best.lengthM ? across : best;
}

/**
 * Takes the branches off a graph with one loop, leaf by leaf, until the loop alone is left; keeps
 * the deepest branch of each node and the longest way that lies within branches.
 */
function foldBranches(graph: BusGraph): {
  readonly best: NodePair;
  readonly deepest: readonly LoopNode[];
  readonly onLoop: readonly boolean[];
} {
  const deepest: LoopNode[] = graph.nodes.map((_, node) => ({ deepest: node, depthM: 0 }));
  const left = graph.cablesAt.map((cables) => cables.length);
  const onLoop = graph.nodes.map(() => true);
  const gone = new Set<number>();
  let best: NodePair = { one: 0, other: 0, lengthM: 0 };
  const leaves = [...left.keys()].filter((node) => left[node] === 1);
  for (const leaf of leaves) {
    const position = graph.cablesAt[leaf]!.find((cable) => !gone.has(cable));
    if (position === undefined) {
      continue;
    }
    gone.add(position);
    onLoop[leaf] = false;
    const cable = graph.cables[position]!;
    const inner = otherEnd(cable, leaf);
    const branch = {
      deepest: deepest[leaf]!.deepest,
      depthM: deepest[leaf]!.depthM + knownLengthM(cable),
    };
    const there = deepest[inner]!;
    if (branch.depthM + there.depthM > best.lengthM) {
      best = {
        one: branch.deepest,
        other: there.deepest,
        lengthM: branch.depthM + there.depthM,
      };
    }
    if (branch.depthM > there.depthM) {
      deepest[inner] = branch;
    }
    left[inner]! -= 1;
    if (left[inner] === 1) {
      leaves.push(inner);
    }
  }
  return { best, deepest, onLoop };
}

/** The nodes of the loop in turn, each with its distance from the first one, and the way around. */
function walkLoop(
  graph: BusGraph,
  onLoop: readonly boolean[],
): {
  readonly nodes: readonly number[];
  readonly positionsM: readonly number[];
  readonly aroundM: number;
} {
  const start = onLoop.indexOf(true);
  const nodes: number[] = [];
  const positionsM: number[] = [];
  const walked = new Set<number>();
  let aroundM = 0;
  for (let node = start; nodes.length === 0 || node !== start;) {
    nodes.push(node);
    positionsM.push(aroundM);
    const position = graph.cablesAt[node]!.find(
      (one) => !walked.has(one) && onLoop[otherEnd(graph.cables[one]!, node)]!,
    );
    if (position === undefined) {
      break;
    }
    walked.add(position);
    aroundM += knownLengthM(graph.cables[position]!);
    node = otherEnd(graph.cables[position]!, node);
  }
  return { nodes, positionsM, aroundM };
}

/**
 * The greatest depth + depth + shorter way around over all pairs on a loop.
 *
 * The loop is walked twice; for each node the best partner at most half the loop behind it stands
 * at the front of a queue in which depth − position falls.
 */
function farthestAcross(
  hanging: readonly LoopNode[],
  positionsM: readonly number[],
  aroundM: number,
): NodePair | undefined {
  const count = hanging.length;
  const positionM = (step: number): number =>
    positionsM[step % count]! + (step < count ? 0 : aroundM);
  const behind = (step: number): number => hanging[step % count]!.depthM - positionM(step);
  const queue: number[] = [];
  let head = 0;
  let best: NodePair | undefined;
  for (let step = 0; step < 2 * count; step += 1) {
    while (
      head < queue.length &&
      (step - queue[head]! >= count || positionM(step) - positionM(queue[head]!) > aroundM / 2)
    ) {
      head += 1;
    }
    if (head < queue.length) {
      const partner = queue[head]!;
      const lengthM = behind(partner) + hanging[step % count]!.depthM + positionM(step);
      if (best === undefined || lengthM > best.lengthM) {
        best = {
          one: hanging[partner % count]!.deepest,
          other: hanging[step % count]!.deepest,
          lengthM,
        };
      }
    }
    while (queue.length > head && behind(queue[queue.length - 1]!) <= behind(step)) {
      queue.pop();
    }
    queue.push(step);
  }
  return best;
}

interface Reached {
  readonly node: number;
  readonly lengthM: number;
}

/** A binary heap with the shortest distance on top. */
class Heap {
  readonly #items: Reached[] = [];

  push(item: Reached): void {
    const items = this.#items;
    let index = items.push(item) - 1;
    while (index > 0) {
      const parent = (index - 1) >> 1;
      if (items[parent]!.lengthM <= item.lengthM) {
        break;
      }
      items[index] = items[parent]!;
      index = parent;
    }
    items[index] = item;
  }

  pop(): Reached | undefined {
    const items = this.#items;
    const least = items[0];
    const last = items.pop();
    if (least === undefined || last === undefined || items.length === 0) {
      return least;
    }
    let index = 0;
    for (;;) {
      let child = 2 * index + 1;
      if (child >= items.length) {
        break;
      }
      if (child + 1 < items.length && items[child + 1]!.lengthM < items[child]!.lengthM) {
        child += 1;
      }
      if (items[child]!.lengthM >= last.lengthM) {
        break;
      }
      items[index] = items[child]!;
      index = child;
    }
    items[index] = last;
    return least;
  }
}
