import { part, placeOf } from '../model/origin.js';
import { defineRule } from './rule.js';
import type { Problem } from './rule.js';

/** An `accept` or `severity` line about a rule that cannot be accepted away. */
export const waiverRefused = defineRule({
  name: 'waiver-refused',
  severity: 'error',
  of: 'site',
  acceptable: true,
  after: 'waivers',
  *check(site, _subject, { waivers, book }): Iterable<Problem> {
    const { settings } = site;
    for (const [index, line] of (settings?.severities ?? []).entries()) {
      if (settings !== undefined && book.get(line.rule)?.acceptable === false) {
        yield {
          subject: settings.name,
          at: placeOf(settings.name, part('severity', index)),
          what: `The severity of ${line.rule} cannot be changed.`,
          why,
          remedy: 'Remove the line and mend what the rule finds.',
        };
      }
    }
    for (const { id, waiver, verdict } of waivers) {
      if (verdict.kind === 'refused') {
        yield {
          subject: waiver.on,
          at: placeOf(id, 'rule'),
          what: `${waiver.rule} cannot be accepted.`,
          why,
          remedy: 'Remove the line and mend what the rule finds.',
        };
      }
    }
  },
  fixes(_site, finding) {
    const isWaiver = finding.at.part === 'rule';
    return [
      {
        title: 'Remove the line, which changes nothing',
        kind: 'safe',
        edits: [
          {
            kind: 'remove-statement',
            at: isWaiver ? { declaration: finding.at.declaration, part: '' } : finding.at,
          },
        ],
      },
    ];
  },
});

const why =
  'It guards life or equipment, or tells that a part of the text is not checked, so no agreement on paper makes it right.';
