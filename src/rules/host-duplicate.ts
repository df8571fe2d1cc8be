import { formatAddress } from '../analysis/network/ipv4.js';
import { networkPlan } from '../analysis/network/plan.js';
import type { PlannedAddress } from '../analysis/network/plan.js';
import { defineRule } from './rule.js';
import { addressFact, capital, freeAddressFixes, freeAdvice } from './support/plan-wording.js';

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
  },
  fixes: freeAddressFixes,
});
