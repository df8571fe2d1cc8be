import { broadcastAddress, formatSubnet, networkAddress } from '../analysis/network/ipv4.js';
import type { Ipv4Address, Ipv4Subnet } from '../analysis/network/ipv4.js';
import { parseIpv6 } from '../analysis/network/ipv6.js';
import { networkPlan } from '../analysis/network/plan.js';
import { isNeverHost, specialRangeOf } from '../analysis/network/special-ranges.js';
import { memberKey } from '../model/site.js';
import { defineRule } from './rule.js';
import {
  addressFact,
  freeAddressFixes,
  freeAdvice,
  hasSubnet,
  holds,
  ipv6Place,
  freeIpv6Fixes,
  reservedIpv6Use,
  networkPlace,
} from './support/plan-wording.js';

/** A host, router or laptop on an address that no device can have. */
export const hostOnReservedAddress = defineRule({
  name: 'host-on-reserved-address',
  severity: 'error',
  of: 'network',
  acceptable: true,
  *check(site, network) {
    const plan = networkPlan(site, network);
    for (const planned of plan.addresses) {
      const use = reservedUse(plan.subnet, planned.address);
      if (use === undefined) {
        continue;
      }
      yield {
        subject: planned.subject,
        at: planned.at,
        what: `${holds(planned)}, which is ${use}.`,
        why: 'No single device can have it.',
        remedy: freeAdvice(site, plan, planned),
        related: hasSubnet(plan) ? [networkPlace(plan)] : [],
        facts: [addressFact(planned.address)],
      };
    }
    for (const host of network.hosts) {
      const address = host.ipv6 === undefined ? undefined : parseIpv6(host.ipv6);
      const use = address && reservedIpv6Use(address);
      if (use === undefined) {
        continue;
      }
      const name = memberKey(host.device, host.lan);
      yield {
        subject: name,
        at: ipv6Place(network, host),
        what: `${name} has ${host.ipv6}, which is ${use}.`,
        why: 'No single device can have it.',
        remedy: 'Write the address that the device has on this network.',
        related: [],
        facts: [{ fact: 'ipv6', value: host.ipv6!, unit: '' }],
      };
    }
  },
  fixes: (site, finding) => [...freeAddressFixes(site, finding), ...freeIpv6Fixes(site, finding)],
});

function reservedUse(subnet: Ipv4Subnet | undefined, address: Ipv4Address): string | undefined {
  if (isNeverHost(address)) {
    const special = specialRangeOf(address)!;
    return `in ${formatSubnet(special.subnet)}, set apart as ${special.use.replaceAll('-', ' ')} (${special.source})`;
  }
  if (subnet === undefined) {
    return undefined;
  }
  if (address === networkAddress(subnet)) {
    return `the network address of ${formatSubnet(subnet)}`;
  }
  return address === broadcastAddress(subnet)
    ? `the broadcast address of ${formatSubnet(subnet)}`
    : undefined;
}
