/** Laws that every network obeys, on thousands of random ones. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type {
  Branch,
  Load,
  Network,
  NetworkNode,
  OperatingPoint,
} from '../../src/analysis/electrical/network.js';
import { collapseMargin, solveNetwork } from '../../src/analysis/electrical/solve-network.js';
import { withPowerFactor } from '../support/networks.js';
import { sweepTree } from '../support/sweep.js';

const RUNS = 1000;
const TOLERANCE = 1e-9;

/** Mostly even steps between two numbers; now and then any double, tiny ones above all. */
const number = (min: number, max: number): fc.Arbitrary<number> =>
  fc.oneof(
    {
      weight: 9,
      arbitrary: fc.integer({ min: 0, max: 1000 }).map((step) => min + (step / 1000) * (max - min)),
    },
    { weight: 1, arbitrary: fc.double({ min, max, noNaN: true }) },
  );

const current = number(0, 0.4).map((currentA): Load => ({ kind: 'constant-current', currentA }));
const power = number(0, 20).map((powerW): Load => ({ kind: 'constant-power', powerW }));
const resistor = number(20, 2000).map((resistanceOhm): Load => ({
  kind: 'resistive',
  resistanceOhm,
}));
const anyLoad = fc.oneof(current, power, resistor);
const loopOhm = fc.oneof(
  { weight: 9, arbitrary: number(0.001, 1) },
  { weight: 1, arbitrary: fc.constant(0) },
);
const sourceOhm = fc.oneof(fc.constant(0), number(0.001, 0.5));

/** Trees whose branches lead from a node to a later one, fed at the first. */
const treeOf = (load: fc.Arbitrary<Load>): fc.Arbitrary<Network> =>
  fc
    .record({
      hops: fc.array(
        fc.record({ parent: fc.nat(), ohm: loopOhm, loads: fc.array(load, { maxLength: 2 }) }),
        { minLength: 1, maxLength: 12 },
      ),
      headLoads: fc.array(load, { maxLength: 1 }),
      voltageV: number(5, 60),
      resistanceOhm: sourceOhm,
    })
    .map(({ hops, headLoads, voltageV, resistanceOhm }) => ({
      nodes: [headLoads, ...hops.map((hop) => hop.loads)].map((loads, index): NetworkNode => ({
        id: `n${index}`,
        loads,
      })),
      branches: hops.map((hop, index): Branch => ({
        id: `b${index + 1}`,
        from: `n${hop.parent % (index + 1)}`,
        to: `n${index + 1}`,
        loopResistanceOhm: hop.ohm,
      })),
      sources: [{ id: 's1', node: 'n0', voltageV, resistanceOhm }],
    }));

/** Trees with up to three more branches and up to two more sources, some behind a diode. */
const mesh: fc.Arbitrary<Network> = fc
  .record({
    tree: treeOf(anyLoad),
    rings: fc.array(
      fc.record({
        from: fc.nat(),
        to: fc.nat(),
        ohm: number(0.001, 2),
      }),
      { maxLength: 3 },
    ),
    more: fc.array(
      fc.record({
        at: fc.nat(),
        part: number(0.9, 1.1),
        ohm: number(0.001, 0.5),
        reverseCurrent: fc.constantFrom('possible' as const, 'blocked' as const),
      }),
      { maxLength: 2 },
    ),
  })
  .map(({ tree, rings, more }) => {
    const nodeAt = (number: number): string => tree.nodes[number % tree.nodes.length]!.id;
    return {
      nodes: tree.nodes,
      branches: [
        ...tree.branches,
        ...rings.map((ring, index) => ({
          id: `ring${index + 1}`,
          from: nodeAt(ring.from),
          to: nodeAt(ring.to),
          loopResistanceOhm: ring.ohm,
        })),
      ],
      sources: [
        ...tree.sources,
        ...more.map((source, index) => ({
          id: `s${index + 2}`,
          node: nodeAt(source.at),
          voltageV: tree.sources[0]!.voltageV * source.part,
          resistanceOhm: source.ohm,
          reverseCurrent: source.reverseCurrent,
        })),
      ],
    };
  });

describe('networks', () => {
  it(`satisfy Kirchhoff and Ohm to 1e-9, rings and several sources included (${RUNS} networks)`, () => {
    let solved = 0;
    fc.assert(
      fc.property(mesh, (network) => {
        const solution = solveNetwork(network);
        if (solution.kind === 'operating-point') {
          expectLaws(network, solution);
          solved += 1;
        } else {
          expect(solution.kind).toBe('no-operating-point');
        }
      }),
      { numRuns: RUNS },
    );
    expect(solved).toBeGreaterThan(RUNS / 4);
  });

  it(`never gain voltage by more load (${RUNS} networks)`, () => {
    let compared = 0;
    fc.assert(
      fc.property(mesh, fc.nat(), anyLoad, (network, at, extra) => {
        const node = at % network.nodes.length;
        const heavier = {
          ...network,
          nodes: network.nodes.map((one, index) =>
            index === node ? { ...one, loads: [...one.loads, extra] } : one,
          ),
        };
        compared += expectNoHigher(network, heavier, () => true);
      }),
      { numRuns: RUNS },
    );
    expect(compared).toBeGreaterThan(RUNS / 4);
  });

  it(`never gain voltage by more length where loads take current or power (${RUNS} trees)`, () => {
    let compared = 0;
    fc.assert(
      fc.property(treeOf(fc.oneof(current, power)), fc.nat(), loopOhm, (network, at, ohm) => {
        const longer = lengthened(network, at % network.branches.length, ohm);
        compared += expectNoHigher(network, longer, () => true);
      }),
      { numRuns: RUNS },
    );
    expect(compared).toBeGreaterThan(RUNS / 4);
  });

  it(`never gain voltage behind more length, whatever the loads (${RUNS} trees)`, () => {
    // A resistive load behind the longer branch takes less current, which helps the nodes before it.
    let compared = 0;
    fc.assert(
      fc.property(treeOf(anyLoad), fc.nat(), loopOhm, (network, at, ohm) => {
        const branch = at % network.branches.length;
        const behind = nodesBehind(network, network.branches[branch]!);
        const longer = lengthened(network, branch, ohm);
        compared += expectNoHigher(network, longer, (id) => behind.has(id));
      }),
      { numRuns: RUNS },
    );
    expect(compared).toBeGreaterThan(RUNS / 4);
  });

  it(`collapse exactly where a plain sweep collapses (${RUNS} trees)`, () => {
    let narrow = 0;
    fc.assert(
      fc.property(treeOf(fc.oneof(current, power)), (network) => {
        const margin = collapseMargin(network);
        if (margin.kind !== 'factor') {
          expect(margin.kind).toBe('unbounded');
          return;
        }
        if (margin.failsAtFactor === 0) {
          expect(sweepTree(withPowerFactor(network, 0)).kind).toBe('collapsed');
          return;
        }
        const below = withPowerFactor(network, margin.factor * 0.999);
        const above = withPowerFactor(network, margin.factor * 1.001);
        const solution = solveNetwork(below);
        const swept = sweepTree(below);
        expect(solution.kind).toBe('operating-point');
        expect(swept.kind).toBe('converged');
        if (solution.kind === 'operating-point' && swept.kind === 'converged') {
          const scaleV = network.sources[0]!.voltageV;
          solution.nodes.forEach((node, index) => {
            // The sweep stops at steps of 1e-13 that shrink by a few per cent each.
            expect(Math.abs(node.voltageV - swept.voltageV[index]!)).toBeLessThan(1e-9 * scaleV);
          });
        }
        expect(solveNetwork(above).kind).toBe('no-operating-point');
        expect(sweepTree(above).kind).toBe('collapsed');
        narrow += 1;
      }),
      { numRuns: RUNS },
    );
    expect(narrow).toBeGreaterThan(RUNS / 4);
  });

  it(`report no operating point only together with a factor that tells where it ends (${RUNS} networks)`, () => {
    let without = 0;
    fc.assert(
      fc.property(mesh, number(1, 50), (lighter, times) => {
        const network = withPowerFactor(lighter, times);
        const solution = solveNetwork(network);
        if (solution.kind !== 'no-operating-point') {
          return;
        }
        without += 1;
        const unpowered = solveNetwork(withPowerFactor(network, 0));
        if (solution.cause === 'constant-current') {
          expect(unpowered.kind).toBe('no-operating-point');
          return;
        }
        expect(unpowered.kind).toBe('operating-point');
        const { factor, failsAtFactor } = solution.margin!;
        expect(failsAtFactor).toBeLessThanOrEqual(1);
        expect(factor).toBeLessThan(failsAtFactor);
        expect(failsAtFactor - factor).toBeLessThanOrEqual(1e-9 * failsAtFactor);
        expect(solveNetwork(withPowerFactor(network, factor * 0.999999)).kind).toBe(
          'operating-point',
        );
        expect(solveNetwork(withPowerFactor(network, failsAtFactor * 1.000001)).kind).toBe(
          'no-operating-point',
        );
      }),
      { numRuns: RUNS },
    );
    expect(without).toBeGreaterThan(RUNS / 10);
  });
});

function expectLaws(network: Network, point: OperatingPoint): void {
  const voltageV = new Map(point.nodes.map((node) => [node.id, node.voltageV]));
  const outA = new Map(point.nodes.map((node) => [node.id, node.loadCurrentA]));
  const add = (id: string, currentA: number): unknown => outA.set(id, outA.get(id)! + currentA);
  network.branches.forEach((branch, index) => {
    const { id, currentA } = point.branches[index]!;
    expect(id).toBe(branch.id);
    add(branch.from, currentA);
    add(branch.to, -currentA);
    const dropV = voltageV.get(branch.from)! - voltageV.get(branch.to)!;
    expectZero(dropV - branch.loopResistanceOhm * currentA, `Ohm at ${id}`);
  });
  network.sources.forEach((source, index) => {
    const { id, currentA } = point.sources[index]!;
    expect(id).toBe(source.id);
    add(source.node, -currentA);
    const terminalV = voltageV.get(source.node)!;
    if (source.reverseCurrent === 'blocked' && currentA === 0) {
      expect(terminalV).toBeGreaterThanOrEqual(source.voltageV - TOLERANCE);
    } else {
      expectZero(source.voltageV - source.resistanceOhm * currentA - terminalV, `source ${id}`);
    }
    if (source.reverseCurrent === 'blocked') {
      expect(currentA).toBeGreaterThanOrEqual(-TOLERANCE);
    }
  });
  network.nodes.forEach((node, index) => {
    const { voltageV: nodeV, loadCurrentA } = point.nodes[index]!;
    expect(nodeV).toBeGreaterThan(0);
    expectZero(outA.get(node.id)!, `currents at ${node.id}`);
    const expectedA = node.loads.reduce((sum, load) => sum + currentOf(load, nodeV), 0);
    expectZero(loadCurrentA - expectedA, `loads at ${node.id}`);
  });
}

/** Compares two networks node by node; gives 1 where both have an operating point, else 0. */
function expectNoHigher(
  network: Network,
  worse: Network,
  concerns: (nodeId: string) => boolean,
): 0 | 1 {
  const before = solveNetwork(network);
  const after = solveNetwork(worse);
  if (before.kind !== 'operating-point') {
    expect(after.kind).toBe(before.kind);
    return 0;
  }
  if (after.kind !== 'operating-point') {
    expect(after.kind).toBe('no-operating-point');
    return 0;
  }
  after.nodes.forEach((node, index) => {
    if (concerns(node.id)) {
      expect(node.voltageV).toBeLessThanOrEqual(before.nodes[index]!.voltageV + TOLERANCE);
    }
  });
  return 1;
}

function lengthened(network: Network, branchIndex: number, byOhm: number): Network {
  return {
    ...network,
    branches: network.branches.map((branch, index) =>
      index === branchIndex
        ? { ...branch, loopResistanceOhm: branch.loopResistanceOhm + byOhm }
        : branch,
    ),
  };
}

function nodesBehind(network: Network, first: Branch): ReadonlySet<string> {
  const behind = new Set([first.to]);
  for (const branch of network.branches) {
    if (behind.has(branch.from)) {
      behind.add(branch.to);
    }
  }
  return behind;
}

function currentOf(load: Load, voltageV: number): number {
  switch (load.kind) {
    case 'constant-current':
      return load.currentA;
    case 'constant-power':
      return load.powerW / voltageV;
    case 'resistive':
      return voltageV / load.resistanceOhm;
  }
}

function expectZero(value: number, what: string): void {
  expect(Math.abs(value), what).toBeLessThanOrEqual(TOLERANCE);
}
