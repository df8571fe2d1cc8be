/** The voltage along a feed or a bus that carries power: place by place, with what it may not fall below. */
import type { Basis, Fact } from '../../model/finding.js';
import { memberKey } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import type { Bus, Feed } from '../../model/wiring.js';
import { cablesOfRun } from '../cabling/cables.js';
import type { SiteCable } from '../cabling/cables.js';
import { factsOf } from '../facts.js';
import type { LengthBasis } from '../run.js';

/** One place along a run. */
export interface ProfilePlace {
  /** `FC-1-03.field`. */
  readonly name: string;
  /** Along the cables from where the run begins; undefined behind a cable of unknown length. */
  readonly distanceM: number | undefined;
  /** What the lengths on the way rest on, each once. */
  readonly distanceBases: readonly (Basis | LengthBasis)[];
  /** The cable that leads here; undefined where the run begins. */
  readonly cable: SiteCable | undefined;
  readonly voltage: Fact | undefined;
  readonly currentA: number | undefined;
  /** Index of the place before this one. */
  readonly before: number | undefined;
}

/** The places of a run in the order of its landings; empty where no voltage is computed at any. */
export function voltageProfile(site: Site, run: Bus | Feed): readonly ProfilePlace[] {
  const cables = new Map<number, SiteCable>();
  for (const cable of cablesOfRun(site, run)) {
    const landing = cable.to.landing;
    if (landing !== undefined && !cable.closesRing && !cables.has(landing.index)) {
      cables.set(landing.index, cable);
    }
  }
  const places: ProfilePlace[] = [];
  const placeOf = new Map<number, number>();
  for (const landing of run.landings) {
    const cable = cables.get(landing.index);
    const before = landing.from === undefined ? undefined : placeOf.get(landing.from);
    const start = before === undefined ? undefined : places[before];
    const startM = before === undefined ? 0 : start?.distanceM;
    const name = memberKey(landing.device, landing.member);
    const voltage = voltageAt(site, name);
    const hopM = cable === undefined ? 0 : cable.lengthM;
    placeOf.set(landing.index, places.length);
    places.push({
      name,
      distanceM: startM === undefined || hopM === null ? undefined : startM + hopM,
      distanceBases: [
        ...new Set([
          ...(start?.distanceBases ?? []),
          ...(cable === undefined ? [] : [cable.lengthBasis]),
        ]),
      ],
      cable,
      voltage,
      currentA: currentTo(voltage, name),
      before,
    });
  }
  return places.some(({ voltage }) => voltage?.value !== null && voltage !== undefined)
    ? places
    : [];
}

/** The voltage at a port or inlet: a known one before one that is not. */
export function voltageAt(site: Site, name: string): Fact | undefined {
  const all = factsOf(site, name).filter((fact) => fact.fact === 'voltage');
  return all.find((fact) => fact.value !== null) ?? all[0];
}

/** The last current on the way from the source. */
function currentTo(voltage: Fact | undefined, name: string): number | undefined {
  const found = voltage?.terms.find((term) => term.name === `I to ${name}`);
  return typeof found?.value === 'number' ? found.value : undefined;
}
