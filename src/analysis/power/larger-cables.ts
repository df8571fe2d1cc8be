/** Cables of the site that could replace one that is too small. */
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
