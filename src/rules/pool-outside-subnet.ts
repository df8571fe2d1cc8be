import { contains, hostRange } from '../analysis/network/ipv4.js';
import type { Ipv4Range, Ipv4Subnet } from '../analysis/network/ipv4.js';
import { networkPlan, rangeText } from '../analysis/network/plan.js';
import { placeKey } from '../model/origin.js';
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
  fixes(site, finding) {
    const network = site.networks.get(finding.at.declaration);
    const plan = network && networkPlan(site, network);
    const key = placeKey(finding.at);
    const pool = plan?.pools.find(({ at }) => placeKey(at) === key);
    const within = plan && pool && hasSubnet(plan) ? trimmed(plan.subnet, pool.range) : undefined;
    return within === undefined
      ? []
      : [
          {
            title: `Keep the pool to ${rangeText(within)}`,
            kind: 'wiring',
            edits: [{ kind: 'replace-value', at: finding.at, text: `pool ${rangeText(within)}` }],
          },
        ];
  },
});

/** What of a pool hosts can have, the right way round; undefined where that is nothing. */
function trimmed(subnet: Ipv4Subnet, range: Ipv4Range): Ipv4Range | undefined {
  const hosts = hostRange(subnet);
  const first = Math.max(Math.min(range.first, range.last), hosts.first);
  const last = Math.min(Math.max(range.first, range.last), hosts.last);
  return first > last ? undefined : { first, last };
}

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
