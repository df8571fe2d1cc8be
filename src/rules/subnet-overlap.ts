import { formatSubnet } from '../analysis/network/ipv4.js';
import { sharedRouters } from '../analysis/network/joined.js';
import { networkPlan, overlapsBefore } from '../analysis/network/plan.js';
import { placeOf } from '../model/origin.js';
import { defineRule } from './rule.js';

/** Two networks of a site share addresses. */
export const subnetOverlap = defineRule({
  name: 'subnet-overlap',
  severity: 'error',
  of: 'network',
  acceptable: true,
  *check(site, network) {
    const subnet = networkPlan(site, network).subnet;
    const overlaps = overlapsBefore(site, network);
    if (subnet === undefined || overlaps.length === 0) {
      return;
    }
    const others = overlaps
      .map(({ other, otherSubnet }) => `${other.name} (${formatSubnet(otherSubnet)})`)
      .join(', ');
    const joined = overlaps.flatMap(({ other }) => sharedRouters(network, other));
    yield {
      subject: network.name,
      at: placeOf(network.name, 'prefix'),
      what: `${network.name} (${formatSubnet(subnet)}) shares addresses with ${others}.`,
      why:
        joined.length > 0
          ? `${joined.join(', ')} joins them and cannot tell on which side such an address is.`
          : 'An address in both leads to the wrong device, and no router can ever join the two.',
      remedy: 'Give one of them a prefix of its own.',
      related: overlaps.map(({ other, otherSubnet }) => ({
        at: placeOf(other.name, 'prefix'),
        message: `${other.name} is ${formatSubnet(otherSubnet)}.`,
      })),
      facts: [{ fact: 'prefix', value: formatSubnet(subnet), unit: '' }],
    };
  },
});
