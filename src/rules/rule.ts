/** The shape of a rule. Each rule is a pair with one stem: `<name>.ts` decides, `<name>.md` is its manual page and its test. */
import type { Damage } from '../model/damage.js';
import type { Finding, Fix, Measured, RelatedPlace, Severity, Waivable } from '../model/finding.js';
import type { DeclarationId, Place } from '../model/origin.js';
import type { BusType, Cable, Equipment } from '../model/equipment.js';
import type { Board, Containment, Device, Network, Zone } from '../model/records.js';
import type { Site } from '../model/site.js';
import type { Bus, Feed } from '../model/wiring.js';
import type { Need } from './support/needs.js';
import type { JudgedWaiver, RuleBook } from './waivers.js';

/** What a rule is asked about, one at a time. No rule of one bus loops over the site. */
export interface Subjects {
  readonly bus: Bus;
  readonly feed: Feed;
  readonly device: Device;
  readonly board: Board;
  readonly network: Network;
  readonly zone: Zone;
  readonly containment: Containment;
  readonly equipment: Equipment;
  readonly bustype: BusType;
  readonly cable: Cable;
  /** Asked once a site, for what is no property of one of the others. */
  readonly site: Site;
}
export type SubjectKind = keyof Subjects;

/** A finding as a rule states it; name, severity and waiver are added by the caller. */
export interface Problem {
  readonly subject: string;
  readonly at: Place;
  readonly what: string;
  readonly why: string;
  readonly remedy: string;
  readonly related?: readonly RelatedPlace[];
  readonly facts?: readonly Measured[];
  /** The measured value that a waiver's `up to` is compared with; greater is worse unless `lowerIsWorse`. */
  readonly waivable?: Waivable;
  /** Lowers an error to a warning where the limit rests on memory or on an assumption. */
  readonly severity?: Severity;
}

/** What a check may know beside the site. Most rules need none of it. */
export interface RuleContext {
  /** The day on which the site is judged, ISO: an input, because nothing inside reads a clock. */
  readonly on: string;
  /** Whether a declaration stands in the site's own folder; false for what a package brings. */
  readonly isOwn: (declaration: DeclarationId) => boolean;
  /** What of the text could not be read, so that its consequences are left unsaid. */
  readonly damage: Damage;
  /** Every rule by name. */
  readonly book: RuleBook;
  /** How the waivers fared. Empty but for rules that come `after: 'waivers'`. */
  readonly waivers: readonly JudgedWaiver[];
}

/** A rule about one kind of subject. */
export interface Rule<Kind extends SubjectKind = SubjectKind> {
  readonly name: string;
  readonly severity: Severity;
  readonly of: Kind;
  /** False where the rule guards life or equipment: no waiver, no lower severity. */
  readonly acceptable: boolean;
  /** Set where the rule judges the waivers themselves, so that it runs when they have been compared. */
  readonly after?: 'waivers';
  /**
   * What the verdict on a subject rests on beside the site's order; left out: the usual for its kind.
   * Where a part of it was not read, the rule is not asked.
   */
  needs?(this: void, site: Site, subject: Subjects[Kind]): Iterable<Need>;
  check(this: void, site: Site, subject: Subjects[Kind], context: RuleContext): Iterable<Problem>;
  /** Ways to mend one finding of this rule, best first. */
  fixes?(this: void, site: Site, finding: Finding): readonly Fix[];
}

/** Keeps a rule's type while letting its functions be written plainly. */
export function defineRule<Kind extends SubjectKind>(rule: Rule<Kind>): Rule<Kind> {
  return rule;
}
