import { controllersFinding } from '../analysis/graph/supervision.js';
import { part, placeOf } from '../model/origin.js';
import { defineRule } from './rule.js';
import { isSurroundingUncertain } from './support/damage.js';

/** A zone that no single controller finds whole. */
export const zoneUnreachable = defineRule({
  name: 'zone-unreachable',
  severity: 'error',
  of: 'zone',
  acceptable: true,
  *check(site, zone, { damage }) {
    const devices = zone.units.map((unit) => site.devices.get(unit));
    // A unit that is not declared is reported as such; which controller would find it is not known.
    const isUncertain = devices.some(
      (device) => device === undefined || isSurroundingUncertain(site, device, damage),
    );
    if (devices.length === 0 || isUncertain) {
      return;
    }
    const found = new Map<string, Set<string>>();
    for (const unit of zone.units) {
      for (const controller of controllersFinding(site, unit)) {
        found.set(controller.name, (found.get(controller.name) ?? new Set()).add(unit));
      }
    }
    const wanted = new Set(zone.units).size;
    const [best] = [...found].sort(([, one], [, other]) => other.size - one.size);
    if (best !== undefined && best[1].size === wanted) {
      return;
    }
    const bestUnits = best?.[1] ?? new Set<string>();
    const missed = zone.units.filter((unit) => !bestUnits.has(unit));
    yield {
      subject: zone.name,
      at: placeOf(zone.name, part('unit', zone.units.indexOf(missed[0]!))),
      what:
        best === undefined
          ? `No controller finds any unit of zone ${zone.name}.`
          : `No single controller finds every unit of zone ${zone.name}: ${best[0]} finds ${best[1].size} of ${wanted} and misses ${missed.join(', ')}.`,
      why: 'The units of a zone are commanded together, so one controller has to reach all of them.',
      remedy: `Land ${missed.join(', ')} where ${best === undefined ? 'a controller' : best[0]} finds ${missed.length === 1 ? 'it' : 'them'}, or split the zone.`,
      related: [
        { at: placeOf(zone.name, 'name'), message: `The zone is ${zone.name}.` },
        ...(best === undefined
          ? []
          : [
              {
                at: placeOf(best[0], 'name'),
                message: `${best[0]} finds ${best[1].size} of ${wanted}.`,
              },
            ]),
      ],
    };
  },
});
