/** What is made from an open site: computed values, drawings, documents. Pure functions of their arguments. */
import { factOf, factsOfSite } from '../analysis/facts.js';
import { FORMULAS } from '../analysis/formulas.js';
import { nearNames } from '../analysis/near-names.js';
import type { Fact } from '../model/finding.js';
import type { OpenSite } from './open-site.js';

/** Every computed value, in a stable order. */
export function factsOf(open: OpenSite): readonly Fact[] {
  return factsOfSite(open.site);
}

/** A computed value with the formula behind it, or the names that may have been meant. */
export type ExplainedFact =
  | { readonly kind: 'found'; readonly fact: Fact; readonly formula: string | undefined }
  | { readonly kind: 'unknown'; readonly near: readonly string[] };

/** The value of a name such as `field-1.total-length`: what stands after the last dot names the fact. */
export function explainedFact(open: OpenSite, name: string): ExplainedFact {
  const cut = name.lastIndexOf('.');
  const fact = factOf(open.site, name.slice(0, Math.max(0, cut)), name.slice(cut + 1));
  if (fact !== undefined) {
    return { kind: 'found', fact, formula: FORMULAS[fact.fact] };
  }
  const names = new Set(factsOfSite(open.site).map((one) => `${one.subject}.${one.fact}`));
  const ofSubject = [...names].filter((one) => one.slice(0, one.lastIndexOf('.')) === name);
  return { kind: 'unknown', near: ofSubject.length > 0 ? ofSubject : nearNames(name, names) };
}
