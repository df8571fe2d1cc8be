import { connectionsOf } from '../analysis/power/consumers.js';
import { part, placeOf } from '../model/origin.js';
import { equipmentOf, memberKey } from '../model/site.js';
import { defineRule } from './rule.js';
import { supplyNeeds } from './support/needs.js';
import { connectionPlaces, nominalText, targetOf } from './support/power-wording.js';
import { inletOfFinding } from './support/supply-fixes.js';

/** Exposed live terminals that do not get their cover. */
export const liveTerminalsUncovered = defineRule({
  name: 'live-terminals-uncovered',
  severity: 'error',
  of: 'device',
  acceptable: false,
  needs: supplyNeeds,
  *check(site, device) {
    for (const inlet of equipmentOf(site, device)?.inlets ?? []) {
      if (!inlet.exposed) {
        continue;
      }
      const subject = memberKey(device.name, inlet.name);
      for (const { connection, at } of connectionsOf(site, device.name, inlet.name)) {
        const { covered } = connection.kind === 'landing' ? connection.landing : connection.line;
        if (covered) {
          continue;
        }
        yield {
          subject,
          at: targetOf(at),
          what: `The terminals of ${subject} are exposed (${nominalText(inlet)}), and nothing says that they get their cover.`,
          why: 'A finger or a tool reaches live terminals as soon as the supply is on.',
          remedy: 'Fit the cover and write "covered" here.',
          related: [
            {
              at: placeOf(device.equipment, part('inlet', inlet.name)),
              message: 'The equipment says that they are exposed.',
            },
            ...connectionPlaces(connection),
          ],
        };
      }
    }
  },
  fixes(site, finding) {
    const found = inletOfFinding(site, finding);
    if (found === undefined) {
      return [];
    }
    const { connection } = found;
    return [
      {
        title: `Cover the terminals of ${finding.subject}`,
        kind: 'wiring',
        edits: [
          connection.kind === 'landing'
            ? {
                kind: 'set-landing-flag',
                run: connection.feed.name,
                landing: connection.landing.index,
                flag: 'covered',
              }
            : {
                kind: 'cover-inlet-line',
                device: connection.device,
                line: connection.line.index,
              },
        ],
      },
    ];
  },
});
