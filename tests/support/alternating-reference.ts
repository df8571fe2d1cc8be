/**
 * Networks with reactive loads worked through in other ways than the solver's: a plain sweep with
 * complex numbers, and the walk from the far end of a chain to its source.
 */
import type { Load, Network } from '../../src/analysis/electrical/network.js';

/** A complex number. */
export interface Complex {
  readonly re: number;
  readonly im: number;
}

export const complex = (re: number, im = 0): Complex => ({ re, im });
export const plus = (a: Complex, b: Complex): Complex => complex(a.re + b.re, a.im + b.im);
export const minus = (a: Complex, b: Complex): Complex => complex(a.re - b.re, a.im - b.im);
export const times = (a: Complex, b: Complex): Complex =>
  complex(a.re * b.re - a.im * b.im, a.re * b.im + a.im * b.re);
export const over = (a: Complex, b: Complex): Complex => {
  const square = b.re ** 2 + b.im ** 2;
  return complex((a.re * b.re + a.im * b.im) / square, (a.im * b.re - a.re * b.im) / square);
};
export const conjugate = (a: Complex): Complex => complex(a.re, -a.im);
export const sizeOf = (a: Complex): number => Math.hypot(a.re, a.im);
export const polar = (size: number, angleDeg: number): Complex =>
  complex(size * Math.cos((angleDeg * Math.PI) / 180), size * Math.sin((angleDeg * Math.PI) / 180));

/** The current that loads take at a voltage. */
export function currentOf(loads: readonly Load[], voltage: Complex, powerFactor = 1): Complex {
  return loads.reduce((sum, load) => {
    const tangent = load.reactivePerActive ?? 0;
    switch (load.kind) {
      case 'constant-current':
        return plus(
          sum,
          times(
            complex(load.currentA, -load.currentA * tangent),
            over(voltage, complex(sizeOf(voltage))),
          ),
        );
      case 'constant-power': {
        const power = complex(load.powerW * powerFactor, load.powerW * powerFactor * tangent);
        return plus(sum, conjugate(over(power, voltage)));
      }
      case 'resistive':
        return plus(
          sum,
          times(complex(1 / load.resistanceOhm, -tangent / load.resistanceOhm), voltage),
        );
    }
  }, complex(0));
}

/** Sweeps a tree as `sweepTree` does; undefined where it does not come to rest. */
export function sweepAlternatingTree(
  network: Network,
  limit = 20_000,
): readonly Complex[] | undefined {
  const { nodes, branches, sources } = network;
  const source = sources[0]!;
  const indexOf = new Map(nodes.map((node, index) => [node.id, index]));
  const feed = nodes.map((_, index) => {
    const branch = branches.find(({ to }) => indexOf.get(to) === index);
    return branch === undefined
      ? { parent: -1, ohm: complex(source.resistanceOhm) }
      : {
          parent: indexOf.get(branch.from)!,
          ohm: complex(branch.loopResistanceOhm, branch.loopReactanceOhm ?? 0),
        };
  });
  let voltage: readonly Complex[] = nodes.map(() => complex(source.voltageV));
  for (let sweep = 0; sweep < limit; sweep += 1) {
    const current = nodes.map((node, index) => currentOf(node.loads, voltage[index]!));
    for (let index = nodes.length - 1; index > 0; index -= 1) {
      const { parent } = feed[index]!;
      current[parent] = plus(current[parent]!, current[index]!);
    }
    const next: Complex[] = [];
    nodes.forEach((_, index) => {
      const { parent, ohm } = feed[index]!;
      const above = parent < 0 ? complex(source.voltageV) : next[parent]!;
      next.push(minus(above, times(ohm, current[index]!)));
    });
    const before = voltage;
    const change = Math.max(...next.map((one, index) => sizeOf(minus(one, before[index]!))));
    voltage = next;
    if (!Number.isFinite(change)) {
      return undefined;
    }
    if (change < 1e-13 * source.voltageV) {
      return voltage;
    }
  }
  return undefined;
}

/**
 * The source voltage that it takes to have a voltage at the far end of a chain, with the
 * constant-power loads multiplied. Node 0 is the source's, without loads.
 */
export function sourceVoltageFor(network: Network, farV: number, powerFactor: number): number {
  let voltage = complex(farV);
  let current = complex(0);
  for (let index = network.nodes.length - 1; index > 0; index -= 1) {
    current = plus(current, currentOf(network.nodes[index]!.loads, voltage, powerFactor));
    const branch = network.branches[index - 1]!;
    const ohm = complex(branch.loopResistanceOhm, branch.loopReactanceOhm ?? 0);
    voltage = plus(voltage, times(ohm, current));
  }
  return sizeOf(voltage);
}

/**
 * The least source voltage with which the chain has any operating point: found by looking at every
 * voltage of the far end, so that no iteration can have missed one.
 */
export function leastSourceVoltage(network: Network, powerFactor: number, upToV: number): number {
  const at = (farV: number): number => sourceVoltageFor(network, farV, powerFactor);
  const steps = 4000;
  let best = 1;
  for (let step = 1; step <= steps; step += 1) {
    if (at((upToV * step) / steps) < at((upToV * best) / steps)) {
      best = step;
    }
  }
  let low = (upToV * (best - 1)) / steps;
  let high = (upToV * (best + 1)) / steps;
  while (high - low > 1e-9 * upToV) {
    const [one, other] = [low + (high - low) / 3, high - (high - low) / 3];
    if (at(one) < at(other)) {
      high = other;
    } else {
      low = one;
    }
  }
  return at((low + high) / 2);
}
