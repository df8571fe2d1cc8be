import { judgedFaultTemperature } from '../analysis/power/temperature.js';
import { isAbove } from '../analysis/bus/limits.js';
import { PROTECTION_RATINGS_A } from '../analysis/electrical/limits.js';
import { tripBand } from '../analysis/electrical/protection.js';
import { phaseFactor } from '../analysis/power/demand.js';
import { faultsIn, faultsOfFeed, protectionOf } from '../analysis/power/fault.js';
import { circuitOfFeed } from '../analysis/power/supply-circuit.js';
import { sizingOf } from '../analysis/power/sizing.js';
import { loadsOfDevice } from '../analysis/power/loads.js';
import type { Equipment, Outlet } from '../model/equipment.js';
import type { Fix } from '../model/finding.js';
import { part, placeOf } from '../model/origin.js';
import { formatNumber } from '../model/quantity.js';
import { memberKey } from '../model/site.js';
import type { Site } from '../model/site.js';
import type { Curve } from '../model/values.js';
import type { Feed } from '../model/wiring.js';
import { feedEnds, pointByKey } from '../analysis/power/consumers.js';
import { defineRule } from './rule.js';
import { measured } from './support/bus-wording.js';
import { amount, atTemperature, runPlace, targetOf } from './support/power-wording.js';
import { cableAdvice, sizingFacts } from './support/sizing-wording.js';
import { runCableFixes } from './support/supply-fixes.js';
import { beyond } from './support/margin-wording.js';

/** A feed so long that a short-circuit at its end does not make the protective device let go at once. */
export const protectionBlind = defineRule({
  name: 'protection-blind',
  severity: 'warning',
  of: 'feed',
  acceptable: true,
  *check(site, feed) {
    const blind = blindOn(site, feed);
    if (blind === undefined) {
      return;
    }
    const { outlet, first, leastA, tripsFromA, ratedA } = blind;
    const point = pointByKey(site, outlet);
    const equipment = point?.kind === 'outlet' ? point.equipment.name : outlet;
    const member = point?.kind === 'outlet' ? point.outlet.name : '';
    const sizing = sizingOf(circuitOfFeed(site, feed), first.at, (changed) =>
      faultsIn(site, feed, changed)
        .filter((fault) => fault.outlet === outlet)
        .every(({ currentA }) => currentA >= tripsFromA),
    );
    yield {
      subject: feed.name,
      at: targetOf(first.at),
      what: `A short-circuit on ${feed.name} draws as little as ${amount(leastA, 'A', tripsFromA)} ${atTemperature(judgedFaultTemperature(site))}; the ${amount(ratedA, 'A')} protection of ${outlet} surely lets go at once only from ${amount(tripsFromA, 'A')}${beyond(leastA, tripsFromA)}. The band is from memory, to be verified in the standard.`,
      why: 'The fault goes on until the slow, thermal part trips, and the cable carries it all the while.',
      remedy: cableAdvice(
        sizing,
        first.subject,
        'take a protective device with a lower rating or a faster curve',
      ),
      related: [
        {
          at: placeOf(equipment, part('outlet', member)),
          message: 'The protection is stated here.',
        },
        runPlace(feed.name),
      ],
      facts: [
        measured('fault-current', leastA, 'A'),
        measured('trip-current', tripsFromA, 'A'),
        ...sizingFacts(sizing),
      ],
      waivable: { value: leastA, unit: 'A', lowerIsWorse: true },
    };
  },
  fixes(site, finding) {
    const record = site.feeds.get(finding.subject);
    return record === undefined
      ? []
      : [
          ...runCableFixes(site, { record }, (trial) => {
            const feed = trial.feeds.get(record.name)!;
            return (
              faultsOfFeed(trial, feed).faults.length > 0 && blindOn(trial, feed) === undefined
            );
          }),
          ...protectionFixes(site, record),
        ];
  },
});

/** A faster curve, or the largest lower rating that still carries the load. */
function protectionFixes(site: Site, feed: Feed): readonly Fix[] {
  const blind = blindOn(site, feed);
  const point = blind && pointByKey(site, blind.outlet);
  if (point?.kind !== 'outlet' || point.outlet.protection === undefined) {
    return [];
  }
  const { equipment, outlet } = point;
  const { ratedA, curve } = point.outlet.protection;
  const leastA = leastFaultA(site, equipment, outlet);
  const loadA = mostLoadA(site, equipment, outlet);
  const supply = outlet.voltage?.kind === 'dc' ? 'DC' : 'AC';
  const tripsFromA = (one: Curve, amperes: number): number => {
    const band = tripBand(one, amperes, supply);
    return band.known ? band.tripsFromA : Number.POSITIVE_INFINITY;
  };
  const faster = (['C', 'B', 'Z'] as const).find(
    (one) => one !== curve && tripsFromA(one, ratedA) <= leastA,
  );
  const lower =
    curve === undefined || loadA === undefined
      ? undefined
      : PROTECTION_RATINGS_A.findLast(
          (one) => one < ratedA && !isAbove(loadA, one) && tripsFromA(curve, one) <= leastA,
        );
  const fix = (what: string, tripA: number, member: string, text: string): Fix => ({
    title: `Protect ${memberKey(equipment.name, outlet.name)} with ${what}, which trips from ${amount(tripA, 'A')}`,
    kind: 'wiring',
    edits: [
      {
        kind: 'replace-value',
        at: placeOf(equipment.name, part('outlet', outlet.name, member)),
        text,
      },
    ],
  });
  return [
    ...(faster === undefined
      ? []
      : [fix(`curve ${faster}`, tripsFromA(faster, ratedA), 'curve', faster)]),
    ...(lower === undefined || curve === undefined
      ? []
      : [
          fix(
            amount(lower, 'A'),
            tripsFromA(curve, lower),
            'protected',
            `${formatNumber(lower)} A`,
          ),
        ]),
  ];
}

/** The least fault current on any feed from an outlet of this equipment: all have the same protection. */
function leastFaultA(site: Site, equipment: Equipment, outlet: Outlet): number {
  const faults = (site.devicesOf.get(equipment.name) ?? []).flatMap((device) => {
    const key = memberKey(device.name, outlet.name);
    return (site.feedsFrom.get(key) ?? []).flatMap((feed) =>
      faultsOfFeed(site, feed).faults.filter((fault) => fault.outlet === key),
    );
  });
  return Math.min(...faults.map(({ currentA }) => currentA));
}

/** The largest load on an outlet of this equipment, in A; undefined where one is not known. */
function mostLoadA(site: Site, equipment: Equipment, outlet: Outlet): number | undefined {
  const volts = phaseFactor(outlet) * (outlet.voltage?.volts ?? Number.NaN);
  const loadsA = (site.devicesOf.get(equipment.name) ?? []).map((device) => {
    const load = loadsOfDevice(site, device).get(outlet.name);
    return load === undefined || load.gaps.length > 0
      ? Number.NaN
      : (load.apparentVA ?? Number.NaN) / volts;
  });
  const mostA = Math.max(...loadsA);
  return Number.isFinite(mostA) ? mostA : undefined;
}

function blindOn(site: Site, feed: Feed) {
  const { faults } = faultsOfFeed(site, feed);
  for (const end of feedEnds(feed)) {
    const outlet = memberKey(end.owner, end.member);
    const protection = protectionOf(site, outlet);
    if (protection?.band === undefined) {
      continue;
    }
    const { tripsFromA } = protection.band;
    const low = faults.filter((fault) => fault.outlet === outlet && fault.currentA < tripsFromA);
    const [first] = low;
    if (first !== undefined) {
      const leastA = Math.min(...low.map((fault) => fault.currentA));
      return { outlet, first, leastA, tripsFromA, ratedA: protection.ratedA };
    }
  }
  return undefined;
}
