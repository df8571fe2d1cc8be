/** Runs the rules over a site and applies what the site says about them: severities and waivers. */
import { nearNames } from '../analysis/near-names.js';
import { NO_DAMAGE, type Damage } from '../model/damage.js';
import type { Finding, Fix, Severity } from '../model/finding.js';
import type { DeclarationId, Place } from '../model/origin.js';
import { part, placeOf } from '../model/origin.js';
import { compareNames } from '../model/site.js';
import type { Site } from '../model/site.js';
import type { SeverityLevel } from '../model/values.js';
import { RULES } from './index.js';
import { RAISED_RULES } from './raised.js';
import type { Problem, Rule, RuleContext, SubjectKind, Subjects } from './rule.js';
import { boundText } from './support/bound-text.js';
import { lacksWhatItNeeds } from './support/needs.js';
import { meantBySlips, unitSlips, WANTED_UNIT, withoutSlips } from './support/waiver-slips.js';
import { judgeWaivers } from './waivers.js';
import type { JudgedWaiver, RuleBook } from './waivers.js';

export interface EvaluateOptions {
  /** The day on which the site is judged, ISO. */
  readonly on: string;
  /** The rules to run; left out: all. */
  readonly rules?: readonly Rule[];
  /** Findings that the language raised: severities and waivers apply to them as to the others. */
  readonly raised?: readonly Finding[];
  /** What of the text could not be read; left out: nothing. */
  readonly damage?: Damage;
  /** Whether a declaration stands in the site's own folder; left out: each does. */
  readonly isOwn?: (declaration: DeclarationId) => boolean;
  /** What the rules find about the declarations, where that is kept at hand; left out: they are asked. */
  readonly verdicts?: Verdicts;
}

/** What rules find about one record each, whatever of the text was not read. */
export interface Verdicts {
  of(rules: readonly Rule[]): Iterable<Verdict>;
}

export interface Verdict {
  readonly rule: Rule;
  readonly subject: Subjects[SubjectKind];
  readonly findings: readonly Finding[];
}

/**
 * Every finding of a site, raised ones included, waived ones marked.
 *
 * Order: by declaration in text order, within one by part, then by rule.
 */
export function evaluate(site: Site, options: EvaluateOptions): readonly Finding[] {
  const rules = options.rules ?? RULES;
  const context = contextOf(options, rules);
  const levels = severityLevels(site, context.book);
  const graded = (findings: readonly Finding[]): Finding[] =>
    findings.flatMap((finding) => withLevel(finding, levels.get(finding.rule), context.book));

  const everything = graded([
    ...(options.raised ?? []),
    ...unknownSeverityRules(site, context.book),
    ...unknownWaiverRules(site, context.book),
    ...(options.verdicts === undefined
      ? runAll(site, rules, context, 'before')
      : heeding(site, context.damage, options.verdicts.of(rules))),
  ]);
  const onOrdinary = site.waivers.filter(({ record }) => !judgesWaivers(rules, record.rule));
  const judged = judgeWaivers(onOrdinary, everything, context.book, options.on);
  const meant = meantBySlips(site, everything, judged.waivers, context.damage, context.book);
  const ordinary = [
    ...everything.filter((finding) => !meant.has(finding)),
    ...unitSlips(judged.waivers),
  ];
  const first = judgeWaivers(onOrdinary, ordinary, context.book, options.on);

  // Waivers may be accepted like everything else, so those on waiver rules are judged in a second
  // round. What that round finds is final: a third would have nothing new to say.
  const onWaivers = site.waivers.filter(({ record }) => judgesWaivers(rules, record.rule));
  const aboutFirst = graded(
    runAll(
      site,
      rules,
      { ...context, waivers: withoutSlips(first.waivers, judged.waivers) },
      'after waivers',
    ),
  );
  const second = judgeWaivers(onWaivers, aboutFirst, context.book, options.on);
  const aboutSecond = graded(
    runAll(site, rules, { ...context, waivers: second.waivers }, 'after waivers'),
  ).filter((finding) => !aboutFirst.some((known) => isSame(known, finding)));

  const covered = new Map([...first.coveredBy, ...second.coveredBy]);
  const all = [...ordinary, ...aboutFirst, ...aboutSecond].map((finding) => {
    const waived = covered.get(finding);
    return waived === undefined ? finding : { ...finding, waived };
  });
  return inOrder(site, all, [...context.book.keys()]);
}

/** The findings of verdicts that rest on nothing that was not read. */
function heeding(site: Site, damage: Damage, verdicts: Iterable<Verdict>): readonly Finding[] {
  return [...verdicts].flatMap(({ rule, subject, findings }) =>
    lacksWhatItNeeds(site, rule, subject, damage) ? [] : findings,
  );
}

/** What one rule finds on one subject, whatever of the text was not read. */
export function verdictOf<Kind extends SubjectKind>(
  site: Site,
  rule: Rule<Kind>,
  subject: Subjects[Kind],
  context: RuleContext,
): readonly Finding[] {
  return [...rule.check(site, subject, context)].map((problem) => findingOf(rule, problem));
}

/**
 * What one rule finds on one subject: a pure function of the site, the subject and the context, so
 * that a caller may keep its result for as long as what it read is unchanged.
 */
export function evaluateSubject<Kind extends SubjectKind>(
  site: Site,
  rule: Rule<Kind>,
  subject: Subjects[Kind],
  context: RuleContext,
): readonly Finding[] {
  return lacksWhatItNeeds(site, rule, subject, context.damage)
    ? []
    : verdictOf(site, rule, subject, context);
}

/** The context for running rules one by one; `evaluate` builds the same. */
export function contextOf(
  options: EvaluateOptions,
  rules: readonly Rule[] = options.rules ?? RULES,
  waivers: readonly JudgedWaiver[] = [],
): RuleContext {
  return {
    on: options.on,
    isOwn: options.isOwn ?? (() => true),
    damage: options.damage ?? NO_DAMAGE,
    book: new Map([...RAISED_RULES, ...rules].map((rule) => [rule.name, rule])),
    waivers,
  };
}

/** The records of one kind in text order. */
export function subjectsOf<Kind extends SubjectKind>(
  site: Site,
  kind: Kind,
): readonly Subjects[Kind][] {
  if (kind === 'site') {
    return [site as Subjects[Kind]];
  }
  return site.entries
    .filter(({ record }) => record.kind === kind)
    .map(({ record }) => record as unknown as Subjects[Kind]);
}

/** The ways to mend a finding that its rule knows, best first. */
export function fixesOf(
  site: Site,
  finding: Finding,
  rules: readonly Rule[] = RULES,
): readonly Fix[] {
  if (finding.rule === 'name-unknown') {
    return ruleNameFixes(site, finding);
  }
  if (finding.rule === 'quantity-unit-mismatch') {
    return unitFixes(finding);
  }
  const rule = rules.find((one) => one.name === finding.rule);
  return rule?.fixes?.(site, finding) ?? [];
}

/** Whether a waiver may cover a finding of this rule. */
export function isAcceptable(ruleName: string): boolean {
  return [...RAISED_RULES, ...RULES].some((rule) => rule.name === ruleName && rule.acceptable);
}

/**
 * The fix that accepts a finding. A person has to give the reason and the day: without them the
 * waiver would accept nothing. A measured finding is accepted up to its value today and no further.
 */
export function acceptFix(finding: Finding, because: string, until: string): Fix {
  const { waivable } = finding;
  return {
    title: `Accept ${finding.rule} on ${finding.subject} until ${until}`,
    kind: 'wiring',
    edits: [
      {
        kind: 'add-waiver',
        rule: finding.rule,
        subject: finding.subject,
        ...(waivable === undefined ? {} : { upTo: boundText(waivable) }),
        because,
        until,
      },
    ],
  };
}

function findingOf(rule: Pick<Rule, 'name' | 'severity'>, problem: Problem): Finding {
  return {
    rule: rule.name,
    severity: weaker(rule.severity, problem.severity),
    subject: problem.subject,
    at: problem.at,
    what: problem.what,
    why: problem.why,
    remedy: problem.remedy,
    related: problem.related ?? [],
    facts: problem.facts ?? [],
    ...(problem.waivable === undefined ? {} : { waivable: problem.waivable }),
    waived: null,
  };
}

function runAll(
  site: Site,
  rules: readonly Rule[],
  context: RuleContext,
  round: 'before' | 'after waivers',
): readonly Finding[] {
  const found: Finding[] = [];
  for (const rule of rules) {
    if ((rule.after === 'waivers') !== (round === 'after waivers')) {
      continue;
    }
    for (const subject of subjectsOf(site, rule.of)) {
      found.push(...evaluateSubject(site, rule, subject, context));
    }
  }
  return found;
}

function judgesWaivers(rules: readonly Rule[], ruleName: string): boolean {
  return rules.some((rule) => rule.name === ruleName && rule.after === 'waivers');
}

const weights: Readonly<Record<Severity, number>> = { hint: 0, warning: 1, error: 2 };

function weaker(one: Severity, other: Severity | undefined): Severity {
  return other === undefined || weights[one] <= weights[other] ? one : other;
}

/** The site's own levels by rule; the last line about a rule counts. Rules that guard life have none. */
function severityLevels(site: Site, book: RuleBook): ReadonlyMap<string, SeverityLevel> {
  return new Map(
    (site.settings?.severities ?? [])
      .filter((line) => book.get(line.rule)?.acceptable === true)
      .map((line) => [line.rule, line.level]),
  );
}

/**
 * A finding at the site's level. A problem that its rule holds for less than the rule's own severity
 * rests on an assumption, and no line can make more of it.
 */
function withLevel(
  finding: Finding,
  level: SeverityLevel | undefined,
  book: RuleBook,
): readonly Finding[] {
  if (level === undefined) {
    return [finding];
  }
  if (level === 'off') {
    return [];
  }
  const rule = book.get(finding.rule);
  const isHeldForLess = rule !== undefined && weights[finding.severity] < weights[rule.severity];
  return [{ ...finding, severity: isHeldForLess ? weaker(level, finding.severity) : level }];
}

function unknownSeverityRules(site: Site, book: RuleBook): readonly Finding[] {
  const settings = site.settings;
  if (settings === undefined) {
    return [];
  }
  return settings.severities.flatMap((line, index) =>
    book.has(line.rule)
      ? []
      : [unknownRule(line.rule, placeOf(settings.name, part('severity', index)), book)],
  );
}

function unknownWaiverRules(site: Site, book: RuleBook): readonly Finding[] {
  return site.waivers.flatMap(({ id, record }) =>
    book.has(record.rule) ? [] : [unknownRule(record.rule, placeOf(id, 'rule'), book)],
  );
}

function unknownRule(name: string, at: Place, book: RuleBook): Finding {
  const near = nearNames(name, book.keys());
  return findingOf(
    { name: 'name-unknown', severity: 'error' },
    {
      subject: name,
      at,
      what: `There is no rule named "${name}".`,
      why: 'A line about a rule that does not exist changes nothing.',
      remedy:
        near.length > 0
          ? `Did you mean ${near.join(', ')}?`
          : 'Take the name from the finding that you want to accept.',
      facts: [{ fact: nearRules, value: near, unit: '' }],
    },
  );
}

/** Puts a rule's name in the place of the one that was misspelt. */
function ruleNameFixes(site: Site, finding: Finding): readonly Fix[] {
  const near = finding.facts.find((one) => one.fact === nearRules)?.value;
  if (!Array.isArray(near)) {
    return [];
  }
  const index = /^severity\/(\d+)$/u.exec(finding.at.part)?.[1];
  const level = index === undefined ? undefined : site.settings?.severities[Number(index)]?.level;
  return near.map((name: string) => ({
    title: `Change to ${name}`,
    kind: 'wiring',
    edits: [
      {
        kind: 'replace-value',
        at: finding.at,
        text: level === undefined ? name : `severity ${name} ${level}`,
      },
    ],
  }));
}

/** Puts the unit that a rule measures in behind a waiver's `up to`. */
function unitFixes(finding: Finding): readonly Fix[] {
  const wanted = finding.facts.find((one) => one.fact === WANTED_UNIT)?.value;
  return typeof wanted === 'string'
    ? [
        {
          title: `Change to "${wanted}"`,
          kind: 'wiring',
          edits: [{ kind: 'replace-value', at: finding.at, text: wanted }],
        },
      ]
    : [];
}

const nearRules = 'near-rules';

function isSame(one: Finding, other: Finding): boolean {
  return (
    one.rule === other.rule &&
    one.subject === other.subject &&
    one.at.declaration === other.at.declaration &&
    one.at.part === other.at.part &&
    one.what === other.what
  );
}

function inOrder(site: Site, findings: readonly Finding[], names: readonly string[]): Finding[] {
  const declarations = ranksOf(site, new Set(findings.map(({ at }) => at.declaration)));
  const ranks = new Map(names.map((name, index) => [name, index]));
  const last = Number.MAX_SAFE_INTEGER;
  return [...findings].sort(
    (one, other) =>
      declarations.get(one.at.declaration)! - declarations.get(other.at.declaration)! ||
      compareNames(one.at.part, other.at.part) ||
      (ranks.get(one.rule) ?? last) - (ranks.get(other.rule) ?? last) ||
      compareNames(one.subject, other.subject) ||
      compareNames(one.what, other.what),
  );
}

/** Declarations in text order, and behind them by name what is none that counts. */
function ranksOf(site: Site, ids: ReadonlySet<DeclarationId>): ReadonlyMap<DeclarationId, number> {
  const known = [...ids].filter((id) => site.hasEntry(id)).sort(site.compareInText);
  const others = [...ids].filter((id) => !site.hasEntry(id)).sort(compareNames);
  return new Map([...known, ...others].map((id, index) => [id, index]));
}
