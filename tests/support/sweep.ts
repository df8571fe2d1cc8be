/**
 * The plain backward and forward sweep on a tree: a second, much simpler way to the voltages.
 *
 * For loads of constant current and constant power, from the no-load voltages downwards, it meets the highest solution or runs below zero, so that
 * it also tells, without any matrix, whether there is an operating point.
 */
import type { Load, Network } from '../../src/analysis/electrical/network.js';

/** Voltages in the order of the nodes; `collapsed` where a sweep reached zero; `undecided` at the limit. */
export type SweepResult =
  | { readonly kind: 'converged'; readonly voltageV: readonly number[] }
  | { readonly kind: 'collapsed' | 'undecided' };

/** Sweeps a tree whose branches lead from a parent that stands before its child, fed at the first node. */
export function sweepTree(network: Network, limit = 20_000): SweepResult {
  const { nodes, branches, sources } = network;
  const source = sources[0]!;
  const indexOf = new Map(nodes.map((node, index) => [node.id, index]));
  const feed = nodes.map((_, index) => {
    const branch = branches.find(({ to }) => indexOf.get(to) === index);
    return branch === undefined
      ? { parent: -1, ohm: source.resistanceOhm }
      : { parent: indexOf.get(branch.from)!, ohm: branch.loopResistanceOhm };
  });
  let voltageV: readonly number[] = nodes.map(() => source.voltageV);
  for (let sweep = 0; sweep < limit; sweep += 1) {
    const current = nodes.map((node, index) => currentOf(node.loads, voltageV[index]!));
    for (let index = nodes.length - 1; index > 0; index -= 1) {
      current[feed[index]!.parent]! += current[index]!;
    }
    const next: number[] = [];
    nodes.forEach((_, index) => {
      const { parent, ohm } = feed[index]!;
      next.push((parent < 0 ? source.voltageV : next[parent]!) - ohm * current[index]!);
    });
    if (next.some((voltage) => !(voltage > 0))) {
      return { kind: 'collapsed' };
    }
    const before = voltageV;
    const change = Math.max(...next.map((voltage, index) => Math.abs(voltage - before[index]!)));
    voltageV = next;
    if (change < 1e-13 * source.voltageV) {
      return { kind: 'converged', voltageV };
    }
  }
  return { kind: 'undecided' };
}

function currentOf(loads: readonly Load[], voltageV: number): number {
  return loads.reduce((sum, load) => {
    switch (load.kind) {
      case 'constant-current':
        return sum + load.currentA;
      case 'constant-power':
        return sum + load.powerW / voltageV;
      case 'resistive':
        return sum + voltageV / load.resistanceOhm;
    }
  }, 0);
}
