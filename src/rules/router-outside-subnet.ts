import { contains } from '../analysis/network/ipv4.js';
import { networkPlan } from '../analysis/network/plan.js';
import { isNeverHost } from '../analysis/network/special-ranges.js';
import { defineRule } from './rule.js';
import { addressFact, hasSubnet, holds, named, networkPlace } from './support/plan-wording.js';

/** A router whose address is not in the prefix of the network that it serves. */
export const routerOutsideSubnet = defineRule({
  name: 'router-outside-subnet',
  severity: 'error',
  of: 'network',
  acceptable: true,
  *check(site, network) {
    const plan = networkPlan(site, network);
    if (!hasSubnet(plan)) {
      return;
    }
    for (const planned of plan.addresses) {
      const isJudgedHere = planned.holder === 'router' && !isNeverHost(planned.address);
      if (!isJudgedHere || contains(plan.subnet, planned.address)) {
        continue;
      }
      yield {
        subject: planned.subject,
        at: planned.at,
        what: `${holds(planned)}, which is not in ${named(plan)}.`,
        why: 'A host reaches its router only inside its own prefix, so nothing outside is reached.',
        remedy: "Write the router's address on this network, or correct the prefix.",
        related: [networkPlace(plan)],
        facts: [addressFact(planned.address)],
      };
    }
  },
});
