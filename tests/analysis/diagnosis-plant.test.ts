/** What is predicted for each fault, against a plain simulation of voltage and telegrams. */
import { describe, expect, it } from 'vitest';
import { faultKey, type Fault } from '../../src/analysis/diagnosis/fault.js';
import { lookKey } from '../../src/analysis/diagnosis/look.js';
import { possibleFaults } from '../../src/analysis/diagnosis/possible-faults.js';
import { Predictor, type Picture } from '../../src/analysis/diagnosis/predictor.js';
import { controllersOf } from '../../src/analysis/graph/supervision.js';
import { buildSite } from '../../src/model/site.js';
import type { Site } from '../../src/model/site.js';
import { commissionedSite } from '../support/commissioned-sites.js';
import { checkedExample, examples, isBroken } from '../support/examples.js';
import { Plant, type Loser } from '../support/plant.js';
import { randomFrom, seedOfThisRun } from '../support/random.js';

const RANDOM_SITES = 6;
/** The simulation is slow on purpose: of large sites every so many faults are tried. */
const FAULTS_TIMES_DEVICES = 3000;

describe('for every fault the prediction is what the simulation shows', () => {
  it.each(examples().filter((one) => !isBroken(one)))('in the example $name', (example) => {
    const site = buildSite(checkedExample(example).open.site.entries);
    expect(differences(site)).toEqual([]);
  });

  const seed = seedOfThisRun();
  it(`in ${RANDOM_SITES} random sites, seed ${seed}`, () => {
    const random = randomFrom(seed);
    for (let count = 0; count < RANDOM_SITES; count++) {
      expect(differences(commissionedSite(random))).toEqual([]);
    }
  });
});

const LOSERS: readonly Loser[] = ['one', 'other', 'both'];

function differences(site: Site): readonly string[] {
  const predictor = new Predictor(site);
  const faults = possibleFaults(site);
  const step = Math.max(1, Math.ceil((faults.length * site.devices.size) / FAULTS_TIMES_DEVICES));
  const tried = faults.filter((_, index) => index % step === 0);
  expect(tried.length).toBeGreaterThan(5);
  const whole = new Plant(site, undefined);
  const all = new Map(
    controllersOf(site).map((device) => [device.name, whole.found(device)] as const),
  );
  return [undefined, ...tried].flatMap((fault) => {
    const pictures: readonly Picture[] =
      fault === undefined ? [new Map()] : predictor.pictures([fault]);
    return pictures.flatMap((picture, manner) =>
      differencesOf({ site, predictor, all, picture, fault, loser: LOSERS[manner] ?? 'both' }),
    );
  });
}

interface Case {
  readonly site: Site;
  readonly predictor: Predictor;
  /** What each controller finds on the whole site. */
  readonly all: ReadonlyMap<string, ReadonlySet<string>>;
  readonly picture: Picture;
  readonly fault: Fault | undefined;
  readonly loser: Loser;
}

function differencesOf({ site, predictor, all, picture, fault, loser }: Case): readonly string[] {
  const plant = new Plant(site, fault, loser);
  const name = fault === undefined ? 'no fault' : faultKey(fault);
  return predictor.looks.flatMap((look) => {
    const sight = picture.get(lookKey(look)) ?? predictor.intact(lookKey(look));
    if (look.kind === 'units' && sight.kind === 'missing') {
      const expected = predictor.intact(lookKey(look));
      expect(expected).toEqual({ kind: 'missing', units: new Set() });
      const found = plant.found(site.devices.get(look.controller)!);
      const missing = [...all.get(look.controller)!].filter((unit) => !found.has(unit)).sort();
      return [...sight.units].sort().join() === missing.join()
        ? []
        : [
            `${name}: ${look.controller} misses ${missing.join()}, predicted ${[...sight.units].join()}`,
          ];
    }
    if (look.kind === 'voltage' && sight.kind === 'reading') {
      const isWhole =
        sight.low > 0 && sight.low === (predictor.intact(lookKey(look)) as typeof sight).low;
      const isSame =
        plant.hasVoltage(look.at) === isWhole || (plant.hasVoltage(look.at) && sight.low > 0);
      return isSame ? [] : [`${name}: voltage at ${look.at} ${sight.low}`];
    }
    if (look.kind === 'page' && sight.kind === 'page') {
      return plant.pageOpens(look.network, look.host) === sight.opens
        ? []
        : [`${name}: ${look.host}`];
    }
    return [];
  });
}
