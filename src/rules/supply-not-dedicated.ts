import { connectionsOf, consumersOf, pointsOf } from '../analysis/power/consumers.js';
import type { Consumer } from '../analysis/power/consumers.js';
import { fitsPoint } from '../analysis/power/type-match.js';
import { supplyCandidates } from '../analysis/power/candidates.js';
import { equipmentOf, memberKey } from '../model/site.js';
import type { PowerPoint, Site } from '../model/site.js';
import { defineRule } from './rule.js';
import { listed } from './support/bus-wording.js';
import { supplyNeeds } from './support/needs.js';
import { pointPlace, supplyAdvice, targetOf } from './support/power-wording.js';
import { inletOfFinding, moveFixes } from './support/supply-fixes.js';

/** An inlet that wants a source for itself, on a source that feeds another one, too. */
export const supplyNotDedicated = defineRule({
  name: 'supply-not-dedicated',
  severity: 'error',
  of: 'device',
  acceptable: true,
  needs: supplyNeeds,
  *check(site, device) {
    for (const inlet of equipmentOf(site, device)?.inlets ?? []) {
      if (!inlet.dedicated) {
        continue;
      }
      const subject = memberKey(device.name, inlet.name);
      const points = connectionsOf(site, device.name, inlet.name).flatMap(({ connection }) =>
        pointsOf(site, connection),
      );
      for (const point of points) {
        const shared = sharing(site, point, subject);
        if (shared === undefined) {
          continue;
        }
        const others = shared.others.map((other) => other.subject);
        yield {
          subject,
          at: targetOf(shared.straw.at),
          what: `${subject} needs a source of its own, but ${point.key} also feeds ${listed(others)}.`,
          why: 'What another device does on a shared supply disturbs this one, and a fault there takes both down.',
          remedy: supplyAdvice(
            supplyCandidates(site, device, inlet, 1),
            `Add an outlet or way for ${subject} alone.`,
          ),
          related: [
            pointPlace(point, `${point.key} feeds both.`),
            ...[shared.own, ...shared.others]
              .filter((one) => one !== shared.straw)
              .slice(0, 4)
              .map((one) => ({
                at: targetOf(one.at),
                message: `${one.subject} is fed here.`,
              })),
          ],
        };
        break;
      }
    }
  },
  fixes(site, finding) {
    const moved = inletOfFinding(site, finding);
    return moved === undefined ? [] : moveFixes(site, moved);
  },
});

/**
 * Who shares the source, and which line made it shared. Dedicated inlets on one source share one
 * cause: the first of them is reported only where an inlet that is not dedicated came to it, each
 * further one at its own line.
 */
function sharing(
  site: Site,
  point: PowerPoint,
  subject: string,
):
  | { readonly own: Consumer; readonly others: readonly Consumer[]; readonly straw: Consumer }
  | undefined {
  // What is no inlet, or is on the wrong kind of source, is another finding's business.
  const consumers = consumersOf(site, point.key).filter(
    (one) =>
      one.kind === 'board' || (one.resolved !== undefined && fitsPoint(one.resolved.inlet, point)),
  );
  const own = consumers.find((one) => one.subject === subject);
  const others = consumers.filter((one) => one.subject !== subject);
  if (own === undefined || others.length === 0) {
    return undefined;
  }
  if (consumers[0] !== own) {
    return { own, others, straw: own };
  }
  const straw = others.find((other) => !isDedicated(other));
  return straw && { own, others, straw };
}

function isDedicated(consumer: Consumer): boolean {
  return consumer.kind === 'inlet' && consumer.resolved?.inlet.dedicated === true;
}
