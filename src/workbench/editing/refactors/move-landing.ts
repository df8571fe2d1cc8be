/** Lands a device's port on another bus that has room for it. */
import { busesWithRoom, lastLanding } from '../../../analysis/bus/vacancy.js';
import { resolvePort } from '../../../model/site.js';
import type { Bus } from '../../../model/wiring.js';
import { moveTo } from '../../../rules/support/reland.js';
import { writtenFix } from '../../fixes.js';
import type { OpenSite } from '../../open-site.js';
import type { Refactor } from './refactor.js';

/** More buses than this are no choice any more; the nearest come first. */
const most = 3;

/** `index` counts the landings of the bus. */
export function movesOf(open: OpenSite, bus: Bus, index: number): Refactor[] {
  const { site } = open;
  const landing = bus.landings.find((one) => one.index === index);
  const port = landing && resolvePort(site, landing.device, landing.member);
  if (landing === undefined || port === undefined) {
    return [];
  }
  const name = `${landing.device}.${landing.member}`;
  return busesWithRoom(site, port)
    .filter((other) => other.name !== bus.name && !landedTogether(bus, other, landing.device))
    .slice(0, most)
    .flatMap((other): Refactor[] => {
      const behind = lastLanding(other);
      const way = behind === undefined ? '' : `, with a cable from ${behind.device}`;
      const { title, changes } = writtenFix(open, {
        title: `Move ${name} from ${bus.name} to ${other.name}${way}`,
        kind: 'wiring',
        edits: moveTo(site, { bus, landing }, other, port),
      });
      return changes.length === 0 ? [] : [{ title, kind: 'move', changes, newFiles: [] }];
    });
}

/** Two buses on which the device stands already are joined by it on purpose. */
function landedTogether(bus: Bus, other: Bus, device: string): boolean {
  return [bus, other].every((one) => one.landings.some((landing) => landing.device === device));
}
