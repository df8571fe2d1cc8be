/**
 * Currents of branches and sources from the node voltages.
 *
 * A spanning tree of the elements with the least resistance is balanced from its leaves, so that
 * Kirchhoff's current law holds by construction and elements without resistance get a current too;
 * only the elements that close a loop take theirs from Ohm's law, and they have the most resistance.
 */
import { DisjointSets } from './nodal-equations.js';
import { reject } from './network-check.js';
import type { Network, NetworkRejected, SolvedBranch, SolvedSource } from './network.js';

/** The elements of a network as a tree from the reference and the elements that close loops. */
export interface SpanningTree {
  readonly elements: readonly Element[];
  /** Tree elements from the reference outwards, each with the end that lies farther out. */
  readonly outward: readonly { readonly element: number; readonly outerNode: number }[];
  readonly chords: readonly number[];
}

/** A branch, or a source seen as a branch from the reference that lifts the voltage. */
interface Element {
  readonly from: number;
  readonly to: number;
  readonly resistanceOhm: number;
  readonly liftV: number;
}

/** Builds the tree, or tells which elements without resistance close a loop. */
export function buildSpanningTree(network: Network): SpanningTree | NetworkRejected {
  const elements = elementsOf(network);
  const reference = network.nodes.length;
  const branchCount = network.branches.length;
  // Branches come before sources where the resistances are equal, so that a clash of two ideal
  // sources shows as one and not as a loop of the branches between them.
  const order = elements
    .map((_, index) => index)
    .sort((a, b) => elements[a]!.resistanceOhm - elements[b]!.resistanceOhm || a - b);
  const sets = new DisjointSets(reference + 1);
  const chords = order.filter((index) => !sets.join(elements[index]!.from, elements[index]!.to));
  const undetermined = chords.filter((index) => elements[index]!.resistanceOhm === 0);
  return (
    reject(
      'resistanceless-loop',
      undetermined.filter((index) => index < branchCount).map((i) => network.branches[i]!.id),
    ) ??
    reject(
      'ideal-sources-joined',
      undetermined.map((index) => network.sources[index - branchCount]!.id),
    ) ?? { elements, outward: outwardFrom(reference, elements, new Set(chords)), chords }
  );
}

/** The currents of all branches and sources; loads in A and voltages in V stand in the order of the nodes. */
export function branchCurrents(
  network: Network,
  tree: SpanningTree,
  voltageV: readonly number[],
  loadA: readonly number[],
): { readonly branches: readonly SolvedBranch[]; readonly sources: readonly SolvedSource[] } {
  const { elements, outward, chords } = tree;
  const currentA = new Float64Array(elements.length);
  const potentialV = [...voltageV, 0];
  const demandA = [...loadA, 0];
  for (const chord of chords) {
    const { from, to, resistanceOhm, liftV } = elements[chord]!;
    currentA[chord] = (potentialV[from]! + liftV - potentialV[to]!) / resistanceOhm;
    demandA[from]! += currentA[chord]!;
    demandA[to]! -= currentA[chord]!;
  }
  for (const { element, outerNode } of [...outward].reverse()) {
    const { from, to } = elements[element]!;
    currentA[element] = outerNode === to ? demandA[to]! : -demandA[from]!;
    demandA[outerNode === to ? from : to]! += demandA[outerNode]!;
  }
  const branchCount = network.branches.length;
  return {
    branches: network.branches.map(({ id }, index) => ({ id, currentA: currentA[index]! })),
    sources: network.sources.map(({ id }, index) => ({
      id,
      currentA: currentA[branchCount + index]!,
    })),
  };
}

function elementsOf(network: Network): readonly Element[] {
  const nodeIndex = new Map(network.nodes.map((node, index) => [node.id, index]));
  const reference = network.nodes.length;
  return [
    ...network.branches.map((branch) => ({
      from: nodeIndex.get(branch.from)!,
      to: nodeIndex.get(branch.to)!,
      resistanceOhm: branch.loopResistanceOhm,
      liftV: 0,
    })),
    ...network.sources.map((source) => ({
      from: reference,
      to: nodeIndex.get(source.node)!,
      resistanceOhm: source.resistanceOhm,
      liftV: source.voltageV,
    })),
  ];
}

function outwardFrom(
  reference: number,
  elements: readonly Element[],
  chords: ReadonlySet<number>,
): SpanningTree['outward'] {
  const touching = Array.from({ length: reference + 1 }, (): number[] => []);
  elements.forEach((element, index) => {
    if (!chords.has(index)) {
      touching[element.from]!.push(index);
      touching[element.to]!.push(index);
    }
  });
  const seen = new Set([reference]);
  const queue = [reference];
  const outward: { element: number; outerNode: number }[] = [];
  for (let position = 0; position < queue.length; position += 1) {
    const node = queue[position]!;
    for (const index of touching[node]!) {
      const element = elements[index]!;
      const outerNode = element.from === node ? element.to : element.from;
      if (!seen.has(outerNode)) {
        seen.add(outerNode);
        queue.push(outerNode);
        outward.push({ element: index, outerNode });
      }
    }
  }
  return outward;
}
