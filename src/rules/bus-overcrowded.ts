import { segmentOf, talkingPorts } from '../analysis/bus/segment.js';
import { defineRule } from './rule.js';
import {
  busPlace,
  counted,
  landingOfFinding,
  landingPlace,
  ledSegment,
  limitPlace,
  measured,
} from './support/bus-wording.js';
import { moveAwayFixes } from './support/reland.js';
import { beyond } from './support/margin-wording.js';

/** More talking ports on one segment than its type allows. */
export const busOvercrowded = defineRule({
  name: 'bus-overcrowded',
  severity: 'error',
  of: 'bus',
  acceptable: true,
  *check(site, bus) {
    const segment = ledSegment(site, bus);
    const limit = segment?.busType.drops;
    if (segment === undefined || limit === undefined) {
      return;
    }
    const ports = talkingPorts(segment);
    const tooMany = ports[limit];
    if (tooMany === undefined) {
      return;
    }
    yield {
      subject: tooMany.bus.name,
      at: landingPlace(tooMany, 'target'),
      what: `${tooMany.bus.name} has ${counted(ports.length, 'port')}, and ${bus.busType} allows ${limit} on one segment${beyond(ports.length, limit)}.`,
      why: 'Drivers and addresses are planned for that many: beyond it devices are not found or drop out.',
      remedy: `Land ${ports.length - limit} of them on another bus, or divide this one with a repeater.`,
      related: [
        busPlace(tooMany.bus),
        limitPlace(segment.busType, 'drops', `${bus.busType} allows ${counted(limit, 'port')}.`),
      ],
      facts: [measured('drops', ports.length, '')],
      waivable: { value: ports.length, unit: '' },
    };
  },
  fixes(site, finding) {
    const found = landingOfFinding(site, finding);
    const limit = found && site.busTypes.get(found.bus.busType)?.drops;
    if (found === undefined || limit === undefined) {
      return [];
    }
    const excess = talkingPorts(segmentOf(site, found.bus)).length - limit;
    return excess > 1 ? [] : moveAwayFixes(site, found);
  },
});
