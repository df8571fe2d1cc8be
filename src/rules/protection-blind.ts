import { judgedFaultTemperature } from '../analysis/power/temperature.js';
import { faultsOfFeed, protectionOf } from '../analysis/power/fault.js';
import { part, placeOf } from '../model/origin.js';
import { memberKey } from '../model/site.js';
import type { Site } from '../model/site.js';
import type { Feed } from '../model/wiring.js';
import { feedEnds, pointByKey } from '../analysis/power/consumers.js';
import { defineRule } from './rule.js';
import { measured } from './support/bus-wording.js';
import { amount, atTemperature, runPlace, targetOf } from './support/power-wording.js';
import { runCableFixes } from './support/supply-fixes.js';

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
    yield {
      subject: feed.name,
      at: targetOf(first.at),
      what: `A short-circuit on ${feed.name} draws as little as ${amount(leastA, 'A', tripsFromA)} ${atTemperature(judgedFaultTemperature(site))}; the ${amount(ratedA, 'A')} protection of ${outlet} surely lets go at once only from ${amount(tripsFromA, 'A')} (from memory, to be verified in the standard).`,
      why: 'The fault goes on until the slow, thermal part trips, and the cable carries it all the while.',
      remedy:
        'Use a larger cable or a shorter one, a protective device with a lower rating or a faster curve, or a nearer supply.',
      related: [
        {
          at: placeOf(equipment, part('outlet', member)),
          message: 'The protection is stated here.',
        },
        runPlace(feed.name),
      ],
      facts: [measured('fault-current', leastA, 'A'), measured('trip-current', tripsFromA, 'A')],
      waivable: { value: leastA, unit: 'A', lowerIsWorse: true },
    };
  },
  fixes(site, finding) {
    const record = site.feeds.get(finding.subject);
    return record === undefined
      ? []
      : runCableFixes(site, { record }, (trial) => {
          const feed = trial.feeds.get(record.name)!;
          return faultsOfFeed(trial, feed).faults.length > 0 && blindOn(trial, feed) === undefined;
        });
  },
});

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
