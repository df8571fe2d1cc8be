import { observationsOf, lastMeasured } from '../analysis/observations.js';
import { comparedReading } from '../analysis/compared-reading.js';
import { placeOf } from '../model/origin.js';
import { formatNumber } from '../model/quantity.js';
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
        const compared = comparedReading(site, subject, measured);
        if (compared === undefined || compared.isWithin) {
          continue;
        }
        const { seen } = measured;
        const { expected, off, withinPercent } = compared;
        const text = (value: number) => `${formatNumber(value)} ${seen.unit}`;
        yield {
          subject,
          at: placeOf(measured.id, 'seen'),
          what: `${subject} was measured at ${text(seen.value)}${measured.on === undefined ? '' : ` on ${measured.on}`}; ${expected.fact.fact} is computed as ${text(expected.value)}, ${offText(expected.value, off, seen.unit, withinPercent)}`,
          why: 'Either the site is not wired as written, or a cable, terminator or supply is at fault.',
          remedy:
            'Look for the single fault that explains it, mend it, and record the new reading.',
          facts: [
            { fact: expected.fact.fact, value: expected.value, unit: seen.unit },
            { fact: 'measured', value: seen.value, unit: seen.unit },
          ],
          ...(expected.value === 0
            ? {}
            : { waivable: { value: (off / Math.abs(expected.value)) * 100, unit: '%' } }),
        };
      }
    }
  },
});

/** Of nothing there is no share, so a reading beside an expected zero is off by its own amount. */
function offText(expected: number, off: number, unit: string, withinPercent: number): string {
  return expected === 0
    ? `and the reading is ${formatNumber(off)} ${unit} off.`
    : `and the reading is ${formatNumber((100 * off) / Math.abs(expected), 1)} % off where ${formatNumber(withinPercent)} % is allowed.`;
}
