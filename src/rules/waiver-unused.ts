import type { Finding, Fix, Measured } from '../model/finding.js';
import { placeOf } from '../model/origin.js';
import type { Site } from '../model/site.js';
import { defineRule } from './rule.js';
import { isDamaged } from './support/damage.js';
import type { JudgedWaiver } from './waivers.js';

/** A waiver that accepts nothing. */
export const waiverUnused = defineRule({
  name: 'waiver-unused',
  severity: 'warning',
  of: 'site',
  acceptable: true,
  after: 'waivers',
  *check(site, _subject, { waivers, damage }) {
    for (const judged of waivers) {
      // What a waiver covers may be unsaid only because a part of the site could not be read.
      if (judged.verdict.kind === 'unused' && isDamaged(damage)) {
        continue;
      }
      const said = whyUnused(site, judged);
      if (said === undefined) {
        continue;
      }
      yield {
        subject: judged.waiver.on,
        at: placeOf(judged.id, 'rule'),
        what: `This accepts nothing: ${said.what}`,
        why: 'Whoever reads it believes that something is wrong here and agreed.',
        remedy: said.remedy,
        facts: said.facts,
      };
    }
  },
  fixes(site, finding) {
    const waiver = site.waivers.find((one) => one.id === finding.at.declaration)?.record;
    const near = factOf(finding, raisedOn);
    if (waiver === undefined || !Array.isArray(near)) {
      return [];
    }
    const { declaration } = finding.at;
    const onNear = near.map((name: string): Fix => ({
      title: `Accept it on ${name} instead`,
      kind: 'wiring',
      edits: [{ kind: 'replace-value', at: { declaration, part: 'on' }, text: name }],
    }));
    return [
      ...onNear,
      {
        title: `Remove the waiver of ${waiver.rule} on ${waiver.on}`,
        // With a finding close by, the line is more likely to be meant than left over.
        kind: near.length > 0 ? 'wiring' : 'safe',
        edits: [{ kind: 'remove-statement', at: { declaration, part: '' } }],
      },
    ];
  },
});

/** Names that the rule is raised on nearby. A finding has this fact only where its line may go. */
const raisedOn = 'raised-on';

interface Said {
  readonly what: string;
  readonly remedy: string;
  readonly facts: readonly Measured[];
}

function whyUnused(site: Site, { waiver, verdict }: JudgedWaiver): Said | undefined {
  switch (verdict.kind) {
    case 'unused':
      return isKnown(site, waiver.on)
        ? {
            what: `${waiver.rule} is not raised on ${waiver.on}.`,
            remedy:
              verdict.near.length > 0
                ? `It is raised on ${verdict.near.join(', ')}: write that name, or remove the line.`
                : 'Remove the line, or write the name that the finding gives.',
            facts: [{ fact: raisedOn, value: verdict.near, unit: '' }],
          }
        : undefined;
    case 'incomplete':
      // A missing reason or day is a slip of the text and reported there; a blank reason is not.
      return waiver.because !== undefined && verdict.lacks.includes('because')
        ? {
            what: 'its reason is blank.',
            remedy: 'Write who agreed and why this is right on this site.',
            facts: [],
          }
        : undefined;
    case 'incomparable':
      return {
        // A wrong unit is a slip of the text and reported as one.
        what: `${verdict.finding.rule} measures nothing that "up to" could be compared with.`,
        remedy: 'Leave "up to" out.',
        facts: [],
      };
    default:
      return undefined;
  }
}

/** Names that are not declared are reported as such. */
function isKnown(site: Site, subject: string): boolean {
  return site.byName.has(subject.split('.')[0] ?? subject);
}

function factOf(finding: Finding, name: string): Measured['value'] | undefined {
  return finding.facts.find((one) => one.fact === name)?.value;
}
