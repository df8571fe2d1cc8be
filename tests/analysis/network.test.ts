import { describe, expect, it } from 'vitest';
import type { Network, NetworkSource } from '../../src/analysis/electrical/network.js';
import {
  collapseMargin,
  solveNetwork,
  voltageAt,
} from '../../src/analysis/electrical/solve-network.js';
import { chainNetwork, operatingPointOf } from '../support/networks.js';

const single = chainNetwork([1], [['I', 1]], [24]);

describe('operating points', () => {
  it('take the upper root of a constant-power load, never the lower one (B2: 21.64 V, not 2.36 V)', () => {
    const point = operatingPointOf(chainNetwork([1.064], [['P', 48]], [24]));
    expect(voltageAt(point, 'n1')).toBeCloseTo(21.639917, 6);
    expect(voltageAt(point, 'n9')).toBeUndefined();
  });

  it('let current circulate between unequal sources without any load (B5: 0.14245 A)', () => {
    const hops = Array.from({ length: 6 }, () => 0.585);
    const [a, b] = operatingPointOf(chainNetwork(hops, [], [24, 23.5])).sources;
    expect(a!.currentA).toBeCloseTo(0.5 / 3.51, 12);
    expect(b!.currentA).toBeCloseTo(-0.5 / 3.51, 12);
  });

  it('let no current circulate where diodes decouple the sources', () => {
    const network = decoupled(chainNetwork([0.585, 0.585], [], [24, 23.5]));
    const point = operatingPointOf(network);
    expect(point.sources.map((source) => source.currentA)).toEqual([0, 0]);
    expect(point.nodes.map((node) => node.voltageV)).toEqual([24, 24, 24]);
  });

  it('draw on the lower of two decoupled sources only when the load pulls the voltage under it', () => {
    const atLoad = (currentA: number): readonly number[] =>
      operatingPointOf(
        decoupled(chainNetwork([0.5, 0.5], [['I', currentA]], [24, 23.5])),
      ).sources.map((source) => source.currentA);
    expect(atLoad(0.8)).toEqual([0.8, 0]);
    const [a, b] = atLoad(2);
    expect(a).toBeCloseTo(1.5, 12);
    expect(b).toBeCloseTo(0.5, 12);
  });

  it('accept two equal decoupled ideal sources on one point', () => {
    const network: Network = {
      ...single,
      sources: [source('s1', 'n0', 'blocked'), source('s2', 'n0', 'blocked')],
    };
    const point = operatingPointOf(network);
    expect(point.sources.map(({ id }) => id)).toEqual(['s1', 's2']);
    expect(point.sources.reduce((sum, { currentA }) => sum + currentA, 0)).toBeCloseTo(1, 12);
  });

  it('carry current through branches without resistance', () => {
    const network = chainNetwork(
      [0, 0.5, 0],
      [
        ['I', 1],
        ['I', 2],
      ],
      [24],
    );
    const point = operatingPointOf(network);
    expect(point.branches.map((branch) => branch.currentA)).toEqual([3, 2, 0]);
    expect(point.nodes.map((node) => node.voltageV)).toEqual([24, 24, 23, 23]);
  });
});

describe('no operating point', () => {
  it('is reported with where it ends for constant power (B2: 48.001 W behind 3 ohm at 24 V)', () => {
    const solution = solveNetwork(chainNetwork([3], [['P', 48.001]], [24]));
    expect(solution).toMatchObject({ kind: 'no-operating-point', cause: 'constant-power' });
    const margin = solution.kind === 'no-operating-point' ? solution.margin! : undefined;
    expect(margin!.factor * 48.001).toBeCloseTo(48, 6);
    expect(margin!.failsAtFactor).toBeLessThan(1);
  });

  it('is reported for a constant current that takes more than the source voltage', () => {
    expect(solveNetwork(chainNetwork([13], [['I', 2]], [24]))).toEqual({
      kind: 'no-operating-point',
      cause: 'constant-current',
      margin: null,
    });
    const withPower = solveNetwork(
      chainNetwork(
        [13, 1],
        [
          ['I', 2],
          ['P', 1],
        ],
        [24],
      ),
    );
    expect(withPower).toEqual({
      kind: 'no-operating-point',
      cause: 'constant-current',
      margin: { kind: 'factor', factor: 0, failsAtFactor: 0 },
    });
  });

  it('never happens without a constant-power load that stands behind a resistance', () => {
    expect(collapseMargin(single)).toEqual({ kind: 'unbounded' });
    expect(collapseMargin(chainNetwork([0], [['P', 1000]], [24]))).toEqual({ kind: 'unbounded' });
  });

  it('tells the margin of a chain as a factor (B4: 18.991 W / 7.2 W = 2.64)', () => {
    const hops = Array.from({ length: 5 }, () => 0.585);
    const loads = hops.map(() => ['P', 7.2] as const);
    const margin = collapseMargin(chainNetwork(hops, loads, [24]));
    expect(margin.kind === 'factor' && margin.factor).toBeCloseTo(18.99109 / 7.2, 5);
  });
});

describe('inputs that are no network', () => {
  const withChange = (change: Partial<Network>): unknown => solveNetwork({ ...single, ...change });
  const branch = { id: 'b', from: 'n0', to: 'n1', loopResistanceOhm: 0 };

  it.each([
    ['no source', { sources: [] }, 'source-missing', []],
    ['a node twice', { nodes: [...single.nodes, single.nodes[0]!] }, 'id-twice', ['n0']],
    ['an unknown node', { branches: [{ ...branch, to: 'x' }] }, 'node-unknown', ['x']],
    ['a node without supply', { branches: [] }, 'node-unsupplied', ['n1']],
    [
      'a negative length',
      { branches: [{ ...branch, loopResistanceOhm: -1 }] },
      'value-out-of-range',
      ['b'],
    ],
    [
      'a load that is no number',
      {
        branches: [],
        nodes: [{ id: 'n0', loads: [{ kind: 'constant-power', powerW: Number.NaN }] }],
      },
      'value-out-of-range',
      ['n0'],
    ],
    [
      'a short as load',
      { branches: [], nodes: [{ id: 'n0', loads: [{ kind: 'resistive', resistanceOhm: 0 }] }] },
      'value-out-of-range',
      ['n0'],
    ],
    [
      'a ring without resistance',
      { branches: [branch, { ...branch, id: 'c' }] },
      'resistanceless-loop',
      ['c'],
    ],
    [
      'two ideal sources on one point',
      { sources: [source('s1', 'n0'), source('s2', 'n0')] },
      'ideal-sources-joined',
      ['s2'],
    ],
    [
      'a dead source',
      { sources: [{ ...source('s1', 'n0'), voltageV: 0 }] },
      'value-out-of-range',
      ['s1'],
    ],
  ] as const)('are rejected by name: %s', (_, change, problem, at) => {
    expect(withChange(change as Partial<Network>)).toEqual({
      kind: 'rejected',
      problem,
      at,
    });
    expect(collapseMargin({ ...single, ...change } as Network)).toMatchObject({ problem });
  });
});

function source(
  id: string,
  node: string,
  reverseCurrent: NetworkSource['reverseCurrent'] = 'possible',
): NetworkSource {
  return { id, node, voltageV: 24, resistanceOhm: 0, reverseCurrent };
}

function decoupled(network: Network): Network {
  return {
    ...network,
    sources: network.sources.map((one) => ({ ...one, reverseCurrent: 'blocked' })),
  };
}
