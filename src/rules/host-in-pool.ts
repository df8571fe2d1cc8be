import { inRange } from '../analysis/network/ipv4.js';
import { networkPlan } from '../analysis/network/plan.js';
import { defineRule } from './rule.js';
import {
  addressFact,
  freeAddressFixes,
  freeAdvice,
  holds,
  poolText,
} from './support/plan-wording.js';

/** A fixed address that the pool hands out as well. */
export const hostInPool = defineRule({
  name: 'host-in-pool',
  severity: 'error',
  of: 'network',
  acceptable: true,
  *check(site, network) {
    const plan = networkPlan(site, network);
    for (const planned of plan.addresses) {
      const pool = plan.pools.find((one) => inRange(one.range, planned.address));
      if (pool === undefined) {
        continue;
      }
      yield {
        subject: planned.subject,
        at: planned.at,
        what: `${holds(planned)}, which is in the pool ${poolText(pool)}.`,
        why: 'The pool may hand the same address to another device at any time.',
        remedy: freeAdvice(site, plan, planned),
        related: [{ at: pool.at, message: `The pool is ${poolText(pool)}.` }],
        facts: [addressFact(planned.address)],
      };
    }
  },
  fixes: freeAddressFixes,
});
