/**
 * Each fault is put into a site, what would then be seen is written down, and the diagnosis must come
 * back to it: always among the candidates, nearly always in the first group, and in a group that holds
 * just what a search through everything finds to look alike.
 */
import { describe, expect, it } from 'vitest';
import { diagnosisOf } from '../../src/analysis/diagnosis/diagnosis.js';
import { faultKey, type Fault } from '../../src/analysis/diagnosis/fault.js';
import { lookKey, sightText, type Look } from '../../src/analysis/diagnosis/look.js';
import { possibleFaults } from '../../src/analysis/diagnosis/possible-faults.js';
import { Predictor, type Picture } from '../../src/analysis/diagnosis/predictor.js';
import { controllersOf } from '../../src/analysis/graph/supervision.js';
import { buildSite } from '../../src/model/site.js';
import type { Site } from '../../src/model/site.js';
import { commissionedSite } from '../support/commissioned-sites.js';
import { checkedExample, examples, isBroken } from '../support/examples.js';
import { observedSite, type Looked } from '../support/observed.js';
import { randomFrom, seedOfThisRun, type Random } from '../support/random.js';

const RANDOM_SITES = 6;
/** Of large sites every so many faults are tried: a diagnosis there weighs thousands. */
const FAULTS_TIMES_DEVICES = 2500;
const LEAST_FAULTS = 8;
/** Shares that must be reached. */
const LEAST_IN_FIRST_GROUP = 0.9;
const MOST_OF_WALKING = 0.5;

const seed = seedOfThisRun();
console.log(`random faults for the diagnosis: FERRULE_SEED=${seed}`);
const random = randomFrom(seed);

const sites: readonly { readonly name: string; readonly make: () => Site }[] = [
  ...examples()
    .filter((one) => !isBroken(one))
    .map((one) => ({
      name: one.name,
      make: () => buildSite(checkedExample(one).open.site.entries),
    })),
  { name: `${RANDOM_SITES} random sites`, make: () => commissionedSite(random) },
];

describe.each(sites)('every fault of $name', ({ name, make }) => {
  it('is found again from all that can be seen', { timeout: 240_000 }, () => {
    const tally = { tried: 0, candidate: 0, first: 0, sizes: 0, sameSize: 0, invisible: 0 };
    const repeats = name.endsWith('random sites') ? RANDOM_SITES : 1;
    for (let count = 0; count < repeats; count++) {
      injectAll(make(), tally);
    }
    const share = tally.first / tally.tried;
    console.log(
      `${name}: ${tally.tried} faults, ${tally.invisible} more change nothing that can be seen; ` +
        `candidate ${tally.candidate}, in the first group ${(100 * share).toFixed(1)} %, ` +
        `first group ${(tally.sizes / tally.first).toFixed(2)} on average, as by search ${tally.sameSize}`,
    );
    expect(tally.tried).toBeGreaterThan(5);
    expect(tally.candidate).toBe(tally.tried);
    expect(tally.sameSize).toBe(tally.first);
    expect(share).toBeGreaterThanOrEqual(LEAST_IN_FIRST_GROUP);
  });
});

interface Tally {
  tried: number;
  candidate: number;
  first: number;
  sizes: number;
  sameSize: number;
  invisible: number;
}

function injectAll(site: Site, tally: Tally): void {
  const predictor = new Predictor(site);
  const faults = possibleFaults(site);
  const most = Math.max(LEAST_FAULTS, Math.floor(FAULTS_TIMES_DEVICES / site.devices.size));
  const step = Math.ceil(faults.length / most);
  const alike = new Map<string, number>();
  for (const fault of faults) {
    for (const text of new Set(
      predictor.pictures([fault]).map((picture) => everything(predictor, picture)),
    )) {
      alike.set(text, (alike.get(text) ?? 0) + 1);
    }
  }
  for (const fault of faults.filter((_, index) => index % step === 0)) {
    const picture = random.pick(predictor.pictures([fault]));
    if (picture.size === 0) {
      tally.invisible += 1;
      continue;
    }
    tally.tried += 1;
    const seen = predictor.looks.map((look) => lookedAt(predictor, picture, look));
    const { verdict, groups } = diagnosisOf(observedSite(site, seen), predictor);
    const holds = groups.map(({ candidates }) =>
      candidates.some(({ faults: [one] }) => faultKey(one!) === faultKey(fault)),
    );
    tally.candidate += verdict === 'single' && holds.includes(true) ? 1 : 0;
    if (holds[0] === true) {
      tally.first += 1;
      const { length } = groups[0]!.candidates;
      tally.sizes += length;
      tally.sameSize += length === alike.get(everything(predictor, picture)) ? 1 : 0;
    }
  }
}

function lookedAt(predictor: Predictor, picture: Picture, look: Looked['look']): Looked {
  return { look, sight: picture.get(lookKey(look)) ?? predictor.intact(lookKey(look)) };
}

/** What each look of the site gives, whether a fault changes it or not. */
function everything(predictor: Predictor, picture: Picture): string {
  return predictor.looks
    .map((look) => sightText(lookedAt(predictor, picture, look).sight))
    .join('\u0001');
}

describe('the next look', () => {
  it('needs no more than half of the looks of walking along', { timeout: 240_000 }, () => {
    let guided = 0;
    let walked = 0;
    let skipped = 0;
    let cases = 0;
    const own = randomFrom(seed);
    const library = buildSite(
      checkedExample(examples().find((one) => one.name === 'library/library')!).open.site.entries,
    );
    const places = [library, ...Array.from({ length: 6 }, () => commissionedSite(own))];
    for (const site of places) {
      const predictor = new Predictor(site);
      for (const fault of symptomatic(site, predictor, own)) {
        const picture = own.pick(predictor.pictures([fault]));
        const start = firstLook(site, predictor, picture);
        if (start !== undefined) {
          guided += looksUntilClear(site, predictor, picture, start, 'guided');
          walked += looksUntilClear(site, predictor, picture, start, 'walking');
          skipped += looksUntilClear(site, predictor, picture, start, 'skipping');
          cases += 1;
        }
      }
    }
    const share = guided / walked;
    console.log(
      `${cases} faults from a first count: ${(guided / cases).toFixed(2)} looks guided, ` +
        `${(walked / cases).toFixed(2)} walking, ${(100 * share).toFixed(0)} %; ` +
        `${(skipped / cases).toFixed(2)} walking past what the diagnosis says tells nothing`,
    );
    expect(cases).toBeGreaterThan(30);
    expect(share).toBeLessThanOrEqual(MOST_OF_WALKING);
  });
});

const FAULTS_A_SITE = 20;

function symptomatic(site: Site, predictor: Predictor, own: Random): readonly Fault[] {
  const all = possibleFaults(site).filter((fault) =>
    predictor.pictures([fault]).some((picture) => [...picture.keys()].some(isCount)),
  );
  return Array.from({ length: FAULTS_A_SITE }, () => own.pick(all));
}

function isCount(look: string): boolean {
  return look.startsWith('units ');
}

/** Somebody notices that a controller finds too few. */
function firstLook(site: Site, predictor: Predictor, picture: Picture): Looked | undefined {
  const controller = controllersOf(site).find(({ name }) => picture.has(`units ${name}`));
  const look = predictor.looks.find(
    (one) => one.kind === 'units' && one.controller === controller?.name,
  );
  return look && lookedAt(predictor, picture, look);
}

function looksUntilClear(
  site: Site,
  predictor: Predictor,
  picture: Picture,
  start: Looked,
  how: 'guided' | 'walking' | 'skipping',
): number {
  const order = walkingOrder(site, predictor, start);
  const seen = [start];
  for (;;) {
    const { groups, next } = diagnosisOf(observedSite(site, seen), predictor);
    const known = new Set(seen.map(({ look }) => lookKey(look)));
    const tells = (one: Look): boolean => {
      const key = lookKey(one);
      const sights = groups.flatMap(({ candidates }) =>
        candidates[0]!.pictures.map((each) => sightText(each.get(key) ?? predictor.intact(key))),
      );
      return new Set(sights).size > 1;
    };
    const look =
      next === undefined || how === 'guided'
        ? next?.look
        : order.find((one) => !known.has(lookKey(one)) && (how === 'walking' || tells(one)));
    if (look === undefined || known.has(lookKey(look))) {
      return seen.length - 1;
    }
    seen.push(lookedAt(predictor, picture, look));
  }
}

/**
 * Along the line of the first missed unit, from its head on, one reading of the pair at each device;
 * then the supplies of those devices; then whatever else there is, as the sheet lists it.
 */
function walkingOrder(site: Site, predictor: Predictor, { sight }: Looked): readonly Look[] {
  const [missed] = sight.kind === 'missing' ? [...sight.units] : [];
  const runs = site.busLandingsOfDevice.get(missed ?? '') ?? [];
  const ports = runs.flatMap(({ run }) =>
    run.landings.map(({ device, member }) => ({ device, port: `${device}.${member}` })),
  );
  const along = ports.flatMap(({ port }) =>
    predictor.looks.filter((one) => one.kind === 'idle' && one.port === port),
  );
  const supplies = ports.flatMap(({ device }) =>
    predictor.looks.filter((one) => one.kind === 'voltage' && one.at.startsWith(`${device}.`)),
  );
  return [...new Set([...along, ...supplies, ...predictor.looks])];
}
