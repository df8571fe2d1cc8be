/** Free sockets from which a device could live: enough for its class, within the switch's budget, nearest first. */
import { compareNames, equipmentOf, memberKey, roomOf } from '../../model/site.js';
import type { PlacedRoom, Site } from '../../model/site.js';
import type { Device } from '../../model/records.js';
import { isAbove } from '../bus/limits.js';
import { poeClassOf, suffices } from '../electrical/poe-classes.js';
import { DEFAULT_ESTIMATE, estimatedLength } from '../run.js';
import { poeBudgetOf, usedSockets } from './poe.js';
import type { PoeLink } from './poe.js';

/** A socket with what its switch has left before. */
export interface SocketCandidate {
  /** `SW-1.p3`. */
  readonly key: string;
  readonly classNumber: number;
  readonly spareW: number;
}

/**
 * At most `most` sockets, one of each switch, that nothing is plugged into and that suffice for a
 * powered device. Where the device hangs on the switch already, it makes room for itself.
 */
export function socketCandidates(
  site: Site,
  link: PoeLink,
  most: number,
): readonly SocketCandidate[] {
  const used = usedSockets(site);
  const room = roomOf(site, link.device);
  return [...site.devices.values()]
    .filter((device) => device !== link.device)
    .flatMap((device) => {
      const found = socketOf(site, device, link, used);
      return found === undefined ? [] : [{ ...found, distanceM: distanceM(site, device, room) }];
    })
    .sort((one, other) => one.distanceM - other.distanceM || compareNames(one.key, other.key))
    .slice(0, most)
    .map(({ key, classNumber, spareW }) => ({ key, classNumber, spareW }));
}

function socketOf(
  site: Site,
  device: Device,
  link: PoeLink,
  used: ReadonlySet<string>,
): SocketCandidate | undefined {
  const budget = poeBudgetOf(site, device);
  if (budget?.budgetW === undefined) {
    return undefined;
  }
  const present = budget.parts.find((one) => one.link.subject === link.subject)?.powerW ?? 0;
  const spareW = budget.budgetW - budget.loadW + present;
  if (isAbove(link.taken.sourceW, spareW)) {
    return undefined;
  }
  for (const lan of equipmentOf(site, device)?.lans ?? []) {
    const given = poeClassOf(lan.givesPoeClass ?? Number.NaN);
    const key = memberKey(device.name, lan.name);
    if (given !== undefined && suffices(given, link.taken) && !used.has(key)) {
      return { key, classNumber: given.number, spareW };
    }
  }
  return undefined;
}

function distanceM(site: Site, device: Device, room: PlacedRoom | undefined): number {
  return estimatedLength(DEFAULT_ESTIMATE, roomOf(site, device), room)?.lengthM ?? Number.MAX_VALUE;
}
