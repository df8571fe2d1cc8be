import { geometryOf } from '../analysis/bus/geometry.js';
import { isShapeAllowed } from '../analysis/bus/shape.js';
import { terminationOf } from '../analysis/bus/termination.js';
import type { Terminator } from '../analysis/bus/termination.js';
import { placeKey } from '../model/origin.js';
import type { Place } from '../model/origin.js';
import { defineRule } from './rule.js';
import {
  busPlace,
  isSettledElsewhere,
  landingPlace,
  ledSegment,
  relatedLanding,
} from './support/bus-wording.js';
import { flagEdit } from './support/reland.js';

/** A terminator away from the ends while an end is bare. */
export const terminatorMisplaced = defineRule({
  name: 'terminator-misplaced',
  severity: 'error',
  of: 'bus',
  acceptable: true,
  *check(site, bus) {
    const segment = ledSegment(site, bus);
    // Where the shape is wrong, so are the ends: the shape comes first.
    if (segment === undefined || !isShapeAllowed(geometryOf(site, bus))) {
      return;
    }
    for (const { terminator, end } of terminationOf(site, bus).misplaced) {
      const { landing } = terminator;
      if (isSettledElsewhere(landing)) {
        continue;
      }
      yield {
        subject: landing.name,
        at: terminatorPlace(terminator),
        what: `${landing.bus.name} is terminated at ${landing.name}, which is no end of it, while its end ${end.name} is bare.`,
        why: 'In the middle a terminator weakens the signal, and the bare end still sends echoes back.',
        remedy:
          terminator.kind === 'fitted'
            ? `Move the terminator to ${end.name}.`
            : `Land ${landing.name} at the end of the line, or use a device without a terminator of its own there.`,
        related: [busPlace(landing.bus), relatedLanding(end, 'This end is bare.')],
      };
    }
  },
  fixes(site, finding) {
    const bus = site.buses.get(finding.at.declaration);
    const found =
      bus &&
      terminationOf(site, bus).misplaced.find(
        ({ terminator }) => placeKey(terminatorPlace(terminator)) === placeKey(finding.at),
      );
    if (found === undefined || found.terminator.kind !== 'fitted') {
      return [];
    }
    const { terminator, end } = found;
    return [
      {
        title: `Move the terminator from ${terminator.landing.name} to ${end.name}`,
        kind: 'wiring',
        edits: [
          flagEdit(
            'clear-landing-flag',
            terminator.landing.bus,
            terminator.landing.landing,
            'terminated',
          ),
          flagEdit('set-landing-flag', end.bus, end.landing, 'terminated'),
        ],
      },
    ];
  },
});

function terminatorPlace({ kind, landing }: Terminator): Place {
  return landingPlace(landing, kind === 'fitted' ? 'terminated' : 'target');
}
