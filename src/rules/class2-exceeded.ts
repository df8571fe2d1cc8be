import { CLASS_2, class2Rating } from '../analysis/electrical/limits.js';
import { isAbove } from '../analysis/bus/limits.js';
import { phaseFactor } from '../analysis/power/demand.js';
import { loadsOfDevice } from '../analysis/power/loads.js';
import { ratingOf } from '../analysis/power/point-rating.js';
import type { Equipment, Outlet } from '../model/equipment.js';
import type { Fix } from '../model/finding.js';
import type { Device } from '../model/records.js';
import { part, placeOf } from '../model/origin.js';
import { memberKey } from '../model/site.js';
import type { PowerPoint, Site } from '../model/site.js';
import { defineRule } from './rule.js';
import type { Problem } from './rule.js';
import { measured } from './support/bus-wording.js';
import { amount, nominalText } from './support/power-wording.js';
import { inletOfFinding, moveFixes } from './support/supply-fixes.js';
import { beyond } from './support/margin-wording.js';

/** An outlet that is called Class 2 and gives more than Class 2 may. */
export const class2Exceeded = defineRule({
  name: 'class2-exceeded',
  severity: 'error',
  of: 'equipment',
  acceptable: false,
  *check(site, equipment) {
    for (const outlet of equipment.outlets) {
      const limit = limitOf(outlet);
      if (limit === undefined) {
        continue;
      }
      const rated = ratedVA(site, equipment, outlet);
      if (rated === undefined) {
        yield* loadProblems(site, equipment, outlet, limit);
      } else if (isAbove(rated, limit.apparentVA)) {
        yield {
          subject: memberKey(equipment.name, outlet.name),
          at: placeOf(equipment.name, part('outlet', outlet.name)),
          what: `The outlet ${outlet.name} is called Class 2 at ${nominalText(outlet)} and gives ${amount(rated, 'VA', limit.apparentVA)}, more than the ${amount(limit.apparentVA, 'VA')} of Class 2${beyond(rated, limit.apparentVA)}.`,
          why: WHY,
          remedy: `Use a supply of at most ${amount(limit.apparentVA, 'VA')}, or wire it as a power circuit and leave out "class-2".`,
          facts: [
            measured('rating', rated, 'VA'),
            measured('class-2-limit', limit.apparentVA, 'VA'),
          ],
          ...limit.weight,
        };
      }
    }
  },
  fixes(site, finding) {
    const cut = finding.subject.lastIndexOf('.');
    const [owner, name] = [finding.subject.slice(0, cut), finding.subject.slice(cut + 1)];
    const device = site.devices.get(owner);
    const equipment = site.equipment.get(device?.equipment ?? owner);
    const outlet = equipment?.outlets.find((one) => one.name === name);
    if (equipment === undefined || outlet === undefined) {
      return [];
    }
    const asPower: Fix = {
      title: `Wire ${memberKey(equipment.name, name)} as a power circuit: leave out "class-2"`,
      kind: 'wiring',
      edits: [
        {
          kind: 'replace-value',
          at: placeOf(equipment.name, part('outlet', name, 'class-2')),
          text: '',
        },
      ],
    };
    return [...(device === undefined ? [] : shareFixes(site, device, outlet)), asPower];
  },
});

/** Moves the one inlet without which the outlet stays within Class 2 to another supply. */
function shareFixes(site: Site, device: Device, outlet: Outlet): readonly Fix[] {
  const limit = limitOf(outlet);
  const load = loadsOfDevice(site, device).get(outlet.name);
  if (limit === undefined || load?.apparentVA === undefined || load.amount === 0) {
    return [];
  }
  const perUnit = load.apparentVA / load.amount;
  const enough = load.parts.findLast(
    (one) => !isAbove(perUnit * (load.amount - one.amount), limit.apparentVA),
  );
  const moved = enough && inletOfFinding(site, { at: enough.at });
  return moved === undefined ? [] : moveFixes(site, moved);
}

const WHY =
  'Class 2 wiring may be thin and unprotected only because the source cannot set it on fire.';

interface Class2Limit {
  readonly apparentVA: number;
  /** Most cells of the table are known from memory; a finding that rests on one of them is a warning. */
  readonly weight: { readonly severity?: 'warning' };
}

function limitOf(outlet: Outlet): Class2Limit | undefined {
  const { voltage } = outlet;
  if (!outlet.class2 || voltage?.kind === undefined) {
    return undefined;
  }
  const isAlternating = voltage.kind === 'ac';
  const rating = class2Rating(voltage.volts, isAlternating ? 'AC' : 'DC');
  if (rating === undefined) {
    // Above 150 V there is no Class 2 at all.
    return { apparentVA: 0, weight: { severity: 'warning' } };
  }
  const isPublished = voltage.volts > 20 && voltage.volts <= 30;
  return {
    apparentVA: rating.apparentPowerVA,
    weight: isPublished || CLASS_2.sureness === 'published' ? {} : { severity: 'warning' },
  };
}

function ratedVA(site: Site, equipment: Equipment, outlet: Outlet): number | undefined {
  const [device] = site.devicesOf.get(equipment.name) ?? [];
  const volts = phaseFactor(outlet) * (outlet.voltage?.volts ?? Number.NaN);
  const point: PowerPoint = {
    kind: 'outlet',
    key: outlet.name,
    device: device ?? {
      kind: 'device',
      name: '',
      equipment: equipment.name,
      existing: false,
      main: false,
      addresses: [],
      inletLines: [],
    },
    equipment,
    outlet,
  };
  const rating = ratingOf(point);
  return rating === undefined || outlet.voltage?.kind === 'ac' ? rating : rating * volts;
}

/** Where no rating is stated, what hangs on the outlet shows what it has to give. */
function* loadProblems(
  site: Site,
  equipment: Equipment,
  outlet: Outlet,
  limit: Class2Limit,
): Iterable<Problem> {
  for (const device of site.devicesOf.get(equipment.name) ?? []) {
    const loadVA = loadsOfDevice(site, device).get(outlet.name)?.apparentVA;
    if (loadVA !== undefined && isAbove(loadVA, limit.apparentVA)) {
      yield {
        subject: memberKey(device.name, outlet.name),
        at: placeOf(device.name, 'name'),
        what: `${memberKey(device.name, outlet.name)} is Class 2 at ${nominalText(outlet)} and has to give ${amount(loadVA, 'VA', limit.apparentVA)}, more than the ${amount(limit.apparentVA, 'VA')} of Class 2${beyond(loadVA, limit.apparentVA)}.`,
        why: WHY,
        remedy: 'Share the devices out over several Class 2 supplies.',
        facts: [measured('load', loadVA, 'VA'), measured('class-2-limit', limit.apparentVA, 'VA')],
        ...limit.weight,
      };
    }
  }
}
