/** A diagnosis as text for a terminal, and as JSON. */
import { jsonText, rounded, schemaVersion } from '../report/json.js';
import { neutralised } from '../report/neutral.js';
import type { DiagnosedGroup, NextStep, SiteDiagnosis } from '../workbench/diagnosis.js';
import { diagnoseTexts as texts } from './texts-diagnose.js';

/** Groups that a terminal shows; below that nobody reads on. */
const MOST_GROUPS = 5;
const MOST_FAULTS = 6;
const MOST_OUTCOMES = 8;

export function diagnosisText(diagnosis: SiteDiagnosis): string {
  const { verdict, deviating, unused, groups, next } = diagnosis;
  const sections: readonly (readonly string[])[] = [
    [texts.verdicts[verdict], texts.observations(diagnosis.observations)],
    listed(texts.deviating, deviating),
    listed(texts.unused, unused),
    ...groups.slice(0, MOST_GROUPS).map(groupLines),
    groups.length > MOST_GROUPS ? [texts.moreGroups(groups.length - MOST_GROUPS)] : [],
    groups.length === 0 ? [] : [texts.share],
    next === undefined ? (groups.length > 1 ? [texts.noNext] : []) : nextLines(next),
    verdict === 'nothing-seen' || verdict === 'as-expected'
      ? []
      : [texts.caution(diagnosis.caution)],
  ];
  return `${sections
    .filter((lines) => lines.length > 0)
    .map((lines) => lines.map(neutralised).join('\n'))
    .join('\n\n')}\n`;
}

function listed(heading: string, lines: readonly string[]): readonly string[] {
  return lines.length === 0 ? [] : [heading, ...lines.map((line) => `  ${line}`)];
}

function groupLines({ rank, share, faults, contradicted }: DiagnosedGroup): readonly string[] {
  const hidden = faults.length - MOST_FAULTS;
  return [
    texts.group(rank, Math.round(100 * share), faults.length),
    ...faults
      .slice(0, MOST_FAULTS)
      .flatMap(({ text, where }) => [
        `   ${text}`,
        ...(where === undefined ? [] : [`     ${texts.where(where)}`]),
      ]),
    ...(hidden > 0 ? [`   ${texts.more(hidden)}`] : []),
    ...(contradicted.length === 0
      ? []
      : [`   ${texts.contradicted}`, ...contradicted.map((line) => `     ${line}`)]),
  ];
}

function nextLines({ text, where, outcomes, caution }: NextStep): readonly string[] {
  return [
    `${texts.next} ${text}`,
    ...(where === undefined ? [] : [`  ${texts.where(where)}`]),
    ...outcomes
      .slice(0, MOST_OUTCOMES)
      .map(({ seen, groups }) =>
        groups.length > MOST_GROUPS
          ? `  ${texts.outcomeMany(seen, groups.length)}`
          : `  ${texts.outcome(seen, groups)}`,
      ),
    ...(outcomes.length > MOST_OUTCOMES
      ? [`  ${texts.more(outcomes.length - MOST_OUTCOMES)}`]
      : []),
    `  ${texts.caution(caution)}`,
  ];
}

/** The whole diagnosis for other programs. */
export function diagnosisJson({ next, groups, ...rest }: SiteDiagnosis): string {
  return jsonText({
    schemaVersion,
    verdict: rest.verdict,
    observations: rest.observations,
    deviating: rest.deviating,
    unused: rest.unused,
    groups: groups.map(({ share, faults, ...group }) => ({
      ...group,
      share: rounded(share),
      faults: faults.map(({ likelihood, ...fault }) => ({
        ...fault,
        likelihood: rounded(likelihood),
      })),
    })),
    next: next ?? null,
    caution: rest.caution,
  });
}
