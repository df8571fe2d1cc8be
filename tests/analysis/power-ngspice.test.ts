/** Voltages of feeds and powered buses, from the text of a site, against an independent simulator. */
import { describe, expect, it } from 'vitest';
import { factOf } from '../../src/analysis/facts.js';
import { solveNetwork } from '../../src/analysis/electrical/solve-network.js';
import {
  isReactive,
  NGSPICE_INSTALL,
  ngspiceIsInstalled,
  solveWithNgspice,
} from '../support/ngspice.js';
import { randomBusCase, randomFeedCase } from '../support/power-sites.js';
import type { PowerCase } from '../support/power-sites.js';
import { randomFrom, seedOfThisRun } from '../support/random.js';
import type { Random } from '../support/random.js';
import { siteOf } from '../support/site.js';

const FEED_SITES = 60;
const BUS_SITES = 60;
const AGREEMENT = 1e-6;

const installed = ngspiceIsInstalled();
const name = (text: string): string =>
  installed ? text : `${text} (skipped: ngspice is missing, type: ${NGSPICE_INSTALL})`;

describe('voltages of random sites', () => {
  const seed = seedOfThisRun();
  console.log(`random feeds and powered buses for ngspice: FERRULE_SEED=${seed}`);

  it.skipIf(!installed)(
    name(`agree with ngspice on ${FEED_SITES} sites of feeds, seed ${seed}`),
    () => {
      const compared = compare(casesOf(randomFrom(seed), randomFeedCase, FEED_SITES));
      expect(compared).toBeGreaterThan(2 * FEED_SITES);
    },
  );

  it.skipIf(!installed)(
    name(`agree with ngspice on ${BUS_SITES} powered buses, seed ${seed}`),
    () => {
      const compared = compare(casesOf(randomFrom(seed + 1), randomBusCase, BUS_SITES));
      expect(compared).toBeGreaterThan(4 * BUS_SITES);
    },
  );
});

/** Cases that have an operating point; the others are for the collapse tests. */
function casesOf(
  random: Random,
  make: (random: Random) => PowerCase,
  count: number,
): readonly PowerCase[] {
  const cases: PowerCase[] = [];
  while (cases.length < count) {
    const one = make(random);
    if (solveNetwork(one.network).kind === 'operating-point') {
      cases.push(one);
    }
  }
  return cases;
}

/** Compares every inlet and port; gives how many were compared. */
function compare(cases: readonly PowerCase[]): number {
  let compared = 0;
  const simulated = solveWithNgspice(cases.map((one) => one.network));
  cases.forEach(({ text, nodes, factor, network }, position) => {
    const voltageV = simulated[position];
    expect(voltageV !== undefined || isReactive(network)).toBe(true);
    if (voltageV === undefined) {
      return;
    }
    const { site } = siteOf(text);
    for (const [subject, node] of nodes) {
      const fact = factOf(site, subject, 'voltage');
      const reference = voltageV[node]! * factor;
      const told = `${subject}: ${String(fact?.value)} V, ngspice ${reference} V in\n${text}`;
      expect(typeof fact?.value, told).toBe('number');
      const difference = Math.abs((fact?.value as number) - reference) / Math.abs(reference);
      expect(difference, told).toBeLessThanOrEqual(AGREEMENT);
      compared += 1;
    }
  });
  return compared;
}
