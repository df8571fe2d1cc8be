import { formatAddress } from '../analysis/network/ipv4.js';
import { networkPlan } from '../analysis/network/plan.js';
import type { PlannedAddress } from '../analysis/network/plan.js';
import type { Host, Network } from '../model/records.js';
import { memberKey } from '../model/site.js';
import { defineRule } from './rule.js';
import type { Problem } from './rule.js';
import {
  addressFact,
  capital,
  freeAddressFixes,
  freeAdvice,
  freeIpv6Fixes,
  ipv6Place,
} from './support/plan-wording.js';

/** An address of a network that is given twice. A laptop on a taken address has a rule of its own. */
export const hostDuplicate = defineRule({
  name: 'host-duplicate',
  severity: 'error',
  of: 'network',
  acceptable: true,
  *check(site, network) {
    const plan = networkPlan(site, network);
    const firstOf = new Map<number, PlannedAddress>();
    for (const planned of plan.addresses) {
      const first = firstOf.get(planned.address);
      if (first === undefined) {
        firstOf.set(planned.address, planned);
        continue;
      }
      if (planned.holder === 'laptop' && first.holder !== 'laptop') {
        continue;
      }
      yield {
        subject: planned.subject,
        at: planned.at,
        what: `${capital(planned.name)} has ${formatAddress(planned.address)}, which ${first.name} already has.`,
        why: 'Whichever answers first gets the traffic, so both come and go.',
        remedy: freeAdvice(site, plan, planned),
        related: [{ at: first.at, message: `${capital(first.name)} has it here.` }],
        facts: [addressFact(planned.address)],
      };
    }
    yield* sameIpv6(network);
  },
  fixes: (site, finding) => [...freeAddressFixes(site, finding), ...freeIpv6Fixes(site, finding)],
});

/** IPv6 addresses are kept in their canonical text, so the same text is the same address. */
function* sameIpv6(network: Network): Generator<Problem> {
  const firstOf = new Map<string, Host>();
  for (const host of network.hosts) {
    const first = host.ipv6 === undefined ? undefined : firstOf.get(host.ipv6);
    if (host.ipv6 !== undefined && first === undefined) {
      firstOf.set(host.ipv6, host);
    }
    if (first === undefined) {
      continue;
    }
    const [name, firstName] = [host, first].map((one) => memberKey(one.device, one.lan));
    yield {
      subject: name!,
      at: ipv6Place(network, host),
      what: `${name} has ${host.ipv6}, which ${firstName} already has.`,
      why: 'Duplicate address detection switches the address off on one of them.',
      remedy: 'Give one of them another address of the prefix.',
      related: [{ at: ipv6Place(network, first), message: `${firstName} has it here.` }],
      facts: [{ fact: 'ipv6', value: host.ipv6!, unit: '' }],
    };
  }
}
