import { factOf } from '../analysis/facts.js';
import { observationsOf, lastMeasured } from '../analysis/observations.js';
import type { Measurement } from '../analysis/observations.js';
import type { Fact } from '../model/finding.js';
import { placeOf } from '../model/origin.js';
import { formatNumber } from '../model/quantity.js';
import type { Site } from '../model/site.js';
import { defineRule } from './rule.js';
import { isDamaged } from './support/damage.js';
import { factNeeds, isAnyHurt } from './support/needs.js';

/** A reading of a meter that is not what was computed. The latest reading of a kind counts. */
export const observedValueMismatch = defineRule({
  name: 'observed-value-mismatch',
  severity: 'error',
  of: 'site',
  acceptable: true,
  *check(site, _subject, { damage }) {
    const subjects = new Set(site.observations.map(({ record }) => record.subject));
    for (const subject of subjects) {
      if (isDamaged(damage) && isAnyHurt(damage, factNeeds(site, subject))) {
        continue;
      }
      for (const measured of lastMeasured(observationsOf(site, subject))) {
        const expected = expectedValue(site, subject, measured);
        if (expected === undefined) {
          continue;
        }
        const { seen } = measured;
        const withinPercent = seen.withinPercent ?? defaultWithinPercent;
        const allowed = (Math.abs(expected.value) * withinPercent) / 100;
        const off = Math.abs(seen.value - expected.value);
        if (off <= allowed * (1 + 1e-9)) {
          continue;
        }
        const text = (value: number) => `${formatNumber(value)} ${seen.unit}`;
        yield {
          subject,
          at: placeOf(measured.id, 'seen'),
          what: `${subject} was measured at ${text(seen.value)}${measured.on === undefined ? '' : ` on ${measured.on}`}; ${expected.fact.fact} is computed as ${text(expected.value)}, and the reading is ${formatNumber((100 * off) / Math.abs(expected.value), 1)} % off where ${formatNumber(withinPercent)} % is allowed.`,
          why: 'Either the site is not wired as written, or a cable, terminator or supply is at fault.',
          remedy:
            'Look for the single fault that explains it, mend it, and record the new reading.',
          facts: [
            { fact: expected.fact.fact, value: expected.value, unit: seen.unit },
            { fact: 'measured', value: seen.value, unit: seen.unit },
          ],
          waivable: { value: (off / Math.abs(expected.value)) * 100, unit: '%' },
        };
      }
    }
  },
});

/** Common practice for a hand-held meter and cable lengths taken from a plan. */
const defaultWithinPercent = 10;

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

/** Undefined where nothing of the kind is computed, or its value is not known. */
function expectedValue(
  site: Site,
  subject: string,
  measured: Measurement,
): { readonly fact: Fact; readonly value: number } | undefined {
  const name = factName(measured);
  const fact = name === undefined ? undefined : factOf(site, subject, name);
  return fact !== undefined && typeof fact.value === 'number' && fact.unit === measured.seen.unit
    ? { fact, value: fact.value }
    : undefined;
}
