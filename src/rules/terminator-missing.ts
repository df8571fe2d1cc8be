import { terminationOf } from '../analysis/bus/termination.js';
import { formatNumber } from '../model/quantity.js';
import { placeKey } from '../model/origin.js';
import { defineRule } from './rule.js';
import {
  busPlace,
  isSettledElsewhere,
  landingPlace,
  ledSegment,
  limitPlace,
} from './support/bus-wording.js';
import { flagEdit } from './support/reland.js';

/** An end of a segment without the terminator that its type asks for. */
export const terminatorMissing = defineRule({
  name: 'terminator-missing',
  severity: 'error',
  of: 'bus',
  acceptable: true,
  *check(site, bus) {
    const segment = ledSegment(site, bus);
    const terminate = segment?.busType.terminate;
    if (segment === undefined || terminate === undefined) {
      return;
    }
    for (const end of terminationOf(site, bus).missing) {
      if (isSettledElsewhere(end)) {
        continue;
      }
      const ohm = `${formatNumber(terminate.ohm)} ohm`;
      const where = terminate.where === 'both-ends' ? 'at both ends' : 'at one end';
      yield {
        subject: end.name,
        at: landingPlace(end, 'target'),
        what: `${end.bus.name} ends at ${end.name} without a terminator, and ${end.bus.busType} asks for ${ohm} ${where}.`,
        why: 'At an open end signals come back as echoes, and telegrams get lost.',
        remedy: `Fit ${ohm} across the pair there and write "terminated" on its line.`,
        related: [
          busPlace(end.bus),
          limitPlace(segment.busType, 'terminate', `${end.bus.busType} asks for ${ohm} ${where}.`),
        ],
      };
    }
  },
  fixes(site, finding) {
    const bus = site.buses.get(finding.at.declaration);
    const end =
      bus &&
      terminationOf(site, bus).missing.find(
        (one) => placeKey(landingPlace(one, 'target')) === placeKey(finding.at),
      );
    return end === undefined
      ? []
      : [
          {
            title: `Terminate ${end.bus.name} at ${end.name}`,
            kind: 'wiring',
            edits: [flagEdit('set-landing-flag', end.bus, end.landing, 'terminated')],
          },
        ];
  },
});
