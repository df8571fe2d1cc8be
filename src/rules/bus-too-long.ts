import { geometryOf } from '../analysis/bus/geometry.js';
import { isAbove } from '../analysis/bus/limits.js';
import { reorderFix, reorderingOf } from '../analysis/bus/reorder.js';
import { defineRule } from './rule.js';
import {
  busPlace,
  ledSegment,
  lengthText,
  limitPlace,
  measured,
  metres,
} from './support/bus-wording.js';
import { beyond } from './support/margin-wording.js';

/** More cable on one segment than its type allows. */
export const busTooLong = defineRule({
  name: 'bus-too-long',
  severity: 'error',
  of: 'bus',
  acceptable: true,
  *check(site, bus) {
    const segment = ledSegment(site, bus);
    const limitM = segment?.busType.lengthLimitM.total;
    const { total, runningM, graph } = geometryOf(site, bus);
    if (segment === undefined || limitM === undefined || !isAbove(total.knownM, limitM)) {
      return;
    }
    const lastStraw = graph.cables[runningM.findIndex((lengthM) => isAbove(lengthM, limitM))]!;
    yield {
      subject: lastStraw.bus.name,
      at: lastStraw.segment.at,
      what: `${lastStraw.bus.name} has ${lengthText(total)} of cable, and ${bus.busType} allows ${metres(limitM)}${beyond(total.knownM, limitM)}.`,
      why: 'The longer the line, the weaker and later the signal: devices at its end drop out first.',
      remedy: `Shorten it by ${metres(total.knownM - limitM)}, or divide it with a repeater.`,
      related: [
        busPlace(lastStraw.bus),
        limitPlace(segment.busType, 'length/total', `${bus.busType} allows ${metres(limitM)}.`),
      ],
      facts: [measured('total-length', total.knownM, 'm')],
      waivable: { value: total.knownM, unit: 'm' },
    };
  },
  fixes(site, { subject }) {
    const bus = site.buses.get(subject);
    const trial = bus && reorderingOf(site, bus)?.trial;
    const after = trial?.buses.get(subject);
    const fix = bus && reorderFix(site, bus);
    if (trial === undefined || after === undefined || fix === undefined) {
      return [];
    }
    const { total, segment } = geometryOf(trial, after);
    const limitM = segment.busType?.lengthLimitM.total ?? Number.POSITIVE_INFINITY;
    return isAbove(total.knownM, limitM) ? [] : [fix];
  },
});
