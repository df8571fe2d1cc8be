import { isAbove } from '../analysis/bus/limits.js';
import { loadOf } from '../analysis/power/loads.js';
import { ratingOf } from '../analysis/power/point-rating.js';
import { lacksSupply } from '../analysis/power/missing.js';
import { equipmentOf, memberKey } from '../model/site.js';
import type { PowerPoint } from '../model/site.js';
import { defineRule } from './rule.js';
import { loadProblem, strawFixes } from './support/load-wording.js';
import { supplyNeeds } from './support/needs.js';
import { poeOverloads, socketFixes } from './support/poe-problems.js';
import { inletOfFinding } from './support/supply-fixes.js';

/** An outlet that has to give more than it is rated for. */
export const supplyOverloaded = defineRule({
  name: 'supply-overloaded',
  severity: 'error',
  of: 'device',
  acceptable: true,
  needs: supplyNeeds,
  *check(site, device) {
    const equipment = equipmentOf(site, device);
    for (const outlet of equipment?.outlets ?? []) {
      const key = memberKey(device.name, outlet.name);
      const point: PowerPoint = { kind: 'outlet', key, device, equipment: equipment!, outlet };
      const rating = ratingOf(point);
      const load = loadOf(site, point);
      if (
        rating === undefined ||
        !isAbove(load.amount, rating) ||
        lacksSupply(site, point, new Set())
      ) {
        continue;
      }
      yield loadProblem(site, point, load, rating, {
        why: 'An overloaded supply sags, gets hot and switches off, and everything on it stops.',
        otherwise: 'Take a larger supply, or move devices to another one.',
      });
    }
    yield* poeOverloads(site, device);
  },
  fixes(site, finding) {
    const moved = inletOfFinding(site, finding);
    return moved === undefined ? socketFixes(site, finding) : strawFixes(site, finding, moved);
  },
});
