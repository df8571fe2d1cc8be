import type { Finding } from '../model/finding.js';
import { placeOf } from '../model/origin.js';
import type { Site } from '../model/site.js';
import { defineRule } from './rule.js';
import type { JudgedWaiver } from './waivers.js';

/** A waiver that accepts nothing. */
export const waiverUnused = defineRule({
  name: 'waiver-unused',
  severity: 'warning',
  of: 'site',
  acceptable: true,
  after: 'waivers',
  *check(site, _subject, { waivers, book }) {
    for (const judged of waivers) {
      const why = whyUnused(site, judged);
      if (why === undefined) {
        continue;
      }
      const { rule, on } = judged.waiver;
      yield {
        subject: on,
        at: placeOf(judged.id, 'rule'),
        what: `This accepts nothing: ${why.what}`,
        why: 'Whoever reads it believes that something is wrong here and agreed.',
        remedy: why.remedy,
        facts: [{ fact: 'accepted-rule', value: book.has(rule) ? rule : null, unit: '' }],
      };
    }
  },
  fixes(site, finding) {
    return isRemovable(site, finding)
      ? [
          {
            title: `Remove the waiver of ${ruleOf(site, finding)} on ${finding.subject}`,
            kind: 'safe',
            edits: [
              { kind: 'remove-statement', at: { declaration: finding.at.declaration, part: '' } },
            ],
          },
        ]
      : [];
  },
});

function whyUnused(
  site: Site,
  { waiver, verdict }: JudgedWaiver,
): { readonly what: string; readonly remedy: string } | undefined {
  switch (verdict.kind) {
    case 'unused':
      return isKnown(site, waiver.on)
        ? {
            what: `${waiver.rule} is not raised on ${waiver.on}.`,
            remedy: 'Remove the line, or write the name that the finding gives.',
          }
        : undefined;
    case 'incomplete':
      // A missing reason or day is a slip of the text and reported there; a blank reason is not.
      return waiver.because !== undefined && verdict.lacks.includes('because')
        ? {
            what: 'its reason is blank.',
            remedy: 'Write who agreed and why this is right on this site.',
          }
        : undefined;
    case 'incomparable':
      return {
        what: incomparableText(waiver.upTo?.unit ?? '', verdict.finding),
        remedy:
          verdict.finding.waivable === undefined
            ? 'Leave "up to" out.'
            : `Write "up to" with the unit ${unitName(verdict.finding.waivable.unit)}.`,
      };
    default:
      return undefined;
  }
}

function incomparableText(unit: string, { rule, waivable }: Finding): string {
  return waivable === undefined
    ? `${rule} measures nothing that "up to" could be compared with.`
    : `"up to" is in ${unitName(unit)}, and ${rule} is measured in ${unitName(waivable.unit)}.`;
}

function unitName(unit: string): string {
  return unit === '' ? 'plain numbers' : unit;
}

/** Names that are not declared are reported as such. */
function isKnown(site: Site, subject: string): boolean {
  return site.byName.has(subject.split('.')[0] ?? subject);
}

/** Only a line that covers nothing may go without asking; one with a slip in it is meant to stay. */
function isRemovable(site: Site, finding: Finding): boolean {
  const waiver = waiverAt(site, finding);
  return waiver !== undefined && finding.what.includes(`${waiver.rule} is not raised`);
}

function ruleOf(site: Site, finding: Finding): string {
  return waiverAt(site, finding)?.rule ?? '';
}

function waiverAt(site: Site, finding: Finding) {
  return site.waivers.find((one) => one.id === finding.at.declaration)?.record;
}
