/**
 * Waivers with a slip in them. Such a line is an error already, so the finding that it was meant for
 * is left unsaid: it is covered once the line is mended, or counts again then.
 */
import { nearNames } from '../../analysis/near-names.js';
import type { Damage } from '../../model/damage.js';
import type { Finding } from '../../model/finding.js';
import { placeOf } from '../../model/origin.js';
import type { Site } from '../../model/site.js';
import type { Waiver } from '../../model/records.js';
import type { JudgedWaiver, RuleBook } from '../waivers.js';

/** The fact by which a finding about an `up to` tells the unit that is wanted. */
export const WANTED_UNIT = 'wanted-unit';

/** The findings that waivers with a slip were probably meant for. */
export function meantBySlips(
  site: Site,
  findings: readonly Finding[],
  judged: readonly JudgedWaiver[],
  damage: Damage,
  book: RuleBook,
): ReadonlySet<Finding> {
  const meant = new Set<Finding>();
  for (const { id, waiver, verdict } of judged) {
    const hasSlip = damage.hurt.has(id) || verdict.kind === 'unknown-rule' || hasWrongUnit(verdict);
    if (hasSlip) {
      findingsMeant(site, waiver, findings, book).forEach((finding) => meant.add(finding));
    }
  }
  for (const { kinds, mentions } of damage.lost) {
    if (kinds.includes('accept') && mentions !== undefined) {
      findings
        .filter(({ rule }) => mentions.has(rule) && book.get(rule)?.acceptable === true)
        .forEach((finding) => meant.add(finding));
    }
  }
  return meant;
}

/** A finding for each waiver whose `up to` has another unit than what its rule measures. */
export function unitSlips(judged: readonly JudgedWaiver[]): readonly Finding[] {
  return judged.flatMap(({ id, waiver, verdict }) => {
    if (!hasWrongUnit(verdict)) {
      return [];
    }
    const written = `${waiver.upTo?.value} ${waiver.upTo?.unit}`.trim();
    const unit = verdict.finding.waivable!.unit;
    const better = `${waiver.upTo?.value} ${unit}`.trim();
    return [
      {
        rule: 'quantity-unit-mismatch',
        severity: 'error',
        subject: waiver.on,
        at: placeOf(id, 'upto'),
        what: `"up to ${written}" cannot be compared: ${waiver.rule} is measured in ${unit === '' ? 'plain numbers' : unit}.`,
        why: 'So nobody can say how much is accepted.',
        remedy: `Write "up to" in ${unit === '' ? 'plain numbers' : unit}, as in "up to ${better}".`,
        related: [],
        facts: [{ fact: WANTED_UNIT, value: better, unit: '' }],
        waived: null,
      },
    ];
  });
}

/** The waivers about which there is more to say: one with a wrong unit is said to have that. */
export function withoutSlips(
  waivers: readonly JudgedWaiver[],
  judged: readonly JudgedWaiver[],
): readonly JudgedWaiver[] {
  const said = new Set(judged.filter(({ verdict }) => hasWrongUnit(verdict)).map(({ id }) => id));
  return waivers.filter(({ id }) => !said.has(id));
}

type WrongUnit = JudgedWaiver['verdict'] & { readonly kind: 'incomparable' };

function hasWrongUnit(verdict: JudgedWaiver['verdict']): verdict is WrongUnit {
  return verdict.kind === 'incomparable' && verdict.finding.waivable !== undefined;
}

/** By the names as written, or by those nearest to them where they stand for nothing. */
function findingsMeant(
  site: Site,
  waiver: Waiver,
  findings: readonly Finding[],
  book: RuleBook,
): readonly Finding[] {
  const rule = book.has(waiver.rule) ? waiver.rule : nearNames(waiver.rule, book.keys(), 1)[0];
  if (rule === undefined || book.get(rule)?.acceptable !== true) {
    return [];
  }
  const ofRule = findings.filter((finding) => finding.rule === rule);
  const isKnown = site.byName.has(waiver.on.split('.')[0]!);
  const on = ofRule.some(({ subject }) => subject === waiver.on)
    ? waiver.on
    : isKnown && !waiver.on.includes('.')
      ? undefined
      : nearNames(waiver.on, new Set(ofRule.map(({ subject }) => subject)), 1)[0];
  return ofRule.filter(({ subject }) => subject === on);
}
