/** What ways and outlets are as sources: voltage and resistance. */
import type { PowerPoint } from '../../model/site.js';
import type { Gap } from './bus-load.js';
import { isAmount, nominalOfPoint, phaseFactor } from './demand.js';
import { ratingOf, unitOf } from './point-rating.js';
import { powerTexts } from './texts.js';

/** What a source is electrically, or what is missing to tell. */
export interface SourceFigures {
  readonly nominalV: number;
  readonly openV: number;
  readonly resistanceOhm: number;
  readonly resistanceAssumed: boolean;
  readonly gap?: Gap;
}

/**
 * The voltage and resistance of a way or outlet: its nominal voltage without resistance, unless a
 * resistance or a regulation is stated. A regulation of r % is a voltage r % above nominal without
 * load, behind the resistance that brings it down to nominal at the rated current.
 */
export function sourceFigures(point: PowerPoint): SourceFigures {
  const nominalV = nominalOfPoint(point).voltage?.volts;
  if (!isAmount(nominalV) || nominalV === 0) {
    const needs =
      point.kind === 'way'
        ? powerTexts.needsWayVoltage(point.board.name, point.way.name)
        : powerTexts.needsOutletVoltage(point.equipment.name, point.outlet.name);
    return {
      nominalV: Number.NaN,
      openV: Number.NaN,
      resistanceOhm: 0,
      resistanceAssumed: true,
      gap: { subject: point.key, needs, reason: powerTexts.voltageUnstated(point.key) },
    };
  }
  const plain = { nominalV, openV: nominalV, resistanceOhm: 0, resistanceAssumed: true };
  return point.kind === 'way' ? plain : outletFigures(point, plain);
}

type OutletPoint = Extract<PowerPoint, { kind: 'outlet' }>;

function outletFigures(point: OutletPoint, plain: SourceFigures): SourceFigures {
  const { outlet } = point;
  const { nominalV } = plain;
  const regulation = isAmount(outlet.regulationPercent) ? outlet.regulationPercent / 100 : 0;
  const openV = nominalV * (1 + regulation);
  if (isAmount(outlet.resistanceOhm)) {
    return {
      ...plain,
      openV,
      resistanceOhm: outlet.resistanceOhm,
      resistanceAssumed: false,
    };
  }
  if (regulation === 0) {
    return plain;
  }
  const ratedA = ratedCurrentA(point);
  if (ratedA === undefined) {
    const gap = {
      subject: point.key,
      needs: powerTexts.needsOutletRating(point.equipment.name, outlet),
      reason: powerTexts.ratingForRegulation(point.key),
    };
    return { ...plain, gap };
  }
  // Of one line conductor where there are three phases.
  const droppedV = (regulation * nominalV) / phaseFactor(outlet);
  return { ...plain, openV, resistanceOhm: droppedV / ratedA, resistanceAssumed: false };
}

function ratedCurrentA(point: OutletPoint): number | undefined {
  const { outlet } = point;
  const rating = ratingOf(point);
  const volts = phaseFactor(outlet) * (outlet.voltage?.volts ?? Number.NaN);
  const ratedA =
    outlet.currentA ?? (unitOf(point) === 'A' ? rating : (rating ?? Number.NaN) / volts);
  return isAmount(ratedA) && ratedA > 0 ? ratedA : undefined;
}
