/** Networks with reactive loads: published values, laws, and two independent ways to the same voltages. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  largestApparentPowerVA,
  solveApparentPowerLoad,
} from '../../src/analysis/electrical/alternating.js';
import type { Load, Network, OperatingPoint } from '../../src/analysis/electrical/network.js';
import { collapseMargin, solveNetwork } from '../../src/analysis/electrical/solve-network.js';
import {
  complex,
  currentOf,
  leastSourceVoltage,
  minus,
  plus,
  polar,
  sizeOf,
  sweepAlternatingTree,
  times,
} from '../support/alternating-reference.js';
import type { Complex } from '../support/alternating-reference.js';
import {
  chainNetwork,
  madeReactive,
  operatingPointOf,
  randomMesh,
  randomTree,
  withPowerFactor,
} from '../support/networks.js';
import { randomFrom } from '../support/random.js';

const RUNS = 1000;

/** One load of constant VA behind a resistance and a reactance. */
function oneLoad(options: {
  readonly vs: number;
  readonly r: number;
  readonly x: number;
  readonly load: Load;
}): Network {
  const chain = chainNetwork([options.r], [['I', 0]], [options.vs]);
  return {
    ...chain,
    nodes: [chain.nodes[0]!, { id: 'n1', loads: [options.load] }],
    branches: [{ ...chain.branches[0]!, loopReactanceOhm: options.x }],
  };
}

function apparent(powerVA: number, powerFactor: number): Load {
  const powerW = powerVA * powerFactor;
  return { kind: 'constant-power', powerW, reactivePerActive: tangentOf(powerFactor) };
}

function tangentOf(powerFactor: number): number {
  return Math.sqrt(1 - powerFactor ** 2) / powerFactor;
}

const line = { vs: 24, r: 0.798, x: 0.0048 };

describe('published and independently computed values', () => {
  it('B6-ac-cp: 30 VA at power factor 0.8 (bi-quadratic; complex iteration; mathjs)', () => {
    const point = operatingPointOf(oneLoad({ ...line, load: apparent(30, 0.8) }));
    expect(point.nodes[1]!.voltageV).toBeCloseTo(23.161494, 5);
    expect(point.branches[0]!.currentA).toBeCloseTo(1.295253, 5);
    expect(point.nodes[1]!.angleDeg).toBeCloseTo(1.468827, 4);
  });

  it('B6: the same line carries 200.10 VA at most', () => {
    const margin = collapseMargin(oneLoad({ ...line, load: apparent(30, 0.8) }));
    expect(margin.kind === 'factor' ? 30 * margin.factor : margin).toBeCloseTo(200.1, 1);
    expect(margin.kind === 'factor' ? 30 * margin.factor : margin).toBeCloseTo(
      largestApparentPowerVA({
        sourceVoltageV: 24,
        resistanceOhm: 0.798,
        reactanceOhm: 0.0048,
        powerFactor: 0.8,
      }),
      5,
    );
  });

  it('B6: 15.36 ohm and 36.669 mH at 50 Hz behind the same line have 23.217653 V (ngspice .ac)', () => {
    const [r, x] = [15.36, 2 * Math.PI * 50 * 36.669e-3];
    // In parallel form: the resistance is |Z|²/R, and tan φ = X/R.
    const load: Load = {
      kind: 'resistive',
      resistanceOhm: (r ** 2 + x ** 2) / r,
      reactivePerActive: x / r,
    };
    const point = operatingPointOf(oneLoad({ ...line, load }));
    expect(point.nodes[1]!.voltageV).toBeCloseTo(23.217653, 6);
  });
});

describe('one load', () => {
  it(`is where the closed form puts it, upper root (${RUNS} lines)`, () => {
    let solved = 0;
    fc.assert(
      fc.property(
        fc.record({
          vs: fc.double({ min: 5, max: 400, noNaN: true }),
          share: fc.double({ min: 0.01, max: 0.999, noNaN: true }),
          angle: fc.double({ min: 0, max: 1.4, noNaN: true }),
          ohm: fc.double({ min: 0.01, max: 10, noNaN: true }),
          pf: fc.double({ min: 0.1, max: 0.99, noNaN: true }),
        }),
        ({ vs, share, angle, ohm, pf }) => {
          const [r, x] = [ohm * Math.cos(angle), ohm * Math.sin(angle)];
          const given = {
            sourceVoltageV: vs,
            resistanceOhm: r,
            reactanceOhm: x,
            powerFactor: pf,
          };
          const powerVA = share * largestApparentPowerVA(given);
          const closed = solveApparentPowerLoad({ ...given, apparentPowerVA: powerVA });
          const point = operatingPointOf(oneLoad({ vs, r, x, load: apparent(powerVA, pf) }));
          if (closed.kind !== 'operating-point') {
            throw new Error('the closed form has no operating point below its own largest power');
          }
          expect(Math.abs(point.nodes[1]!.voltageV / closed.voltageV - 1)).toBeLessThan(1e-9);
          expect(Math.abs(point.nodes[1]!.angleDeg! - closed.angleDeg)).toBeLessThan(1e-6);
          expect(
            solveNetwork(oneLoad({ vs, r, x, load: apparent((powerVA / share) * 1.000001, pf) }))
              .kind,
          ).toBe('no-operating-point');
          solved += 1;
        },
      ),
      { numRuns: RUNS },
    );
    expect(solved).toBe(RUNS);
  });

  it('comes to the real solution as the power factor comes to 1', () => {
    const real = operatingPointOf(
      oneLoad({ ...line, x: 0, load: { kind: 'constant-power', powerW: 30 } }),
    );
    const near = operatingPointOf(oneLoad({ ...line, x: 0, load: apparent(30, 1 - 1e-12) }));
    expect(near.nodes[1]!.voltageV).toBeCloseTo(real.nodes[1]!.voltageV, 9);
    expect(real.nodes[1]!.angleDeg).toBeUndefined();
  });
});

describe('networks with reactive loads', () => {
  const networks = fc.nat().map((seed) => {
    const random = randomFrom(seed);
    const make = random.pick([randomTree, randomMesh]);
    return madeReactive(make(random), random);
  });

  it(`satisfy Kirchhoff and Ohm to 1e-9 (${RUNS} networks)`, () => {
    let solved = 0;
    fc.assert(
      fc.property(networks, (network) => {
        const solution = solveNetwork(network);
        if (solution.kind === 'operating-point') {
          expectComplexLaws(network, solution);
          solved += 1;
        } else {
          expect(solution.kind).toBe('no-operating-point');
        }
      }),
      { numRuns: RUNS },
    );
    expect(solved).toBeGreaterThan(RUNS / 2);
  });

  it(`agree with a plain sweep with complex numbers (${RUNS} trees)`, () => {
    let compared = 0;
    fc.assert(
      fc.property(fc.nat(), fc.constantFrom(1.02, 1.2, 2, 5), (seed, distance) => {
        const random = randomFrom(seed);
        const whole = madeReactive(randomTree(random), random);
        const margin = collapseMargin(whole);
        const network =
          margin.kind === 'factor' && margin.factor > 0
            ? withPowerFactor(whole, margin.factor / distance)
            : whole;
        const swept = sweepAlternatingTree(network);
        const solution = solveNetwork(network);
        if (swept === undefined) {
          return;
        }
        expect(solution.kind).toBe('operating-point');
        const scaleV = network.sources[0]!.voltageV;
        (solution as OperatingPoint).nodes.forEach((node, index) => {
          const difference = sizeOf(minus(polar(node.voltageV, node.angleDeg ?? 0), swept[index]!));
          expect(difference).toBeLessThan(1e-9 * scaleV);
        });
        compared += 1;
      }),
      { numRuns: RUNS },
    );
    expect(compared).toBeGreaterThan((9 * RUNS) / 10);
  });

  it(`lose their operating point at the nose, seen from the far end of the chain (${RUNS} chains)`, () => {
    let narrow = 0;
    fc.assert(
      fc.property(fc.nat(), (seed) => {
        const random = randomFrom(seed);
        const count = random.integer(1, 8);
        const hops = Array.from({ length: count }, () => random.between(0.05, 1));
        const plain = chainNetwork(
          hops,
          hops.map(() => [random.pick(['P', 'P', 'R'] as const), random.between(20, 60)]),
          [24],
        );
        const network = madeReactive(plain, random);
        const margin = collapseMargin(network);
        if (margin.kind !== 'factor') {
          // No constant power in it, or no reactive load: the other solver's business.
          return;
        }
        // A source voltage that no far-end voltage asks for has no operating point at all.
        expect(leastSourceVoltage(network, margin.factor * (1 - 1e-5), 48)).toBeLessThan(24);
        expect(leastSourceVoltage(network, margin.factor * (1 + 1e-5), 48)).toBeGreaterThan(24);
        expect(solveNetwork(withPowerFactor(network, margin.factor * (1 - 1e-6))).kind).toBe(
          'operating-point',
        );
        expect(solveNetwork(withPowerFactor(network, margin.factor * (1 + 1e-6))).kind).toBe(
          'no-operating-point',
        );
        narrow += 1;
      }),
      { numRuns: RUNS },
    );
    expect(narrow).toBeGreaterThan(RUNS / 2);
  });

  it(`never gain voltage by more load of the same lagging power factor (${RUNS} networks)`, () => {
    let compared = 0;
    fc.assert(
      fc.property(
        fc.nat(),
        fc.constantFrom(0.5, 0.7, 0.8, 0.9, 0.95, 0.99),
        fc.double({ min: 1.01, max: 3, noNaN: true }),
        (seed, powerFactor, growth) => {
          const random = randomFrom(seed);
          const reactivePerActive = tangentOf(powerFactor);
          const plain = random.pick([randomTree, randomMesh])(random);
          const network: Network = {
            ...plain,
            nodes: plain.nodes.map((node) => ({
              ...node,
              loads: node.loads.map((load) => ({ ...load, reactivePerActive })),
            })),
            // The reactance of a cable of control sizes is a hundredth of its resistance and less.
            branches: plain.branches.map((branch) => ({
              ...branch,
              loopReactanceOhm: branch.loopResistanceOhm * random.pick([0, 0.006, 0.05]),
            })),
          };
          const at = random.integer(0, network.nodes.length - 1);
          const heavier = withGrownLoads(network, at, growth);
          const [before, after] = [solveNetwork(network), solveNetwork(heavier)];
          if (before.kind !== 'operating-point' || after.kind !== 'operating-point') {
            expect(before.kind === 'operating-point' || after.kind === before.kind).toBe(true);
            return;
          }
          after.nodes.forEach((node, index) => {
            expect(node.voltageV).toBeLessThanOrEqual(before.nodes[index]!.voltageV * (1 + 1e-9));
          });
          compared += 1;
        },
      ),
      { numRuns: RUNS },
    );
    expect(compared).toBeGreaterThan(RUNS / 2);
  });
});

describe('what is no network', () => {
  it('is rejected: a reactive part below 0, a reactance below 0, a diode beside a reactive load', () => {
    const network = oneLoad({ ...line, load: apparent(30, 0.8) });
    const rejected = (changed: Network): unknown => {
      const solution = solveNetwork(changed);
      return solution.kind === 'rejected' ? solution.problem : solution.kind;
    };
    const [branch] = network.branches;
    const [source] = network.sources;
    expect(rejected({ ...network, branches: [{ ...branch!, loopReactanceOhm: -1 }] })).toBe(
      'value-out-of-range',
    );
    expect(rejected({ ...network, sources: [{ ...source!, reverseCurrent: 'blocked' }] })).toBe(
      'blocked-source-alternating',
    );
    const lead: Load = { kind: 'constant-power', powerW: 1, reactivePerActive: Number.NaN };
    expect(
      rejected({
        ...network,
        nodes: [network.nodes[0]!, { id: 'n1', loads: [lead, apparent(1, 0.8)] }],
      }),
    ).toBe('value-out-of-range');
  });
});

function withGrownLoads(network: Network, at: number, growth: number): Network {
  const grown = (load: Load): Load => {
    switch (load.kind) {
      case 'constant-current':
        return { ...load, currentA: load.currentA * growth };
      case 'constant-power':
        return { ...load, powerW: load.powerW * growth };
      case 'resistive':
        return { ...load, resistanceOhm: load.resistanceOhm / growth };
    }
  };
  return {
    ...network,
    nodes: network.nodes.map((node, index) =>
      index === at ? { ...node, loads: node.loads.map(grown) } : node,
    ),
  };
}

function expectComplexLaws(network: Network, point: OperatingPoint): void {
  const voltage = new Map(
    point.nodes.map((node) => [node.id, polar(node.voltageV, node.angleDeg ?? 0)]),
  );
  const out = new Map<string, Complex>(
    network.nodes.map((node) => [node.id, currentOf(node.loads, voltage.get(node.id)!)]),
  );
  const add = (id: string, current: Complex): unknown => out.set(id, plus(out.get(id)!, current));
  network.branches.forEach((branch, index) => {
    const { currentA, angleDeg } = point.branches[index]!;
    const current = polar(currentA, angleDeg ?? 0);
    add(branch.from, current);
    add(branch.to, times(complex(-1), current));
    const drop = minus(voltage.get(branch.from)!, voltage.get(branch.to)!);
    const ohm = complex(
      branch.loopResistanceOhm,
      branch.loopResistanceOhm === 0 ? 0 : (branch.loopReactanceOhm ?? 0),
    );
    expectZero(minus(drop, times(ohm, current)), `Ohm at ${branch.id}`);
  });
  network.sources.forEach((source, index) => {
    const { currentA, angleDeg } = point.sources[index]!;
    const current = polar(currentA, angleDeg ?? 0);
    add(source.node, times(complex(-1), current));
    const inside = times(complex(source.resistanceOhm), current);
    const open = plus(voltage.get(source.node)!, inside);
    expectZero(minus(open, complex(source.voltageV)), `source ${source.id}`);
  });
  network.nodes.forEach((node) => {
    expectZero(out.get(node.id)!, `currents at ${node.id}`);
  });
}

function expectZero(value: Complex, what: string): void {
  expect(sizeOf(value), what).toBeLessThanOrEqual(1e-9);
}
