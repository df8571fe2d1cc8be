import { controllersOf, supervisionOf } from '../analysis/graph/supervision.js';
import { placeOf } from '../model/origin.js';
import { defineRule } from './rule.js';
import { talkNeeds } from './support/needs.js';

/** Two devices marked `main` that find a unit in common. */
export const mainControllerDuplicate = defineRule({
  name: 'main-controller-duplicate',
  severity: 'error',
  of: 'device',
  acceptable: true,
  needs: talkNeeds,
  *check(site, device) {
    if (!device.main) {
      return;
    }
    const own = new Set(supervisionOf(site, device)?.units.map((unit) => unit.device.name));
    const mains = controllersOf(site).filter((one) => one.main);
    for (const other of mains.slice(0, Math.max(0, mains.indexOf(device)))) {
      const common = (supervisionOf(site, other)?.units ?? [])
        .map((unit) => unit.device.name)
        .filter((name) => own.has(name));
      const first = common[0];
      if (first === undefined) {
        continue;
      }
      const rest = common.length === 1 ? '' : ` and ${common.length - 1} more`;
      yield {
        subject: device.name,
        at: placeOf(device.name, 'main'),
        what: `${device.name} and ${other.name} are both main, and both find ${first}${rest}.`,
        why: 'Two main controllers overwrite each other, and the unit follows whoever spoke last.',
        remedy: `Keep "main" on one of them.`,
        related: [
          { at: placeOf(other.name, 'main'), message: `${other.name} is main, too.` },
          { at: placeOf(first, 'name'), message: `Both find ${first}.` },
        ],
      };
      return;
    }
  },
  fixes(_site, finding) {
    return [
      {
        title: `Let ${finding.subject} not be main`,
        kind: 'wiring',
        edits: [{ kind: 'remove-statement', at: finding.at }],
      },
    ];
  },
});
