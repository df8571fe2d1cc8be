import { supplyCandidates } from '../analysis/power/candidates.js';
import { missingInlets } from '../analysis/power/missing.js';
import { placeOf } from '../model/origin.js';
import { equipmentOf, memberKey } from '../model/site.js';
import { defineRule } from './rule.js';
import { isSupplyUncertain } from './support/damage.js';
import { supplyNeeds } from './support/needs.js';
import { poeMissing, socketFixes } from './support/poe-problems.js';
import { nominalText, supplyAdvice } from './support/power-wording.js';
import { supplyFixes } from './support/supply-fixes.js';

/** An inlet that has to be fed, and is not. */
export const supplyMissing = defineRule({
  name: 'supply-missing',
  severity: 'error',
  of: 'device',
  acceptable: true,
  needs: supplyNeeds,
  *check(site, device, { damage }) {
    const missing = missingInlets(site, device);
    if (missing.length > 0 && isSupplyUncertain(site, device, damage)) {
      return;
    }
    yield* poeMissing(site, device);
    for (const inlet of equipmentOf(site, device)?.inlets ?? []) {
      if (!missing.includes(inlet.name)) {
        continue;
      }
      const subject = memberKey(device.name, inlet.name);
      const candidates = supplyCandidates(site, device, inlet, 1);
      const source = inlet.dedicated ? 'of its own' : 'with capacity left';
      yield {
        subject,
        at: placeOf(device.name, 'name'),
        what: `${subject} has no supply: no feed is landed on it and no line names it.`,
        why: `Without ${nominalText({ voltage: inlet.voltage, threePhase: inlet.threePhase })} the device stays dark.`,
        remedy: supplyAdvice(
          candidates,
          `No way or outlet ${source} fits: add one, then land ${subject} on its feed or write an inlet line.`,
        ),
        related: [
          {
            at: placeOf(device.equipment, `inlet/${inlet.name}`),
            message: 'The equipment asks for it here.',
          },
        ],
      };
    }
  },
  fixes(site, finding) {
    const device = site.devices.get(finding.at.declaration);
    const equipment = device && equipmentOf(site, device);
    const inlet = equipment?.inlets.find(
      (one) => memberKey(finding.at.declaration, one.name) === finding.subject,
    );
    return device && equipment && inlet
      ? supplyFixes(site, { device, equipment, inlet })
      : socketFixes(site, finding);
  },
});
