import { geometryOf } from '../analysis/bus/geometry.js';
import { isShapeAllowed } from '../analysis/bus/shape.js';
import { terminationOf } from '../analysis/bus/termination.js';
import type { Terminator } from '../analysis/bus/termination.js';
import { placeKey } from '../model/origin.js';
import type { Place } from '../model/origin.js';
import { defineRule } from './rule.js';
import {
  busPlace,
  counted,
  isSettledElsewhere,
  landingPlace,
  ledSegment,
  limitPlace,
  relatedLanding,
} from './support/bus-wording.js';
import { flagEdit } from './support/reland.js';

/** A terminator more than the segment needs. */
export const terminatorDuplicate = defineRule({
  name: 'terminator-duplicate',
  severity: 'error',
  of: 'bus',
  acceptable: true,
  *check(site, bus) {
    const segment = ledSegment(site, bus);
    const where = segment?.busType.terminate?.where;
    if (segment === undefined || where === undefined || !isShapeAllowed(geometryOf(site, bus))) {
      return;
    }
    const needed = where === 'both-ends' ? 2 : 1;
    for (const { terminator, besides } of terminationOf(site, bus).duplicate) {
      const { landing } = terminator;
      if (isSettledElsewhere(landing)) {
        continue;
      }
      const same = besides?.landing.name === landing.name;
      yield {
        subject: landing.name,
        at: terminatorPlace(terminator),
        what: same
          ? `${landing.name} is terminated, and its port has a terminator built in.`
          : `${landing.name} is terminated, and ${landing.bus.name} has the ${counted(needed, 'terminator')} that ${landing.bus.busType} asks for without it.`,
        why: 'Each terminator too many loads the drivers and pulls the idle voltage down.',
        remedy:
          terminator.kind === 'fitted'
            ? 'Take this terminator out.'
            : 'Use a device without a terminator of its own here.',
        related: [
          busPlace(landing.bus),
          ...(besides === undefined
            ? []
            : [relatedLanding(besides.landing, `${besides.landing.name} has a terminator.`)]),
          limitPlace(segment.busType, 'terminate', `${landing.bus.busType} asks for ${needed}.`),
        ],
      };
    }
  },
  fixes(site, finding) {
    const bus = site.buses.get(finding.at.declaration);
    const found =
      bus &&
      terminationOf(site, bus).duplicate.find(
        ({ terminator }) => placeKey(terminatorPlace(terminator)) === placeKey(finding.at),
      );
    if (found === undefined || found.terminator.kind !== 'fitted') {
      return [];
    }
    const { landing } = found.terminator;
    return [
      {
        title: `Take the terminator at ${landing.name} out`,
        kind: 'wiring',
        edits: [flagEdit('clear-landing-flag', landing.bus, landing.landing, 'terminated')],
      },
    ];
  },
});

function terminatorPlace({ kind, landing }: Terminator): Place {
  return landingPlace(landing, kind === 'fitted' ? 'terminated' : 'target');
}
