import { isAbove } from '../analysis/bus/limits.js';
import { loadOf } from '../analysis/power/loads.js';
import { ratingOf } from '../analysis/power/point-rating.js';
import { memberKey } from '../model/site.js';
import type { PowerPoint } from '../model/site.js';
import { defineRule } from './rule.js';
import { loadProblem, strawFixes } from './support/load-wording.js';
import { inletOfFinding } from './support/supply-fixes.js';

/** A way of a board that carries more than its protective device is rated for. */
export const wayOverloaded = defineRule({
  name: 'way-overloaded',
  severity: 'error',
  of: 'board',
  acceptable: false,
  *check(site, board) {
    for (const way of board.ways) {
      const key = memberKey(board.name, way.name);
      const point: PowerPoint = { kind: 'way', key, board, way };
      const rating = ratingOf(point);
      const load = loadOf(site, point);
      if (rating === undefined || !isAbove(load.amount, rating)) {
        continue;
      }
      yield loadProblem(site, point, load, rating, {
        why: 'The protective device trips in service, and the cable behind it gets hot until it does.',
        otherwise: 'Move devices to another way; ways are added by a licensed electrician.',
      });
    }
  },
  fixes(site, finding) {
    const moved = inletOfFinding(site, finding);
    return moved === undefined ? [] : strawFixes(site, finding, moved);
  },
});
