import { isAbove } from '../analysis/bus/limits.js';
import { scanTimeOf } from '../analysis/bus/scan.js';
import { formatNumber } from '../model/quantity.js';
import { defineRule } from './rule.js';
import { busPlace, landingPlace, ledDomain, limitPlace, measured } from './support/bus-wording.js';

/** A round over every device that takes longer than the bus type allows. */
export const scanTooSlow = defineRule({
  name: 'scan-too-slow',
  severity: 'error',
  of: 'bus',
  acceptable: true,
  *check(site, bus) {
    const domain = ledDomain(site, bus);
    const scan = domain?.busType.scan;
    const time = scanTimeOf(site, bus);
    if (domain === undefined || scan === undefined || !time.known) {
      return;
    }
    let sumS = 0;
    const running = time.shares.map(({ port, durationS }) => ({
      port,
      untilS: (sumS += durationS),
    }));
    const lastStraw = running.find(({ untilS }) => isAbove(untilS, scan.withinS))?.port;
    if (lastStraw === undefined) {
      return;
    }
    const assumed =
      time.basis === 'assumed'
        ? ' (without the time to answer, which some devices do not state)'
        : '';
    yield {
      subject: lastStraw.bus.name,
      at: landingPlace(lastStraw, 'target'),
      what: `A round over ${lastStraw.bus.name} takes ${seconds(time.value)}${assumed}, and ${bus.busType} asks for ${seconds(scan.withinS)}.`,
      why: 'Values are older than planned, and orders arrive late.',
      remedy: 'Use a higher rate, poll fewer bytes, or divide the devices among more buses.',
      related: [
        busPlace(lastStraw.bus),
        limitPlace(domain.busType, 'scan', `${bus.busType} asks for ${seconds(scan.withinS)}.`),
      ],
      facts: [measured('scan-time', time.value, 's')],
      waivable: { value: time.value, unit: 's' },
    };
  },
});

function seconds(durationS: number): string {
  return `${formatNumber(durationS, 3)} s`;
}
