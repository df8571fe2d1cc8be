/** The network solver against an independent simulator, on new random networks in every run. */
import { describe, expect, it } from 'vitest';
import type { Network } from '../../src/analysis/electrical/network.js';
import { collapseMargin, solveNetwork } from '../../src/analysis/electrical/solve-network.js';
import {
  madeReactive,
  operatingPointOf,
  randomMesh,
  randomTree,
  randomTwoEnded,
  withPowerFactor,
} from '../support/networks.js';
import {
  isReactive,
  NGSPICE_INSTALL,
  ngspiceIsInstalled,
  solveWithNgspice,
} from '../support/ngspice.js';
import { randomFrom, seedOfThisRun } from '../support/random.js';
import type { Random } from '../support/random.js';

const TREES = 80;
const MESHES = 40;
const TWO_ENDED = 60;
const REACTIVE = 60;
/** The simulator's own way to a solution with reactive loads fails now and then: so many it must find. */
const SIMULATED = 0.9;
const AGREEMENT = 1e-6;

const installed = ngspiceIsInstalled();
const name = (text: string): string =>
  installed ? text : `${text} (skipped: ngspice is missing, type: ${NGSPICE_INSTALL})`;

describe('voltages of random networks', () => {
  const seed = seedOfThisRun();
  console.log(`random networks for ngspice: FERRULE_SEED=${seed}`);

  it.skipIf(!installed)(name(`agree with ngspice on ${TREES} trees, seed ${seed}`), () => {
    compareWithNgspice(solvableNetworks(randomFrom(seed), randomTree, TREES));
  });

  it.skipIf(!installed)(
    name(`agree with ngspice on ${MESHES} networks with rings, seed ${seed}`),
    () => {
      compareWithNgspice(solvableNetworks(randomFrom(seed + 1), randomMesh, MESHES));
    },
  );

  it.skipIf(!installed)(
    name(`agree with ngspice on ${TWO_ENDED} runs fed at both ends, seed ${seed}`),
    () => {
      compareWithNgspice(solvableNetworks(randomFrom(seed + 2), randomTwoEnded, TWO_ENDED));
    },
  );

  it.skipIf(!installed)(
    name(`agree with ngspice on ${REACTIVE} networks with reactive loads, seed ${seed}`),
    () => {
      const make = (random: Random): Network =>
        madeReactive(random.pick([randomTree, randomMesh, randomTwoEnded])(random), random);
      compareWithNgspice(solvableNetworks(randomFrom(seed + 3), make, REACTIVE));
    },
  );
});

/**
 * Random networks that have an operating point. Those with constant-power loads are brought to a
 * random distance from collapse, from near the nose to far from it.
 */
function solvableNetworks(
  random: Random,
  make: (random: Random) => Network,
  count: number,
): readonly Network[] {
  const networks: Network[] = [];
  while (networks.length < count) {
    const network = make(random);
    const margin = collapseMargin(network);
    const placed =
      margin.kind === 'factor'
        ? withPowerFactor(network, margin.factor / random.pick([1.03, 1.2, 2, 5, 20]))
        : network;
    if (solveNetwork(placed).kind === 'operating-point') {
      networks.push(placed);
    }
  }
  return networks;
}

function compareWithNgspice(networks: readonly Network[]): void {
  let compared = 0;
  solveWithNgspice(networks).forEach((simulated, position) => {
    const network = networks[position]!;
    expect(simulated !== undefined || isReactive(network)).toBe(true);
    if (simulated === undefined) {
      return;
    }
    operatingPointOf(network).nodes.forEach((node, index) => {
      const reference = simulated[index]!;
      const difference = Math.abs(node.voltageV - reference) / Math.abs(reference);
      expect(
        difference,
        `network ${position}, ${node.id}: ${node.voltageV} V, ngspice ${reference} V\n${JSON.stringify(network)}`,
      ).toBeLessThanOrEqual(AGREEMENT);
    });
    compared += 1;
  });
  expect(compared).toBeGreaterThanOrEqual(SIMULATED * networks.length);
}
