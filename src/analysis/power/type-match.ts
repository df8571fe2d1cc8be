/** Whether a source fits what hangs on it: alternating or direct, phases, nominal voltage. */
import type { Inlet } from '../../model/equipment.js';
import { nominalOfPoint } from './demand.js';
import type { Nominal } from './demand.js';
import type { PowerPoint } from '../../model/site.js';

/** The tolerance of an inlet that states none, in %. */
export const DEFAULT_TOLERANCE_PERCENT = 10;

/** In what a source and an inlet differ. */
export type TypeDifference = 'current-kind' | 'phases' | 'voltage';

/** How an inlet and its source differ; empty where they fit. What is not stated is not compared. */
export function typeDifferences(inlet: Inlet, source: Nominal): readonly TypeDifference[] {
  if (inlet.voltage === undefined || source.voltage === undefined) {
    return [];
  }
  const differences: TypeDifference[] = [];
  const { kind, volts } = inlet.voltage;
  if (kind !== undefined && source.voltage.kind !== undefined && kind !== source.voltage.kind) {
    differences.push('current-kind');
  }
  if (inlet.threePhase !== source.threePhase) {
    differences.push('phases');
  }
  const allowedV = (volts * (inlet.tolerancePercent ?? DEFAULT_TOLERANCE_PERCENT)) / 100;
  if (Math.abs(source.voltage.volts - volts) > allowedV * (1 + 1e-9)) {
    differences.push('voltage');
  }
  return differences;
}

/** Whether an inlet may be fed from a way or outlet. */
export function fitsPoint(inlet: Inlet, point: PowerPoint): boolean {
  return typeDifferences(inlet, nominalOfPoint(point)).length === 0;
}
