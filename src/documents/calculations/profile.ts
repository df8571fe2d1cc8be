/** The voltage along a feed or a bus that carries power: place by place, with what it may not fall below. */
import { factsOf } from '../../analysis/facts.js';
import { cablesOfRun } from '../../analysis/cabling/cables.js';
import type { SiteCable } from '../../analysis/cabling/cables.js';
import type { Fact } from '../../model/finding.js';
import { memberKey } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import type { Bus, Feed } from '../../model/wiring.js';
import type { Mark } from '../document.js';
import { leastSure, markOf } from '../marks.js';

/** One place along a run. */
export interface ProfilePoint {
  readonly name: string;
  /** Along the cables from where the run begins; undefined behind a cable of unknown length. */
  readonly distanceM: number | undefined;
  readonly distanceMark: Mark;
  /** The cable that leads here; undefined where the run begins. */
  readonly cable: SiteCable | undefined;
  readonly voltage: Fact | undefined;
  readonly currentA: number | undefined;
  /** Index of the place before this one. */
  readonly before: number | undefined;
}

/** The places of a run in the order of its landings; empty where no voltage is computed at any. */
export function profileOf(site: Site, run: Bus | Feed): readonly ProfilePoint[] {
  const cables = new Map<number, SiteCable>();
  for (const cable of cablesOfRun(site, run)) {
    const landing = cable.to.landing;
    if (landing !== undefined && !cable.closesRing && !cables.has(landing.index)) {
      cables.set(landing.index, cable);
    }
  }
  const points: ProfilePoint[] = [];
  const placeOf = new Map<number, number>();
  for (const landing of run.landings) {
    const cable = cables.get(landing.index);
    const before = landing.from === undefined ? undefined : placeOf.get(landing.from);
    const start = before === undefined ? undefined : points[before];
    const startM = before === undefined ? 0 : start?.distanceM;
    const name = memberKey(landing.device, landing.member);
    const voltage = voltageOf(site, name);
    const hopM = cable === undefined ? 0 : cable.lengthM;
    placeOf.set(landing.index, points.length);
    points.push({
      name,
      distanceM: startM === undefined || hopM === null ? undefined : startM + hopM,
      distanceMark: leastSure([
        ...(start === undefined ? [] : [start.distanceMark]),
        ...(cable === undefined ? [] : [markOf(cable.lengthBasis)]),
      ]),
      cable,
      voltage,
      currentA: currentTo(voltage, name),
      before,
    });
  }
  return points.some(({ voltage }) => voltage?.value !== null && voltage !== undefined)
    ? points
    : [];
}

function voltageOf(site: Site, name: string): Fact | undefined {
  const all = factsOf(site, name).filter((fact) => fact.fact === 'voltage');
  return all.find((fact) => fact.value !== null) ?? all[0];
}

/** The last current on the way from the source. */
function currentTo(voltage: Fact | undefined, name: string): number | undefined {
  const found = voltage?.terms.find((term) => term.name === `I to ${name}`);
  return typeof found?.value === 'number' ? found.value : undefined;
}
