import { isolationOf } from '../analysis/graph/isolation.js';
import type { EnergySource } from '../analysis/graph/isolation.js';
import { placeOf } from '../model/origin.js';
import type { Site } from '../model/site.js';
import type { Fix } from '../model/finding.js';
import { defineRule } from './rule.js';
import { listed } from './support/bus-wording.js';
import { isLost } from './support/damage.js';
import { isolationNeeds } from './support/needs.js';

/** A device that some source of energy reaches without a point where it can be locked away. */
export const isolationUnknown = defineRule({
  name: 'isolation-unknown',
  severity: 'error',
  of: 'device',
  acceptable: false,
  needs: isolationNeeds,
  *check(site, device, { damage }) {
    const { unlockable, inside, points } = isolationOf(site, device);
    const isSuspect = unlockable.length + inside.length > 0;
    const sources = unlockable.map(({ at }) => at.declaration);
    if (!isSuspect || isLost(damage, ['isolator'], sources)) {
      return;
    }
    const rest =
      points.length === 0
        ? ''
        : ` Locking ${listed(points.map((point) => point.name))} does not stop it.`;
    if (unlockable.length > 0) {
      const names = unlockable.map((source) => source.name);
      yield {
        subject: device.name,
        at: placeOf(device.name, 'name'),
        what: `${listed(names)} reach${names.length === 1 ? 'es' : ''} ${device.name} on a path without a lockable point outside its enclosure.${rest}`,
        why: 'Whoever opens it cannot make it dead and keep it so.',
        remedy: remedyFor(unlockable[0]!),
        related: unlockable.map((source) => ({
          at: source.at,
          message: `${source.name} is a source of energy.`,
        })),
      };
    } else if (inside.length > 0) {
      const names = listed(inside.map((source) => source.name));
      yield {
        subject: device.name,
        at: placeOf(device.name, 'name'),
        what: `${device.name} holds stored energy of its own (${names}).${rest}`,
        why: 'No point outside makes its own terminals dead.',
        remedy: `Work in it by the equipment's own instructions only.`,
        severity: 'hint',
      };
    }
  },
  fixes(site, finding) {
    const device = site.devices.get(finding.at.declaration);
    return device === undefined
      ? []
      : isolationOf(site, device).unlockable.flatMap((source) => isolatorFix(site, source) ?? []);
  },
});

function remedyFor(source: EnergySource): string {
  return source.kind === 'stored'
    ? `Put a lockable isolator on ${source.name}.`
    : `State what feeds ${source.at.declaration}, so that its way is the lockable point.`;
}

/** A lockable isolator on a stored outlet, in the room where that stands. */
function isolatorFix(site: Site, source: EnergySource): Fix | undefined {
  const room = site.devices.get(source.at.declaration)?.room;
  if (source.kind !== 'stored' || room === undefined) {
    return undefined;
  }
  let number = 1;
  while (site.byName.has(`Q-${number}`)) {
    number++;
  }
  return {
    title: `Add the lockable isolator Q-${number} on ${source.name}`,
    kind: 'wiring',
    edits: [{ kind: 'add-isolator', name: `Q-${number}`, on: source.name, room }],
  };
}
