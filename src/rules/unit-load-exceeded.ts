import { isAbove } from '../analysis/bus/limits.js';
import { isUnitLoadAssumed, unitLoadOf } from '../analysis/bus/line.js';
import { resolvePort } from '../model/site.js';
import { formatNumber } from '../model/quantity.js';
import { defineRule } from './rule.js';
import {
  busPlace,
  landingOfFinding,
  landingPlace,
  ledSegment,
  limitPlace,
  measured,
} from './support/bus-wording.js';
import { moveAwayFixes } from './support/reland.js';
import { beyond } from './support/margin-wording.js';

/** More unit loads on a segment than its drivers can carry. */
export const unitLoadExceeded = defineRule({
  name: 'unit-load-exceeded',
  severity: 'error',
  of: 'bus',
  acceptable: true,
  *check(site, bus) {
    const segment = ledSegment(site, bus);
    const limit = segment?.busType.signal?.unitLoads;
    if (segment === undefined || limit === undefined) {
      return;
    }
    let sum = 0;
    const loading = segment.ports.map((port) => ({
      port,
      runningSum: (sum += unitLoadOf(port.resolved)),
    }));
    const lastStraw = loading.find(({ runningSum }) => isAbove(runningSum, limit))?.port;
    if (lastStraw === undefined) {
      return;
    }
    const assumed = segment.ports.filter(({ resolved }) => isUnitLoadAssumed(resolved)).length;
    const certainty = assumed > 0 ? ` (1 assumed for each of ${assumed} that state none)` : '';
    yield {
      subject: lastStraw.bus.name,
      at: landingPlace(lastStraw, 'target'),
      what: `${lastStraw.bus.name} carries ${formatNumber(sum)} unit loads${certainty}, and ${bus.busType} allows ${formatNumber(limit)}${beyond(sum, limit)}.`,
      why: 'Drivers that carry more than they are built for do not reach the voltage that receivers need.',
      remedy:
        'Land some of the devices on another segment, behind a repeater, or use devices with a fraction of a unit load.',
      related: [
        busPlace(lastStraw.bus),
        limitPlace(
          segment.busType,
          'signal',
          `${bus.busType} allows ${formatNumber(limit)} unit loads.`,
        ),
      ],
      facts: [measured('unit-loads', sum, '')],
      waivable: { value: sum, unit: '' },
    };
  },
  fixes(site, finding) {
    const found = landingOfFinding(site, finding);
    const resolved = found && resolvePort(site, found.landing.device, found.landing.member);
    const limit = found && site.busTypes.get(found.bus.busType)?.signal?.unitLoads;
    const sum = finding.waivable?.value;
    const isEnough =
      resolved !== undefined &&
      limit !== undefined &&
      sum !== undefined &&
      !isAbove(sum - unitLoadOf(resolved), limit);
    return isEnough ? moveAwayFixes(site, found) : [];
  },
});
