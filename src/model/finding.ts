import type { ModelEdit } from './edit.js';
import type { Place } from './origin.js';

/** How much a finding weighs. */
export type Severity = 'error' | 'warning' | 'hint';

/** A computed or stated value that a finding or a fact carries. Quantities are in the named unit, never with a prefix. */
export interface Measured {
  readonly fact: string;
  readonly value: number | string | readonly string[] | null;
  readonly unit: string;
}

/** The measured value that a waiver's `up to` is compared with; greater is worse unless `lowerIsWorse`. */
export interface Waivable {
  readonly value: number;
  readonly unit: string;
  readonly lowerIsWorse?: true;
}

/** Another place that belongs to a finding. */
export interface RelatedPlace {
  readonly at: Place;
  readonly message: string;
}

/** The waiver that covers a finding. */
export interface WaivedBy {
  readonly because: string;
  readonly until: string | null;
  readonly upTo: { readonly value: number; readonly unit: string } | null;
}

/** Something that is wrong with a site, structured until a door turns it into text. */
export interface Finding {
  readonly rule: string;
  readonly severity: Severity;
  /** The name as written of what is wrong: `field-1`, `ZC-1.supply`, `controls`. */
  readonly subject: string;
  readonly at: Place;
  /** What is the case, with measured value and limit, both with units. One sentence. */
  readonly what: string;
  /** Why it matters on site. One sentence; may be empty where `what` says it all. */
  readonly why: string;
  /** What to do. One sentence in the imperative. */
  readonly remedy: string;
  readonly related: readonly RelatedPlace[];
  readonly facts: readonly Measured[];
  /** Missing where the rule measures nothing that a waiver could bound. */
  readonly waivable?: Waivable;
  readonly waived: WaivedBy | null;
}

/** The one text of a finding for people: what, why, what to do. */
export function messageOf(finding: Pick<Finding, 'what' | 'why' | 'remedy'>): string {
  return [finding.what, finding.why, finding.remedy].filter((text) => text !== '').join(' ');
}

/**
 * A way to mend a finding.
 *
 * `safe` leaves the site's meaning as it is and may run without asking; `wiring` changes what an
 * electrician does, so a person must agree to it.
 */
export interface Fix {
  readonly title: string;
  readonly kind: 'safe' | 'wiring';
  readonly edits: readonly ModelEdit[];
}

/** Where a computed value came from. */
export type Basis = 'stated' | 'estimated' | 'assumed' | 'computed' | 'measured' | 'unknown';

/** One term of a computation, so that a value can show its working. */
export interface Term {
  readonly name: string;
  readonly value: number | string | null;
  readonly unit: string;
  readonly basis: Basis;
}

/** A value about a subject of the site. */
export interface Fact {
  readonly subject: string;
  readonly fact: string;
  readonly value: number | string | readonly string[] | null;
  readonly unit: string;
  readonly limit?: number;
  /** (limit − value)/limit, for minima (value − limit)/limit; negative means broken. */
  readonly margin?: number;
  readonly basis: Basis;
  /** For an unknown value, the line of text that would make it known. */
  readonly needs?: string;
  /** Published source, "common practice" or "from memory (…)". */
  readonly source?: string;
  readonly terms: readonly Term[];
}
