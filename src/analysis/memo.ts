/**
 * The one place where computed results are kept.
 *
 * A result belongs to a site and to one record of it. Both are plain immutable data, so object
 * identity is enough: a changed declaration gives a new record and a changed site a new index.
 */
import type { Site } from '../model/site.js';

/** Wraps a function of (site, record) so that it runs once for each pair. */
export function memoised<Key extends object, Value>(
  compute: (site: Site, key: Key) => Value,
): (site: Site, key: Key) => Value {
  const kept = new WeakMap<Site, WeakMap<Key, { readonly value: Value }>>();
  return (site, key) => {
    let bySite = kept.get(site);
    if (bySite === undefined) {
      bySite = new WeakMap();
      kept.set(site, bySite);
    }
    let entry = bySite.get(key);
    if (entry === undefined) {
      entry = { value: compute(site, key) };
      bySite.set(key, entry);
    }
    return entry.value;
  };
}

/** The same for a function of the site alone. */
export function memoisedOnce<Value>(compute: (site: Site) => Value): (site: Site) => Value {
  const kept = new WeakMap<Site, { readonly value: Value }>();
  return (site) => {
    let entry = kept.get(site);
    if (entry === undefined) {
      entry = { value: compute(site) };
      kept.set(site, entry);
    }
    return entry.value;
  };
}
