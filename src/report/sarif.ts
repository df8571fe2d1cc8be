/** Findings as SARIF 2.1.0 (OASIS Standard, 27 March 2020): what hosts show beside the lines of a change. */
import { messageOf, type Severity, type WaivedBy } from '../model/finding.js';
import type { FileRange, LocatedFinding } from '../model/located.js';
import { numberedKeys } from './fingerprint.js';
import { jsonText } from './json.js';
import { texts } from './texts.js';

export interface SarifOptions {
  /** The version of Ferrule. */
  readonly version: string;
  /** The page of a rule, Markdown. */
  readonly pageOf: (rule: string) => string | undefined;
}

export function findingsSarif(
  findings: readonly LocatedFinding[],
  { version, pageOf }: SarifOptions,
): string {
  const rules = [...new Set(findings.map(({ finding }) => finding.rule))].sort();
  const index = new Map(rules.map((rule, place) => [rule, place]));
  const keys = numberedKeys(findings);
  return jsonText({
    $schema: 'https://json.schemastore.org/sarif-2.1.0.json',
    version: '2.1.0',
    runs: [
      {
        tool: {
          driver: {
            name: 'ferrule',
            version,
            rules: rules.map((rule) => ruleObject(rule, pageOf)),
          },
        },
        columnKind: 'utf16CodeUnits',
        results: findings.map((located, place) =>
          resultObject(located, index.get(located.finding.rule)!, keys[place]!),
        ),
      },
    ],
  });
}

function ruleObject(rule: string, pageOf: SarifOptions['pageOf']) {
  const page = pageOf(rule);
  const summary = page
    ?.split(/\n{2,}/u)
    .slice(1)
    .find((block) => !block.startsWith('#'));
  return {
    id: rule,
    ...(summary === undefined ? {} : { shortDescription: { text: summary.trim() } }),
    ...(page === undefined ? {} : { help: { text: page, markdown: page } }),
  };
}

function resultObject({ finding, at, related }: LocatedFinding, ruleIndex: number, key: string) {
  return {
    ruleId: finding.rule,
    ruleIndex,
    level: levels[finding.severity],
    message: { text: messageOf(finding) },
    locations: [locationObject(at)],
    ...(related.length === 0
      ? {}
      : {
          relatedLocations: related.map((one, place) => ({
            id: place + 1,
            ...locationObject(one),
            message: { text: one.message },
          })),
        }),
    partialFingerprints: { 'ferrule/v1': key },
    // An empty list says that the result was looked at and is not suppressed.
    suppressions: finding.waived === null ? [] : [suppressionObject(finding.waived)],
    properties: {
      subject: finding.subject,
      facts: finding.facts.map(({ fact, value, unit }) => ({ fact, value, unit })),
    },
  };
}

const levels: Readonly<Record<Severity, string>> = {
  error: 'error',
  warning: 'warning',
  hint: 'note',
};

function suppressionObject(waived: WaivedBy) {
  return { kind: 'inSource', status: 'accepted', justification: texts.accepted(waived) };
}

function locationObject({ file, range }: FileRange) {
  return {
    physicalLocation: {
      artifactLocation: artifactOf(file),
      region: {
        startLine: range.start.line + 1,
        startColumn: range.start.character + 1,
        endLine: range.end.line + 1,
        endColumn: range.end.character + 1,
      },
    },
  };
}

/** A relative path counts from the folder that the check ran in; one that leaves it has no base (3.4.4). */
function artifactOf(file: string) {
  const uri = file.split('/').map(encodeURIComponent).join('/');
  if (/^(?:\/|[A-Za-z]:\/)/u.test(file)) {
    return { uri: `file://${file.startsWith('/') ? '' : '/'}${uri.replace('%3A', ':')}` };
  }
  return file.startsWith('../') ? { uri } : { uri, uriBaseId: '%SRCROOT%' };
}
