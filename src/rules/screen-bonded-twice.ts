import { screensOf } from '../analysis/bus/screen.js';
import type { BusLanding } from '../analysis/bus/segment.js';
import { segmentOf } from '../analysis/bus/segment.js';
import { placeKey } from '../model/origin.js';
import type { Site } from '../model/site.js';
import type { Bus } from '../model/wiring.js';
import { defineRule } from './rule.js';
import { busPlace, landingPlace, ledSegment, relatedLanding } from './support/bus-wording.js';
import { flagEdit } from './support/reland.js';

/** A cable screen with more connections to earth than the one, or the two, that it should have. */
export const screenBondedTwice = defineRule({
  name: 'screen-bonded-twice',
  severity: 'warning',
  of: 'bus',
  acceptable: true,
  *check(site, bus) {
    if (ledSegment(site, bus) === undefined) {
      return;
    }
    for (const { landing, first } of surplusOn(site, bus)) {
      yield {
        subject: landing.name,
        at: landingPlace(landing, 'bonded'),
        what: `The screen of ${landing.bus.name} is bonded at ${landing.name}, and already at ${first.name}.`,
        why: 'Earth is not at the same voltage everywhere: a current flows through the screen and disturbs the pair inside.',
        remedy: 'Bond it in one place and insulate the screen here.',
        related: [busPlace(landing.bus), relatedLanding(first, 'It is bonded here.')],
      };
    }
  },
  fixes(site, finding) {
    const bus = site.buses.get(finding.at.declaration);
    const found =
      bus &&
      surplusOn(site, segmentOf(site, bus).lead).find(
        ({ landing }) => placeKey(landingPlace(landing, 'bonded')) === placeKey(finding.at),
      );
    return found === undefined
      ? []
      : [
          {
            title: `Take the bond at ${found.landing.name} off`,
            kind: 'wiring',
            edits: [
              flagEdit('clear-landing-flag', found.landing.bus, found.landing.landing, 'bonded'),
            ],
          },
        ];
  },
});

/** Bonds that are too many, each with one that is enough. Where both ends are asked for, those may stay. */
function surplusOn(
  site: Site,
  bus: Bus,
): readonly { readonly landing: BusLanding; readonly first: BusLanding }[] {
  const bothEnds = site.busTypes.get(bus.busType)?.screenBonded === 'both-ends';
  return screensOf(site, bus).flatMap(({ bonded, ends }) => {
    const staying = bothEnds
      ? bonded.filter((landing) => ends.includes(landing))
      : bonded.slice(0, 1);
    const first = staying[0] ?? bonded[0];
    return first === undefined
      ? []
      : bonded
          .filter((landing) => landing !== first && !staying.includes(landing))
          .map((landing) => ({ landing, first }));
  });
}
