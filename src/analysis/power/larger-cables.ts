/** Cables of the site that could replace one that is too small, or that lacks cores. */
import type { BusType, Cable } from '../../model/equipment.js';
import { crossSectionMm2 } from '../../model/quantity.js';
import { compareNames } from '../../model/site.js';
import type { Site } from '../../model/site.js';

/**
 * Cables with thicker conductors and otherwise at least what the present one has (cores, screen,
 * twist, protective core, rated voltage), thinnest first; within what the bus type allows.
 */
export function largerCables(site: Site, present: Cable, busType?: BusType): readonly Cable[] {
  const { cores } = present;
  if (cores === undefined) {
    return [];
  }
  const presentMm2 = crossSectionMm2(cores.size);
  return [...site.cables.values()]
    .filter(
      (cable) =>
        cable.cores !== undefined &&
        crossSectionMm2(cable.cores.size) > presentMm2 &&
        cable.cores.count >= cores.count &&
        (cable.screened || !present.screened) &&
        (cable.twisted || !present.twisted) &&
        (cable.colours.includes('GNYE') || !present.colours.includes('GNYE')) &&
        (cable.ratedVolts ?? 0) >= (present.ratedVolts ?? 0) &&
        suits(cable, busType),
    )
    .sort(
      (one, other) =>
        crossSectionMm2(one.cores!.size) - crossSectionMm2(other.cores!.size) ||
        compareNames(one.name, other.name),
    );
}

/** The colour that stands for the protective conductor alone. */
const PROTECTIVE = 'GNYE';

/**
 * Cables with a protective core and at least `others` cores beside it, with conductors no thinner
 * than the present ones and otherwise at least what the present cable has: closest in size first,
 * then with the fewest cores.
 */
export function protectiveCables(site: Site, present: Cable, others: number): readonly Cable[] {
  return richerCables(
    site,
    present,
    (cable) => cable.colours.includes(PROTECTIVE) && othersOf(cable) >= others,
  );
}

/** The same with at least so many cores beside a protective one, which the present cable's has too if it has one. */
export function cablesWithOthers(
  site: Site,
  present: Cable,
  others: number,
  busType?: BusType,
): readonly Cable[] {
  const isProtective = present.colours.includes(PROTECTIVE);
  return richerCables(
    site,
    present,
    (cable) =>
      othersOf(cable) >= others &&
      (cable.colours.includes(PROTECTIVE) || !isProtective) &&
      suits(cable, busType),
  );
}

function richerCables(
  site: Site,
  present: Cable,
  isRicher: (cable: Cable) => boolean,
): readonly Cable[] {
  const { cores } = present;
  if (cores === undefined) {
    return [];
  }
  const presentMm2 = crossSectionMm2(cores.size);
  return [...site.cables.values()]
    .filter(
      (cable) =>
        cable !== present &&
        cable.cores !== undefined &&
        crossSectionMm2(cable.cores.size) >= presentMm2 * (1 - 1e-9) &&
        (cable.screened || !present.screened) &&
        (cable.twisted || !present.twisted) &&
        (cable.ratedVolts ?? 0) >= (present.ratedVolts ?? 0) &&
        isRicher(cable),
    )
    .sort(
      (one, other) =>
        crossSectionMm2(one.cores!.size) - crossSectionMm2(other.cores!.size) ||
        one.cores!.count - other.cores!.count ||
        compareNames(one.name, other.name),
    );
}

/** Cores that are not the protective one. */
function othersOf(cable: Cable): number {
  return cable.colours.filter((colour) => colour !== PROTECTIVE).length;
}

function suits(cable: Cable, busType: BusType | undefined): boolean {
  const allowed = busType?.cable;
  if (allowed === undefined) {
    return true;
  }
  const mm2 = crossSectionMm2(cable.cores!.size);
  return (
    mm2 >= crossSectionMm2(allowed.from) * (1 - 1e-9) &&
    mm2 <= crossSectionMm2(allowed.to) * (1 + 1e-9) &&
    (cable.screened || !allowed.screened) &&
    (cable.twisted || !allowed.twisted)
  );
}
