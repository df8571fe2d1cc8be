/** What ways and outlets are rated for, and the unit in which their load is counted. */
import type { PowerPoint } from '../../model/site.js';
import { isAmount, phaseFactor } from './demand.js';

/** The unit in which a load is counted. */
export type LoadUnit = 'A' | 'VA';

/** What an outlet or way is rated for, in the unit of its load; undefined where not stated. */
export function ratingOf(point: PowerPoint): number | undefined {
  if (point.kind === 'way') {
    return isAmount(point.way.ratedA) ? point.way.ratedA : undefined;
  }
  const { outlet } = point;
  const volts = phaseFactor(outlet) * (outlet.voltage?.volts ?? Number.NaN);
  const apparentVA = [outlet.powerVA, outlet.powerW, (outlet.currentA ?? Number.NaN) * volts].find(
    isAmount,
  );
  return unitOf(point) === 'VA'
    ? apparentVA
    : [outlet.currentA, (apparentVA ?? Number.NaN) / volts].find(isAmount);
}

/** The unit in which the load of a way or outlet is counted. */
export function unitOf(point: PowerPoint): LoadUnit {
  if (point.kind === 'way') {
    return 'A';
  }
  const { voltage, powerVA } = point.outlet;
  return voltage?.kind === 'ac' || (voltage?.kind === undefined && powerVA !== undefined)
    ? 'VA'
    : 'A';
}
