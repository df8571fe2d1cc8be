import { isAbove } from '../analysis/bus/limits.js';
import { poweredSegmentOf } from '../analysis/power/bus-load.js';
import type { PoweredSegment, Taker } from '../analysis/power/bus-load.js';
import { isPoweredByMissingSupply } from '../analysis/power/missing.js';
import { part, placeOf } from '../model/origin.js';
import { defineRule } from './rule.js';
import { counted, landingPlace, measured, relatedLanding } from './support/bus-wording.js';
import { moveAwayFixes } from './support/reland.js';
import { amount, runPlace } from './support/power-wording.js';
import { beyond } from './support/margin-wording.js';

/** A bus whose devices take more than the port that powers it can give. */
export const busPowerOverloaded = defineRule({
  name: 'bus-power-overloaded',
  severity: 'error',
  of: 'bus',
  acceptable: true,
  *check(site, bus) {
    const powered = poweredSegmentOf(site, bus);
    const capacityA = powered?.capacityA;
    if (
      powered?.segment.lead !== bus ||
      capacityA === undefined ||
      !isAbove(powered.loadA, capacityA) ||
      isPoweredByMissingSupply(site, bus)
    ) {
      return;
    }
    const straw = lastStraw(powered, capacityA);
    const giver = powered.givers.find((one) => one.capacityA === capacityA)!;
    const least = powered.gaps.length > 0 ? 'at least ' : '';
    const several =
      powered.givers.length > 1
        ? ` Of its ${counted(powered.givers.length, 'source')} only the smallest counts.`
        : '';
    yield {
      subject: bus.name,
      at: landingPlace(straw.port, 'target'),
      what: `${counted(powered.takers.length, 'device')} on ${bus.name} ${powered.takers.length === 1 ? 'takes' : 'take'} ${least}${amount(powered.loadA, 'A', capacityA)}, more than the ${amount(capacityA, 'A')} that ${giver.port.name} gives${beyond(powered.loadA, capacityA)}: ${straw.port.name} is the one too many.${several}`,
      why: 'The source limits its current, the voltage falls, and all devices on the bus reset or stay dark.',
      remedy: 'Move devices to another bus, or power the bus from a larger source.',
      related: [
        relatedLanding(giver.port, `${giver.port.name} powers the bus.`),
        {
          at: placeOf(
            giver.port.resolved.equipment.name,
            part('port', giver.port.resolved.port.name),
          ),
          message: 'Its limit is stated here.',
        },
        runPlace(bus.name),
      ],
      facts: [measured('load', powered.loadA, 'A'), measured('capacity', capacityA, 'A')],
      waivable: { value: powered.loadA, unit: 'A' },
    };
  },
  fixes(site, finding) {
    const bus = site.buses.get(finding.subject);
    const powered = bus && poweredSegmentOf(site, bus);
    const capacityA = powered?.capacityA;
    if (powered === undefined || capacityA === undefined) {
      return [];
    }
    const straw = lastStraw(powered, capacityA);
    if (isAbove(powered.loadA - straw.currentA, capacityA)) {
      return [];
    }
    return moveAwayFixes(site, straw.port, (to) => {
      const there = poweredSegmentOf(site, to);
      return (
        there?.capacityA !== undefined &&
        there.gaps.length === 0 &&
        !isAbove(there.loadA + straw.currentA, there.capacityA)
      );
    });
  },
});

function lastStraw(powered: PoweredSegment, capacityA: number): Taker {
  let sumA = 0;
  return (
    powered.takers.find((taker) => {
      sumA += taker.currentA;
      return isAbove(sumA, capacityA);
    }) ?? powered.takers.at(-1)!
  );
}
