/** Whether a cable suits a bus type, and which cables do. */
import type { BusType, Cable } from '../../model/equipment.js';
import { crossSectionMm2 } from '../../model/quantity.js';
import { compareNames } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import { isAbove } from './limits.js';

/** What a cable lacks for a bus type. */
export type CableFault =
  'too-thin' | 'too-thick' | 'not-screened' | 'not-twisted' | 'too-few-cores';

/**
 * The faults of a cable; none where the type asks for nothing. A cable without stated cores is not
 * judged by size: nobody knows it.
 */
export function cableFaults(busType: BusType, cable: Cable): readonly CableFault[] {
  const wanted = busType.cable;
  const faults: CableFault[] = [];
  if (cable.cores !== undefined && wanted !== undefined) {
    const areaMm2 = crossSectionMm2(cable.cores.size);
    if (isAbove(crossSectionMm2(wanted.from), areaMm2)) {
      faults.push('too-thin');
    }
    if (isAbove(areaMm2, crossSectionMm2(wanted.to))) {
      faults.push('too-thick');
    }
  }
  if (wanted?.screened === true && !cable.screened) {
    faults.push('not-screened');
  }
  if (wanted?.twisted === true && !cable.twisted) {
    faults.push('not-twisted');
  }
  if (cable.cores !== undefined && cable.cores.count < (busType.conductors ?? 0)) {
    faults.push('too-few-cores');
  }
  return faults;
}

/** The site's cables that suit a bus type: those with the fewest spare cores first, then the thinnest. */
export function cablesFor(site: Site, busType: BusType): readonly Cable[] {
  return [...site.cables.values()]
    .filter((cable) => cable.cores !== undefined && cableFaults(busType, cable).length === 0)
    .sort(
      (one, other) =>
        one.cores!.count - other.cores!.count ||
        needless(busType, one) - needless(busType, other) ||
        crossSectionMm2(one.cores!.size) - crossSectionMm2(other.cores!.size) ||
        compareNames(one.name, other.name),
    );
}

/** A screen that the type does not ask for costs money and must be bonded: such cables come last. */
function needless(busType: BusType, cable: Cable): number {
  return cable.screened && busType.cable?.screened !== true ? 1 : 0;
}
