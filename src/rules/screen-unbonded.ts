import { screensOf } from '../analysis/bus/screen.js';
import type { ScreenStretch } from '../analysis/bus/screen.js';
import { part, placeKey, placeOf } from '../model/origin.js';
import type { Place } from '../model/origin.js';
import { segmentOf } from '../analysis/bus/segment.js';
import type { BusLanding } from '../analysis/bus/segment.js';
import type { Site } from '../model/site.js';
import type { Bus } from '../model/wiring.js';
import { defineRule } from './rule.js';
import { busPlace, landingPlace, ledSegment } from './support/bus-wording.js';
import { flagEdit } from './support/reland.js';

/** A cable screen without its connection to earth. */
export const screenUnbonded = defineRule({
  name: 'screen-unbonded',
  severity: 'warning',
  of: 'bus',
  acceptable: true,
  *check(site, bus) {
    if (ledSegment(site, bus) === undefined) {
      return;
    }
    for (const { at, landing, stretch, isEnd } of unbondedOn(site, bus)) {
      const cableName = stretch.cables[0]!.segment.cable!.name;
      yield {
        subject: isEnd ? landing.name : landing.bus.name,
        at,
        what: isEnd
          ? `The screen of ${landing.bus.name} is not bonded at its end ${landing.name}, and ${landing.bus.busType} asks for both ends.`
          : `The screen of ${cableName} on ${landing.bus.name} is bonded to earth nowhere.`,
        why: 'A screen that floats carries noise along instead of taking it to earth.',
        remedy: `Bond it at ${landing.name} and write "bonded" on its line.`,
        related: [busPlace(landing.bus)],
      };
    }
  },
  fixes(site, finding) {
    const bus = site.buses.get(finding.at.declaration);
    const found =
      bus &&
      unbondedOn(site, segmentOf(site, bus).lead).find(
        ({ at }) => placeKey(at) === placeKey(finding.at),
      );
    return found === undefined
      ? []
      : [
          {
            title: `Bond the screen at ${found.landing.name}`,
            kind: 'wiring',
            edits: [
              flagEdit('set-landing-flag', found.landing.bus, found.landing.landing, 'bonded'),
            ],
          },
        ];
  },
});

interface Unbonded {
  readonly at: Place;
  readonly stretch: ScreenStretch;
  /** Where the bond belongs. */
  readonly landing: BusLanding;
  readonly isEnd: boolean;
}

function unbondedOn(site: Site, bus: Bus): readonly Unbonded[] {
  const wanted = site.busTypes.get(bus.busType)?.screenBonded;
  return screensOf(site, bus).flatMap((stretch): readonly Unbonded[] => {
    if (stretch.bonded.length === 0 && wanted !== 'both-ends') {
      const landing = stretch.landings[0]!;
      return [{ at: cablePlace(stretch), stretch, landing, isEnd: false }];
    }
    return wanted !== 'both-ends'
      ? []
      : stretch.ends
          .filter(({ landing }) => !landing.bonded)
          .map((landing) => ({
            at: landingPlace(landing, 'target'),
            stretch,
            landing,
            isEnd: true,
          }));
  });
}

/** Where the first cable of a stretch is named. */
function cablePlace({ cables }: ScreenStretch): Place {
  const { bus, end, segment } = cables[0]!;
  return end.landing.cable === undefined || segment.closesRing
    ? placeOf(bus.name, 'cable')
    : placeOf(bus.name, part('land', end.landing.index, 'cable'));
}
