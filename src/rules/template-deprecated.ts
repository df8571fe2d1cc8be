import { placeOf } from '../model/origin.js';
import { equipmentOf } from '../model/site.js';
import { defineRule } from './rule.js';

/** A device of equipment that its author no longer wants to be chosen. */
export const templateDeprecated = defineRule({
  name: 'template-deprecated',
  severity: 'hint',
  of: 'device',
  acceptable: true,
  *check(site, device) {
    const equipment = equipmentOf(site, device);
    // What stands on site already was chosen before.
    if (equipment?.deprecated === undefined || device.existing) {
      return;
    }
    const { why, replacedBy } = equipment.deprecated;
    yield {
      subject: device.name,
      at: placeOf(device.name, 'equipment'),
      what: `${device.name} is ${equipment.name}, which is deprecated: ${sentence(why)}`,
      why: 'What is deprecated may not be to be had when the site is built.',
      remedy:
        replacedBy === undefined
          ? 'Choose other equipment, or write "existing" where it is there already.'
          : `Use ${replacedBy}, or write "existing" where it is there already.`,
      related: [
        {
          at: placeOf(equipment.name, 'deprecated'),
          message: `${equipment.name} is deprecated here.`,
        },
      ],
    };
  },
  fixes(site, finding) {
    const device = site.devices.get(finding.subject);
    const replacement = device && equipmentOf(site, device)?.deprecated?.replacedBy;
    return device === undefined || replacement === undefined || !site.equipment.has(replacement)
      ? []
      : [
          {
            title: `Make ${device.name} a ${replacement}: other equipment is ordered and mounted`,
            kind: 'wiring',
            edits: [{ kind: 'replace-value', at: finding.at, text: replacement }],
          },
        ];
  },
});

function sentence(text: string): string {
  return /[.!?]$/u.test(text) ? text : `${text}.`;
}
