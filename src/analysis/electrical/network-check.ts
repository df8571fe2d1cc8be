/** Finds out whether an input is a network, before any arithmetic touches it. */
import type { Load, Network, NetworkProblem, NetworkRejected } from './network.js';

/** The first problem of an input, or undefined. Loops without resistance are found by the spanning tree. */
export function findRejection(network: Network): NetworkRejected | undefined {
  return (
    reject('id-twice', [
      ...repeated(network.nodes.map((node) => node.id)),
      ...repeated(network.branches.map((branch) => branch.id)),
      ...repeated(network.sources.map((source) => source.id)),
    ]) ??
    reject('node-unknown', unknownNodes(network)) ??
    reject('value-out-of-range', valuesOutOfRange(network)) ??
    (network.sources.length === 0
      ? { kind: 'rejected', problem: 'source-missing', at: [] }
      : undefined) ??
    reject('too-many-blocked-sources', blockedSources(network).slice(4)) ??
    reject('node-unsupplied', unsuppliedNodes(network))
  );
}

/** Builds a rejection where something is concerned. */
export function reject(
  problem: NetworkProblem,
  at: readonly string[],
): NetworkRejected | undefined {
  return at.length === 0 ? undefined : { kind: 'rejected', problem, at };
}

/** The nodes that no path of branches joins to a source. */
export function unsuppliedNodes(network: Network): readonly string[] {
  const neighbours = new Map<string, string[]>(network.nodes.map((node) => [node.id, []]));
  for (const { from, to } of network.branches) {
    neighbours.get(from)!.push(to);
    neighbours.get(to)!.push(from);
  }
  const supplied = new Set(network.sources.map((source) => source.node));
  const queue = [...supplied];
  for (let node = queue.pop(); node !== undefined; node = queue.pop()) {
    for (const neighbour of neighbours.get(node)!) {
      if (!supplied.has(neighbour)) {
        supplied.add(neighbour);
        queue.push(neighbour);
      }
    }
  }
  return network.nodes.map((node) => node.id).filter((id) => !supplied.has(id));
}

function repeated(ids: readonly string[]): readonly string[] {
  const seen = new Set<string>();
  return ids.filter((id) => seen.size === seen.add(id).size);
}

function unknownNodes(network: Network): readonly string[] {
  const known = new Set(network.nodes.map((node) => node.id));
  return [
    ...network.branches.flatMap((branch) => [branch.from, branch.to]),
    ...network.sources.map((source) => source.node),
  ].filter((id) => !known.has(id));
}

function valuesOutOfRange(network: Network): readonly string[] {
  return [
    ...network.nodes.filter((node) => !node.loads.every(isUsableLoad)).map((node) => node.id),
    ...network.branches
      .filter(
        (branch) =>
          !isFromZero(branch.loopResistanceOhm) || !isFromZero(branch.loopReactanceOhm ?? 0),
      )
      .map((branch) => branch.id),
    ...network.sources
      .filter(
        (source) =>
          !(source.voltageV > 0) ||
          !Number.isFinite(source.voltageV) ||
          !isFromZero(source.resistanceOhm),
      )
      .map((source) => source.id),
  ];
}

function blockedSources(network: Network): readonly string[] {
  return network.sources
    .filter((source) => source.reverseCurrent === 'blocked')
    .map((source) => source.id);
}

function isUsableLoad(load: Load): boolean {
  if (!isFromZero(load.reactivePerActive ?? 0)) {
    return false;
  }
  switch (load.kind) {
    case 'constant-current':
      return isFromZero(load.currentA);
    case 'constant-power':
      return isFromZero(load.powerW);
    case 'resistive':
      return load.resistanceOhm > 0;
  }
}

function isFromZero(value: number): boolean {
  return Number.isFinite(value) && value >= 0;
}
