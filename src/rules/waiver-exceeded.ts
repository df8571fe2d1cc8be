import { formatNumber } from '../model/quantity.js';
import { placeOf } from '../model/origin.js';
import { defineRule } from './rule.js';
import { boundText } from './support/bound-text.js';

/** A finding that has grown beyond what was accepted. */
export const waiverExceeded = defineRule({
  name: 'waiver-exceeded',
  severity: 'warning',
  of: 'site',
  acceptable: true,
  after: 'waivers',
  *check(_site, _subject, { waivers }) {
    for (const { id, waiver, verdict } of waivers) {
      const { upTo } = waiver;
      if (verdict.kind !== 'exceeded' || upTo === undefined) {
        continue;
      }
      const measured = verdict.findings.flatMap((finding) => finding.waivable ?? []);
      const lowerIsWorse = measured.some((one) => one.lowerIsWorse);
      const values = measured.map((one) => one.value);
      const worst = lowerIsWorse ? Math.min(...values) : Math.max(...values);
      const text = (value: number) => `${formatNumber(value)} ${upTo.unit}`.trim();
      yield {
        subject: waiver.on,
        at: placeOf(id, 'upto'),
        what: `${waiver.rule} on ${waiver.on} was accepted ${lowerIsWorse ? 'down' : 'up'} to ${text(upTo.value)}; it is ${text(worst)} now.`,
        why: 'It has become worse than what was agreed, so the finding counts again.',
        remedy: 'Mend it, or have the new value agreed and write it with its reason.',
        related: verdict.findings.map((finding) => ({
          at: finding.at,
          message: 'This counts again.',
        })),
        facts: [{ fact: waiver.rule, value: worst, unit: upTo.unit }],
        waivable: { value: worst, unit: upTo.unit, ...(lowerIsWorse ? { lowerIsWorse } : {}) },
      };
    }
  },
  fixes(_site, finding) {
    const worst = finding.waivable;
    return worst === undefined
      ? []
      : [
          {
            title: `Accept it as it is now: ${boundText(worst)}`,
            // Somebody has to agree again.
            kind: 'wiring',
            edits: [{ kind: 'replace-value', at: finding.at, text: boundText(worst) }],
          },
        ];
  },
});
