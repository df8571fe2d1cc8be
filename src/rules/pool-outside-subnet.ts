import { contains, hostRange } from '../analysis/network/ipv4.js';
import type { Ipv4Range, Ipv4Subnet } from '../analysis/network/ipv4.js';
import { networkPlan, rangeText } from '../analysis/network/plan.js';
import { defineRule } from './rule.js';
import { hasSubnet, named, networkPlace, poolText } from './support/plan-wording.js';

/** A pool that hands out addresses which no host of the network can have. */
export const poolOutsideSubnet = defineRule({
  name: 'pool-outside-subnet',
  severity: 'error',
  of: 'network',
  acceptable: true,
  *check(site, network) {
    const plan = networkPlan(site, network);
    if (!hasSubnet(plan)) {
      return;
    }
    for (const pool of plan.pools) {
      const what = problemOf(plan.subnet, pool.range, named(plan));
      if (what === undefined) {
        continue;
      }
      yield {
        subject: network.name,
        at: pool.at,
        what: `The pool ${poolText(pool)} ${what}.`,
        why: 'Whoever gets such an address reaches nothing.',
        remedy: `Keep the pool within ${rangeText(hostRange(plan.subnet))}.`,
        related: [networkPlace(plan)],
        facts: [{ fact: 'pool', value: poolText(pool), unit: '' }],
      };
    }
  },
});

function problemOf(subnet: Ipv4Subnet, range: Ipv4Range, network: string): string | undefined {
  if (range.first > range.last) {
    return 'ends before it begins';
  }
  if (!contains(subnet, range.first) || !contains(subnet, range.last)) {
    return `is not all in ${network}`;
  }
  const hosts = hostRange(subnet);
  return range.first < hosts.first || range.last > hosts.last
    ? `holds the network or the broadcast address of ${network}`
    : undefined;
}
