import { observationsOf } from '../analysis/observations.js';
import { sightingsOf } from '../analysis/sightings.js';
import { placeOf } from '../model/origin.js';
import { equipmentOf } from '../model/site.js';
import { defineRule } from './rule.js';
import { isSurroundingUncertain } from './support/damage.js';
import { talkNeeds } from './support/needs.js';

/** What a person saw a controller find is not what the wiring says. The latest record counts. */
export const observedCountMismatch = defineRule({
  name: 'observed-count-mismatch',
  severity: 'error',
  of: 'device',
  acceptable: true,
  needs: talkNeeds,
  *check(site, device, { damage }) {
    const observations = observationsOf(site, device.name);
    if (observations.length === 0 || equipmentOf(site, device) === undefined) {
      return;
    }
    if (isSurroundingUncertain(site, device, damage)) {
      return;
    }
    const { expected, count, missed } = sightingsOf(site, device);
    const isCountWrong = count !== undefined && count.seen.count !== expected.length;
    if (isCountWrong) {
      yield {
        subject: device.name,
        at: placeOf(count.id, 'seen'),
        what: `${device.name} was seen to find ${count.seen.count}${dayText(count.on)}; by the wiring it finds ${expected.length}${listText(expected)}.`,
        why: 'Either the site is not wired as written, or a device, address or supply is at fault.',
        remedy:
          'Look for the single fault that explains it, mend it, and record what is seen then.',
        related: [
          { at: placeOf(device.name, 'name'), message: `${device.name} is the controller.` },
          ...missed.map(({ id, seen }) => ({
            at: placeOf(id, 'seen'),
            message: `${seen.device} was missed.`,
          })),
        ],
        facts: [
          { fact: 'finds', value: expected.length, unit: '' },
          { fact: 'seen', value: count.seen.count, unit: '' },
        ],
      };
      return;
    }
    for (const { id, seen, on } of missed) {
      yield {
        subject: device.name,
        at: placeOf(id, 'seen'),
        what: `${device.name} was seen to miss ${seen.device}${dayText(on)}; by the wiring it finds it.`,
        why: 'Either the site is not wired as written, or a device, address or supply is at fault.',
        remedy:
          'Look for the single fault that explains it, mend it, and record what is seen then.',
        related: [
          { at: placeOf(seen.device, 'name'), message: `${seen.device} is what was missed.` },
        ],
        facts: [{ fact: 'finds', value: expected.length, unit: '' }],
      };
    }
  },
});

function dayText(on: string | undefined): string {
  return on === undefined ? '' : ` on ${on}`;
}

function listText(units: readonly string[]): string {
  const most = 8;
  if (units.length === 0) {
    return '';
  }
  const rest = units.length > most ? ` and ${units.length - most} more` : '';
  return ` (${units.slice(0, most).join(', ')}${rest})`;
}
