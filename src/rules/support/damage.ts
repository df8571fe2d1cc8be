/**
 * What of a site could not be read. One slip of the pen shall give one finding: what follows from it
 * (a unit that nobody finds because the line that lands its controller is misspelt) is left unsaid
 * until the slip is mended.
 */
import { busesAround, hasUnknownLanding, typesLeftOpen } from '../../analysis/graph/media.js';
import type { Finding } from '../../model/finding.js';
import type { DeclarationId } from '../../model/origin.js';
import type { Device } from '../../model/records.js';
import { equipmentOf } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import type { Bus } from '../../model/wiring.js';

export interface Damage {
  /** Declarations of which a part is misspelt or refers to something unknown. */
  readonly declarations: ReadonlySet<DeclarationId>;
  /** True where whole declarations are missing from the model: nobody knows which. */
  readonly hasLost: boolean;
}

/** A site that was read whole. */
export const NO_DAMAGE: Damage = { declarations: new Set(), hasLost: false };

/** The damage that findings of the language tell of. */
export function damageOf(raised: readonly Finding[]): Damage {
  const declarations = new Set<DeclarationId>();
  let hasLost = false;
  for (const { rule, at, subject } of raised) {
    if (partlyRead.has(rule)) {
      // A slip that belongs to no declaration left none: its subject is empty.
      hasLost ||= subject === '';
      declarations.add(at.declaration).add(subject);
    }
    hasLost ||= unread.has(rule);
  }
  return { declarations, hasLost };
}

/** Whether anything of the site could not be read. */
export function isDamaged(damage: Damage): boolean {
  return damage.hasLost || damage.declarations.size > 0;
}

/**
 * Whether it is uncertain what else is on the buses of a device, those behind relays and repeaters
 * included: a bus of them could not be read whole, or a port on the way is landed nowhere and its
 * landing may be among what could not be read. So, too, for a device that is landed nowhere itself.
 */
export function isSurroundingUncertain(site: Site, device: Device, damage: Damage): boolean {
  if (damage.hasLost) {
    return true;
  }
  const landings = site.busLandingsOfDevice.get(device.name) ?? [];
  const around = [...new Set(landings.flatMap(({ run }) => busesAround(site, run)))];
  if (around.some((bus) => isUncertain(site, bus, damage))) {
    return true;
  }
  const openPorts = landings.length === 0 ? (equipmentOf(site, device)?.ports ?? []) : [];
  const openTypes = new Set([
    ...openPorts.map((port) => port.busType),
    ...around.flatMap((bus) => typesLeftOpen(site, bus)),
  ]);
  return [...site.buses.values()].some(
    (bus) => openTypes.has(bus.busType) && isUncertain(site, bus, damage),
  );
}

const partlyRead: ReadonlySet<string> = new Set([
  'syntax-error',
  'quantity-unit-mismatch',
  'name-unknown',
]);
const unread: ReadonlySet<string> = new Set(['import-missing', 'import-unreadable']);

function isUncertain(site: Site, bus: Bus, damage: Damage): boolean {
  return damage.declarations.has(bus.name) || hasUnknownLanding(site, bus);
}
