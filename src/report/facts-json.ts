/** Computed values as JSON: what `ferrule facts --format json` prints. */
import type { Fact } from '../model/finding.js';
import { jsonText, schemaVersion } from './json.js';

/** One flat list; `limit`, `margin`, `needs` and `source` stand only where there is one. */
export function factsJson(facts: readonly Fact[]): string {
  return jsonText({ schemaVersion, facts: facts.map(factObject) });
}

function factObject(fact: Fact) {
  return {
    subject: fact.subject,
    fact: fact.fact,
    value: fact.value,
    unit: fact.unit,
    ...(fact.limit === undefined ? {} : { limit: fact.limit }),
    ...(fact.margin === undefined ? {} : { margin: fact.margin }),
    basis: fact.basis,
    ...((fact.needs ?? '') === '' ? {} : { needs: fact.needs }),
    ...(fact.source === undefined ? {} : { source: fact.source }),
    terms: fact.terms.map(({ name, value, unit, basis }) => ({ name, value, unit, basis })),
  };
}
