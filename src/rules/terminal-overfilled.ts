import { geometryOf } from '../analysis/bus/geometry.js';
import { isShapeAllowed } from '../analysis/bus/shape.js';
import { terminationOf } from '../analysis/bus/termination.js';
import { fillingsOf } from '../analysis/terminal-filling.js';
import type { Filling } from '../analysis/terminal-filling.js';
import type { Site } from '../model/site.js';
import { resolvePort } from '../model/site.js';
import { defineRule } from './rule.js';
import { counted, measured } from './support/bus-wording.js';
import { beyond } from './support/margin-wording.js';

/** More conductors on one terminal than it holds. */
export const terminalOverfilled = defineRule({
  name: 'terminal-overfilled',
  severity: 'warning',
  of: 'device',
  acceptable: true,
  *check(site, device) {
    for (const filling of fillingsOf(site, device)) {
      if (isSettledElsewhere(site, filling)) {
        continue;
      }
      const terminators = fittedTerminators(site, filling);
      const count = filling.count + terminators;
      if (count <= filling.capacity) {
        continue;
      }
      const basis = filling.capacityBasis === 'assumed' ? ' (not stated: common practice)' : '';
      const resistor = terminators > 0 ? ', the terminator included' : '';
      yield {
        subject: filling.name,
        at: filling.at,
        what: `Each terminal of ${filling.name} takes ${counted(count, 'conductor')}${resistor}, and it holds ${filling.capacity}${basis}${beyond(count, filling.capacity)}.`,
        why: 'Conductors squeezed into one terminal work loose, and a fault there takes down everything behind it.',
        remedy:
          'Lead the line through another device or a junction box, or use a twin ferrule and state the capacity that the terminal has.',
        facts: [measured('conductors', count, '')],
        waivable: { value: count, unit: '' },
      };
    }
  },
});

/** Another rule already speaks of this landing: its type, or a shape that puts too many lines here. */
function isSettledElsewhere(site: Site, { landing: landed }: Filling): boolean {
  if (landed?.run.kind !== 'bus') {
    return false;
  }
  const { run, landing } = landed;
  const port = resolvePort(site, landing.device, landing.member)?.port;
  const geometry = geometryOf(site, run);
  return (
    port?.busType !== run.busType || (geometry.branches.length > 0 && !isShapeAllowed(geometry))
  );
}

/** Fitted terminators that are meant to stay: one that is too many or misplaced has its own finding. */
function fittedTerminators(site: Site, { landing: landed }: Filling): number {
  if (landed?.run.kind !== 'bus') {
    return 0;
  }
  const { landing, run } = landed;
  const { terminators, misplaced, duplicate } = terminationOf(site, run);
  const leaving = new Set([...misplaced, ...duplicate].map(({ terminator }) => terminator));
  return terminators.filter(
    (terminator) =>
      terminator.kind === 'fitted' &&
      terminator.landing.bus === run &&
      terminator.landing.landing === landing &&
      !leaving.has(terminator),
  ).length;
}
