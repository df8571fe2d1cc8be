import { formatAddress } from '../analysis/network/ipv4.js';
import { networkPlan } from '../analysis/network/plan.js';
import { defineRule } from './rule.js';
import { addressFact, capital, freeAddressFixes, freeAdvice } from './support/plan-wording.js';

/** The commissioning computer on the address of a host or router. */
export const laptopAddressTaken = defineRule({
  name: 'laptop-address-taken',
  severity: 'error',
  of: 'network',
  acceptable: true,
  *check(site, network) {
    const plan = networkPlan(site, network);
    for (const laptop of plan.addresses.filter((one) => one.holder === 'laptop')) {
      const owner = plan.addresses.find(
        (one) => one.holder !== 'laptop' && one.address === laptop.address,
      );
      if (owner === undefined) {
        continue;
      }
      yield {
        subject: laptop.subject,
        at: laptop.at,
        what: `The laptop has ${formatAddress(laptop.address)}, which ${owner.name} already has.`,
        why: 'As soon as the laptop is plugged in, one of the two is cut off.',
        remedy: freeAdvice(site, plan, laptop),
        related: [{ at: owner.at, message: `${capital(owner.name)} has it here.` }],
        facts: [addressFact(laptop.address)],
      };
    }
  },
  fixes: freeAddressFixes,
});
