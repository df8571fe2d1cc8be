import { placeOf } from '../model/origin.js';
import { defineRule } from './rule.js';

/** A waiver whose day has passed: what it covered counts again. */
export const waiverExpired = defineRule({
  name: 'waiver-expired',
  severity: 'warning',
  of: 'site',
  acceptable: true,
  after: 'waivers',
  *check(_site, _subject, { waivers, on }) {
    for (const { id, waiver, verdict } of waivers) {
      if (verdict.kind !== 'expired') {
        continue;
      }
      yield {
        subject: waiver.on,
        at: placeOf(id, 'until'),
        what: `${waiver.rule} on ${waiver.on} was accepted until ${waiver.until ?? ''}; the site is judged on ${on}.`,
        why: 'The agreement has ended, so the finding counts again.',
        remedy: 'Mend what was accepted, or have it agreed anew and write the new day and reason.',
        related: verdict.findings.map((finding) => ({
          at: finding.at,
          message: 'This counts again.',
        })),
        facts: [{ fact: 'until', value: waiver.until ?? null, unit: '' }],
      };
    }
  },
});
