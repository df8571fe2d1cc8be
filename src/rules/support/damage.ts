/** Questions that rules ask about what of a site could not be read. */
import { busesAround, hasUnknownLanding, typesLeftOpen } from '../../analysis/graph/media.js';
import type { Damage } from '../../model/damage.js';
import type { DeclarationId } from '../../model/origin.js';
import type { DeclarationKind, Device } from '../../model/records.js';
import { equipmentOf } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import type { Bus } from '../../model/wiring.js';

/** Whether anything of the site could not be read. */
export function isDamaged({ hurt, lost }: Damage): boolean {
  return hurt.size > 0 || lost.length > 0;
}

/** Whether one of the parts of a declaration was not read; without parts, whether anything of it was not. */
export function isHurt(damage: Damage, id: DeclarationId, parts?: readonly string[]): boolean {
  const hurt = damage.hurt.get(id);
  return (
    hurt !== undefined &&
    (parts === undefined ||
      hurt.some(
        (one) => one === '' || parts.some((part) => one === part || one.startsWith(`${part}/`)),
      ))
  );
}

/** Whether a declaration of a kind is missing that may have named one of these. */
export function isLost(
  { lost }: Damage,
  kinds: readonly DeclarationKind[],
  names: readonly string[],
): boolean {
  return lost.some(
    (one) =>
      (one.kinds.length === 0 || one.kinds.some((kind) => kinds.includes(kind))) &&
      (one.mentions === undefined || names.some((name) => one.mentions!.has(name))),
  );
}

/** Whether the landing of a device's port on a bus of this type may stand in text that was not read. */
export function isLandingUncertain(
  site: Site,
  device: Device,
  busType: string,
  damage: Damage,
): boolean {
  return (
    isLost(damage, ['bus'], [device.name]) ||
    [...damage.hurt.keys()].some((id) => site.buses.get(id)?.busType === busType)
  );
}

/** Whether a feed to a device, or its line from a way or outlet, may stand in text that was not read. */
export function isSupplyUncertain(site: Site, device: Device, damage: Damage): boolean {
  return (
    isHurt(damage, device.name, ['inlet']) ||
    isLost(damage, ['feed'], [device.name]) ||
    [...damage.hurt.keys()].some((id) => site.feeds.has(id))
  );
}

/**
 * Whether it is uncertain what else is on the buses of a device, those behind relays and repeaters
 * included: a bus of them could not be read whole, or a port on the way is landed nowhere and its
 * landing may be among what could not be read. So, too, for a device that is landed nowhere itself.
 */
export function isSurroundingUncertain(site: Site, device: Device, damage: Damage): boolean {
  if (!isDamaged(damage)) {
    return false;
  }
  const landings = site.busLandingsOfDevice.get(device.name) ?? [];
  const around = [...new Set(landings.flatMap(({ run }) => busesAround(site, run)))];
  const devices = new Set([
    device.name,
    ...around.flatMap((bus) => bus.landings.map((landing) => landing.device)),
  ]);
  if (
    isLost(damage, ['bus', 'network'], [...devices]) ||
    around.some((bus) => isUncertain(site, bus, damage)) ||
    [...devices].some((name) => talksUncertainly(site, name, damage))
  ) {
    return true;
  }
  const openPorts = landings.length === 0 ? (equipmentOf(site, device)?.ports ?? []) : [];
  const openTypes = new Set([
    ...openPorts.map((port) => port.busType),
    ...around.flatMap((bus) => typesLeftOpen(site, bus)),
  ]);
  if (openTypes.size === 0) {
    return false;
  }
  // What was not read is little, and the buses are many: mostly it is the former that answers.
  return (
    [...damage.hurt.keys()].some((id) => openTypes.has(site.buses.get(id)?.busType ?? '')) ||
    [...site.buses.values()].some(
      (bus) => openTypes.has(bus.busType) && hasUnknownLanding(site, bus),
    )
  );
}

function isUncertain(site: Site, bus: Bus, damage: Damage): boolean {
  return damage.hurt.has(bus.name) || hasUnknownLanding(site, bus);
}

/** Whether it was not read what a device is, or whom it finds. */
function talksUncertainly(site: Site, name: string, damage: Damage): boolean {
  const device = site.devices.get(name);
  return (
    device === undefined ||
    isHurt(damage, name, ['equipment']) ||
    isHurt(damage, device.equipment, ['role', 'port', 'supervises', 'crossing'])
  );
}
