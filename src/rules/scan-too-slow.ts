import { isAbove } from '../analysis/bus/limits.js';
import { scanTimeOf } from '../analysis/bus/scan.js';
import { managersOf, nameOfManager, unfoundManagers } from '../analysis/bus/token.js';
import { part, placeOf } from '../model/origin.js';
import { formatNumber } from '../model/quantity.js';
import type { Site } from '../model/site.js';
import type { Bus } from '../model/wiring.js';
import { defineRule } from './rule.js';
import type { Problem } from './rule.js';
import { busPlace, landingPlace, ledDomain, limitPlace, measured } from './support/bus-wording.js';
import { beyond } from './support/margin-wording.js';

/** A round over every device that takes longer than the bus type allows, or never comes to one of them. */
export const scanTooSlow = defineRule({
  name: 'scan-too-slow',
  severity: 'error',
  of: 'bus',
  acceptable: true,
  *check(site, bus) {
    const domain = ledDomain(site, bus);
    const scan = domain?.busType.scan;
    if (domain === undefined || scan === undefined) {
      return;
    }
    const byToken = scan.by === 'token';
    if (byToken) {
      yield* neverReached(site, bus);
    }
    const time = scanTimeOf(site, bus);
    if (!time.known) {
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
    const unverified = byToken ? ` ${FROM_MEMORY}` : '';
    yield {
      subject: lastStraw.bus.name,
      at: landingPlace(lastStraw, 'target'),
      what: `A round over ${lastStraw.bus.name} takes ${seconds(time.value)}${assumed}, and ${bus.busType} asks for ${seconds(scan.withinS)}${beyond(time.value, scan.withinS)}.${unverified}`,
      why: 'Values are older than planned, and orders arrive late.',
      remedy: byToken
        ? 'Use a higher rate, or divide the ports that hold the token among more buses.'
        : 'Use a higher rate, poll fewer bytes, or divide the devices among more buses.',
      related: [
        busPlace(lastStraw.bus),
        limitPlace(domain.busType, 'scan', `${bus.busType} asks for ${seconds(scan.withinS)}.`),
      ],
      facts: [measured('scan-time', time.value, 's')],
      waivable: { value: time.value, unit: 's' },
      ...(byToken ? { severity: 'warning' } : {}),
    };
  },
});

/** The standard itself was not read, so that a finding by it is a warning. */
const FROM_MEMORY =
  'The times of the token are from memory, to be verified in ASHRAE 135 clause 9.';

/** Ports that hold the token beyond the address up to which another one looks for them. */
function* neverReached(site: Site, bus: Bus): Iterable<Problem> {
  const managers = managersOf(site, bus);
  const highest = Math.max(...managers.map(({ address }) => address ?? 0));
  for (const { manager, by } of unfoundManagers(managers)) {
    const { address } = manager;
    const { equipment, port } = by.port.resolved;
    const name = nameOfManager(manager);
    yield {
      subject: manager.port.bus.name,
      at: landingPlace(manager.port, 'target'),
      what: `The token never comes to ${name}: its address ${address!} is above ${by.maxMaster!}, up to which ${nameOfManager(by)} looks for others (from memory, to be verified in ASHRAE 135 clause 9).`,
      why: 'What is not looked for is never given the token: it stays silent, or talks into a round that others hold.',
      remedy: `Give it a lower address, or raise max-master to ${highest} at least wherever it is stated.`,
      related: [
        busPlace(manager.port.bus),
        {
          at: placeOf(equipment.name, part('port', port.name)),
          message: `${equipment.name} looks for addresses up to ${by.maxMaster!}.`,
        },
      ],
      facts: [measured('address', address!, ''), measured('max-master', by.maxMaster!, '')],
      severity: 'warning',
    };
  }
}

function seconds(durationS: number): string {
  return `${formatNumber(durationS, 3)} s`;
}
