/**
 * What the rules find about each declaration of a site that changes in place, kept at hand: after an
 * edit only the declarations are judged again of which something that their rules read has changed.
 *
 * Verdicts leave out of account what of the text was not read: that would touch every declaration with
 * each half-typed line. `evaluate` leaves the verdicts unsaid that rest on it.
 */
import { Watch } from '../../analysis/watch.js';
import type { Damage } from '../../model/damage.js';
import { LastingDamage } from '../../model/lasting-damage.js';
import type { DeclarationId } from '../../model/origin.js';
import type { Declaration } from '../../model/records.js';
import { nameOf, type Site } from '../../model/site.js';
import type { SiteChange } from '../../model/site-store.js';
import { Cell } from '../../model/tracking.js';
import { verdictOf, type Verdict, type Verdicts } from '../evaluate.js';
import { RULES } from '../index.js';
import { RAISED_RULES } from '../raised.js';
import type { Rule, RuleContext, SubjectKind, Subjects } from '../rule.js';

type Subject = Subjects[SubjectKind];

export class LastingVerdicts implements Verdicts {
  readonly #context: LastingContext;
  readonly #watch: Watch<Subject, readonly Verdict[]>;
  /** The subjects about which there is something to say. */
  readonly #found = new Map<Subject, readonly Verdict[]>();

  constructor(
    private readonly site: Site,
    isOwn: (declaration: DeclarationId) => boolean,
  ) {
    this.#context = new LastingContext(isOwn);
    this.#watch = new Watch<Subject, readonly Verdict[]>(
      site,
      (subject) => this.#judge(subject),
      (subject, verdicts) => {
        if (verdicts.length === 0) {
          this.#found.delete(subject);
        } else {
          this.#found.set(subject, verdicts);
        }
      },
    );
    this.#watch.add(site);
  }

  /** Takes note of declarations that went and came. */
  change({ gone, come }: SiteChange): void {
    const stays = new Set(come.map(({ record }) => record));
    const stood = new Set(gone.map(({ record }) => record));
    for (const { record } of gone) {
      if (isJudged(record) && !stays.has(record)) {
        this.#watch.remove(record);
        this.#found.delete(record);
      }
    }
    for (const { record } of come) {
      if (isJudged(record) && !stood.has(record)) {
        this.#watch.add(record);
      }
    }
  }

  /** Judges again what has to be. `damage` is for rules that ask for it themselves. */
  refresh(on: string, damage: Damage): void {
    this.#context.become(on, damage);
    this.#watch.refresh();
  }

  /** By rule, then in text order, as if each rule went through the site. */
  *of(rules: readonly Rule[]): Iterable<Verdict> {
    const byRule = new Map<Rule, Verdict[]>();
    const subjects = [...this.#found.keys()].sort((one, other) => this.#compare(one, other));
    for (const subject of subjects) {
      for (const verdict of this.#found.get(subject)!) {
        const list = byRule.get(verdict.rule);
        if (list === undefined) {
          byRule.set(verdict.rule, [verdict]);
        } else {
          list.push(verdict);
        }
      }
    }
    for (const rule of rules) {
      yield* byRule.get(rule) ?? [];
    }
  }

  #judge(subject: Subject): readonly Verdict[] {
    const verdicts: Verdict[] = [];
    const kind = subject === this.site ? 'site' : (subject as Declaration).kind;
    for (const rule of rulesOf.get(kind as SubjectKind) ?? []) {
      const findings = verdictOf(this.site, rule, subject, this.#context);
      if (findings.length > 0) {
        verdicts.push({ rule, subject, findings });
      }
    }
    return verdicts.length === 0 ? nothing : verdicts;
  }

  #compare(one: Subject, other: Subject): number {
    if (one === this.site || other === this.site) {
      return one === other ? 0 : one === this.site ? -1 : 1;
    }
    return this.site.compareInText(nameOf(one as Declaration)!, nameOf(other as Declaration)!);
  }
}

const nothing: readonly Verdict[] = [];

/** The rules of each kind that judge the site before its waivers are compared. */
const rulesOf: ReadonlyMap<SubjectKind, readonly Rule[]> = new Map(
  RULES.map(({ of }) => [of, RULES.filter((rule) => rule.of === of && rule.after === undefined)]),
);

function isJudged(record: Declaration): record is Declaration & Subject {
  return rulesOf.has(record.kind as SubjectKind) && record.kind !== 'site';
}

/** The context of rules of which each part that can change is a source. */
class LastingContext implements RuleContext {
  readonly damage = new LastingDamage();
  readonly book = new Map([...RAISED_RULES, ...RULES].map((rule) => [rule.name, rule]));
  readonly waivers = [];
  readonly #dayCell = new Cell();
  #day = '';

  constructor(readonly isOwn: (declaration: DeclarationId) => boolean) {}

  get on(): string {
    this.#dayCell.read();
    return this.#day;
  }

  become(on: string, damage: Damage): void {
    this.damage.become(damage);
    if (on !== this.#day) {
      this.#day = on;
      this.#dayCell.changed();
    }
  }
}
