import { swappedLandings } from '../analysis/bus/polarity.js';
import { segmentOf } from '../analysis/bus/segment.js';
import { placeKey } from '../model/origin.js';
import type { Place } from '../model/origin.js';
import type { Site } from '../model/site.js';
import { defineRule } from './rule.js';
import { busPlace, landingPlace, ledSegment } from './support/bus-wording.js';
import type { SwappedLanding } from '../analysis/bus/polarity.js';

/** A landing of a polarised bus whose cores stand in another order than those of the rest. */
export const conductorsSwapped = defineRule({
  name: 'conductors-swapped',
  severity: 'error',
  of: 'bus',
  acceptable: true,
  *check(site, bus) {
    const segment = ledSegment(site, bus);
    if (segment === undefined) {
      return;
    }
    for (const swapped of swappedLandings(site, segment)) {
      const { landing, landed, wanted } = swapped;
      const terminals = landing.resolved?.port.terminals.slice(0, landed.length).join(', ') ?? '';
      yield {
        subject: landing.name,
        at: coresPlace(swapped),
        what: `${landing.name} has the cores ${landed.join(', ')} on its terminals ${terminals}, and the rest of ${landing.bus.name} has ${wanted.join(', ')} in that order.`,
        why: 'On a polarised pair a swapped device hears everything upside down and may disturb the others.',
        remedy: `Land ${wanted.join(', ')} on ${terminals}.`,
        related: [busPlace(landing.bus)],
      };
    }
  },
  fixes(site, finding) {
    const swapped = findSwapped(site, finding.at);
    return swapped === undefined || swapped.landing.landing.cores === undefined
      ? []
      : [
          {
            title: `Land ${swapped.wanted.join(', ')} at ${swapped.landing.name}`,
            kind: 'wiring',
            edits: [{ kind: 'replace-value', at: finding.at, text: swapped.wanted.join(', ') }],
          },
        ];
  },
});

function findSwapped(site: Site, at: Place): SwappedLanding | undefined {
  const bus = site.buses.get(at.declaration);
  return (
    bus &&
    swappedLandings(site, segmentOf(site, bus)).find(
      (swapped) => placeKey(coresPlace(swapped)) === placeKey(at),
    )
  );
}

/** Where the cores are stated; a landing in the cable's own order states none. */
function coresPlace({ landing }: SwappedLanding): Place {
  return landingPlace(landing, landing.landing.cores === undefined ? 'target' : 'cores');
}
