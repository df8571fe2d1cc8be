/** A reading of a meter beside the value that is computed for it. */
import type { Fact } from '../model/finding.js';
import type { Site } from '../model/site.js';
import { factOf } from './facts.js';
import type { Measurement } from './observations.js';

export interface ComparedReading {
  readonly expected: { readonly fact: Fact; readonly value: number };
  /** How far the reading is off, in the unit of the reading. */
  readonly off: number;
  /** Stated with the reading, or assumed. */
  readonly withinPercent: number;
  readonly isWithin: boolean;
}

/** Undefined where nothing of the kind is computed, or its value is not known. */
export function comparedReading(
  site: Site,
  subject: string,
  measured: Measurement,
): ComparedReading | undefined {
  const expected = expectedValue(site, subject, measured);
  if (expected === undefined) {
    return undefined;
  }
  const { seen } = measured;
  const withinPercent = seen.withinPercent ?? DEFAULT_WITHIN_PERCENT;
  const allowed = (Math.abs(expected.value) * withinPercent) / 100;
  const off = Math.abs(seen.value - expected.value);
  return { expected, off, withinPercent, isWithin: off <= allowed * (1 + 1e-9) };
}

/** Common practice for a hand-held meter and cable lengths taken from a plan. */
export const DEFAULT_WITHIN_PERCENT = 10;

/** What a reading is compared with: the fact of the same quantity under the same conditions. */
function factName({ seen }: Measurement): string | undefined {
  if (seen.state === 'idle') {
    return seen.unit === 'V' ? 'idle-voltage' : undefined;
  }
  if (seen.state === 'power-off') {
    return seen.unit === 'ohm' ? 'head-resistance' : undefined;
  }
  switch (seen.unit) {
    case 'V':
      return 'voltage';
    case 'A':
    case 'VA':
      return 'load';
    case 's':
      return 'scan-time';
    default:
      return undefined;
  }
}

function expectedValue(
  site: Site,
  subject: string,
  measured: Measurement,
): ComparedReading['expected'] | undefined {
  const name = factName(measured);
  const fact = name === undefined ? undefined : factOf(site, subject, name);
  return fact !== undefined && typeof fact.value === 'number' && fact.unit === measured.seen.unit
    ? { fact, value: fact.value }
    : undefined;
}
