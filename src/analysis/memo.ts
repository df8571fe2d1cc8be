/**
 * The one place where computed results are kept.
 *
 * A result belongs to a site and to one record of it. Of a plain site (`buildSite`) both are immutable,
 * so object identity is enough. A site that changes in place (`SiteStore`) has a graph of computations,
 * which `src/analysis/computations.ts` explains; what is written here is the same for both.
 */
import type { Site } from '../model/site.js';
import { graphOf, planOf, Table, type Graph } from './computations.js';
import { isSameResult, type Sameness } from './sameness.js';
import { SharedTable, tableOf, type Shares } from './shared-table.js';

/** Wraps a function of (site, record) so that it runs once for each pair, and again when what it read changed. */
export function memoised<Key extends object, Value>(
  compute: (site: Site, key: Key) => Value,
  isSame: Sameness<Value> = isSameResult,
): (site: Site, key: Key) => Value {
  const kept = new WeakMap<Site, WeakMap<Key, { readonly value: Value }>>();
  const plan = planOf(compute, isSame, 'on demand');
  return (site, key) => {
    const graph = graphOf(site);
    if (graph !== undefined) {
      return graph.resultOf(plan, key).get() as Value;
    }
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
export function memoisedOnce<Value>(
  compute: (site: Site) => Value,
  isSame: Sameness<Value> = isSameResult,
): (site: Site) => Value {
  const kept = new WeakMap<Site, { readonly value: Value }>();
  const plan = planOf(compute, isSame, 'settled first');
  return (site) => {
    const graph = graphOf(site);
    if (graph !== undefined) {
      return graph.resultOf(plan, site).get() as Value;
    }
    let entry = kept.get(site);
    if (entry === undefined) {
      entry = { value: compute(site) };
      kept.set(site, entry);
    }
    return entry.value;
  };
}

/**
 * A table of the whole site that is asked for one key at a time. Who asked for a key depends on the
 * value of that key and not on the table.
 */
export function memoisedTable<Key, Value>(
  compute: (site: Site) => ReadonlyMap<Key, Value>,
  isSame: Sameness<Value> = isSameResult,
): (site: Site, key: Key) => Value | undefined {
  const kept = new WeakMap<Site, ReadonlyMap<Key, Value>>();
  const tables = new WeakMap<Graph, Table<Key, Value>>();
  return (site, key) => {
    const graph = graphOf(site);
    if (graph === undefined) {
      let values = kept.get(site);
      if (values === undefined) {
        values = compute(site);
        kept.set(site, values);
      }
      return values.get(key);
    }
    let table = tables.get(graph);
    if (table === undefined) {
      table = new Table(graph, compute, isSame);
      tables.set(graph, table);
    }
    return table.get(key);
  };
}

/** The same where the table is put together from what many parts of the site say, each on its own. */
export function memoisedShares<Part, Share, Name, Value>(
  how: Shares<Part, Share, Name, Value>,
): (site: Site, name: Name) => Value | undefined {
  const kept = new WeakMap<Site, ReadonlyMap<Name, Value>>();
  const tables = new WeakMap<Graph, SharedTable<Part, Share, Name, Value>>();
  return (site, name) => {
    const graph = graphOf(site);
    if (graph === undefined) {
      let values = kept.get(site);
      if (values === undefined) {
        values = tableOf(how, site);
        kept.set(site, values);
      }
      return values.get(name);
    }
    let table = tables.get(graph);
    if (table === undefined) {
      table = new SharedTable(graph, how);
      tables.set(graph, table);
    }
    return table.get(name);
  };
}
