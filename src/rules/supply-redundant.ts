import { part, placeOf } from '../model/origin.js';
import type { Place } from '../model/origin.js';
import { equipmentOf } from '../model/site.js';
import { defineRule } from './rule.js';
import { supplyNeeds } from './support/needs.js';
import { feedLandingOf, inletLineOf } from './support/power-wording.js';

/** A device that lives on its bus, with a supply for an inlet that it does not have. */
export const supplyRedundant = defineRule({
  name: 'supply-redundant',
  severity: 'error',
  of: 'device',
  acceptable: true,
  needs: supplyNeeds,
  *check(site, device) {
    const equipment = equipmentOf(site, device);
    const taking = equipment?.ports.find((port) => port.takes !== undefined);
    // A variant has the inlets of what it extends, which is not expanded here.
    if (equipment === undefined || taking === undefined || equipment.extends !== undefined) {
      return;
    }
    const lacks = (inlet: string): boolean => !equipment.inlets.some((one) => one.name === inlet);
    const places: { readonly at: Place; readonly inlet: string; readonly by: string }[] = [
      ...(site.feedLandingsOfDevice.get(device.name) ?? []).map(({ run: feed, landing }) => ({
        at: placeOf(feed.name, part('land', landing.index, 'target')),
        inlet: landing.member,
        by: `${feed.name} lands on it`,
      })),
      ...device.inletLines.map((line) => ({
        at: placeOf(device.name, part('inlet', line.index, 'name')),
        inlet: line.inlet,
        by: 'a line names one',
      })),
    ];
    for (const { at, inlet, by } of places.filter((place) => lacks(place.inlet))) {
      yield {
        subject: device.name,
        at,
        what: `${device.name} has no inlet "${inlet}", but ${by}: it takes its power from the bus at ${taking.name}.`,
        why: 'A second supply on a device that lives on its bus ends on bus terminals, and destroys what is on the bus.',
        remedy: 'Remove it.',
        related: [
          {
            at: placeOf(equipment.name, part('port', taking.name)),
            message: 'It is powered by this port.',
          },
        ],
      };
    }
  },
  fixes(site, finding) {
    const landed = feedLandingOf(site, finding);
    const lined = inletLineOf(site, finding);
    if (landed !== undefined) {
      const { feed, landing } = landed;
      return [
        {
          title: `Take ${finding.subject} off ${feed.name}`,
          kind: 'wiring',
          edits: [{ kind: 'remove-landing', run: feed.name, landing: landing.index }],
        },
      ];
    }
    return lined === undefined
      ? []
      : [
          {
            title: `Remove the inlet line of ${finding.subject}`,
            kind: 'wiring',
            edits: [
              {
                kind: 'remove-statement',
                at: placeOf(lined.device.name, part('inlet', lined.line.index)),
              },
            ],
          },
        ];
  },
});
