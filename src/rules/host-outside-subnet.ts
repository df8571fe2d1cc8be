import { contains } from '../analysis/network/ipv4.js';
import { networkPlan } from '../analysis/network/plan.js';
import { isNeverHost } from '../analysis/network/special-ranges.js';
import { defineRule } from './rule.js';
import {
  addressFact,
  freeAddressFixes,
  freeAdvice,
  hasSubnet,
  holds,
  named,
  networkPlace,
} from './support/plan-wording.js';

/** A host or laptop whose address is not in the prefix of its network. */
export const hostOutsideSubnet = defineRule({
  name: 'host-outside-subnet',
  severity: 'error',
  of: 'network',
  acceptable: true,
  *check(site, network) {
    const plan = networkPlan(site, network);
    if (!hasSubnet(plan)) {
      return;
    }
    for (const planned of plan.addresses) {
      const isJudgedHere = planned.holder !== 'router' && !isNeverHost(planned.address);
      if (!isJudgedHere || contains(plan.subnet, planned.address)) {
        continue;
      }
      yield {
        subject: planned.subject,
        at: planned.at,
        what: `${holds(planned)}, which is not in ${named(plan)}.`,
        why: 'A device there is not reached from this network, and does not reach it.',
        remedy: freeAdvice(site, plan, planned),
        related: [networkPlace(plan)],
        facts: [addressFact(planned.address)],
      };
    }
  },
  fixes: freeAddressFixes,
});
