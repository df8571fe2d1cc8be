import { supervisionOf } from '../analysis/graph/supervision.js';
import { part, placeOf } from '../model/origin.js';
import { defineRule } from './rule.js';
import { talkNeeds } from './support/needs.js';
import { beyond } from './support/margin-wording.js';

/** A controller that finds more units than it can supervise. */
export const supervisionOvercrowded = defineRule({
  name: 'supervision-overcrowded',
  severity: 'error',
  of: 'device',
  acceptable: true,
  needs: talkNeeds,
  *check(site, device) {
    for (const { supervises, units } of supervisionOf(site, device)?.lines ?? []) {
      const { upTo, role, port } = supervises;
      if (upTo === undefined || units.length <= upTo) {
        continue;
      }
      const last = units[upTo]!;
      const landed = last.bus !== undefined && last.landing !== undefined;
      yield {
        subject: device.name,
        at: landed
          ? placeOf(last.bus.name, part('land', last.landing.index))
          : placeOf(last.device.name, 'name'),
        what: `${device.name} finds ${units.length} of role ${role} via ${port}; it supervises up to ${upTo}${beyond(units.length, upTo)}.`,
        why: `From ${last.device.name} on, units are not taken in, and which ones it leaves out is chance.`,
        remedy: `Move ${units.length - upTo} of them to the bus of another controller, or choose a larger controller.`,
        related: [
          { at: placeOf(device.name, 'name'), message: `${device.name} is the controller.` },
          ...(landed
            ? [
                {
                  at: placeOf(last.bus.name, 'name'),
                  message: `${last.device.name} is one too many.`,
                },
              ]
            : []),
        ],
        facts: [{ fact: 'finds', value: units.length, unit: '' }],
        waivable: { value: units.length, unit: '' },
      };
    }
  },
});
