/** Results that are wanted at hand, such as the findings about each declaration. */
import type { Site } from '../model/site.js';
import { graphOf, planOf, Result, type Graph, type Plan } from './computations.js';
import { isSameData, type Sameness } from './sameness.js';

/**
 * Results that somebody wants to have at hand: those of which something changed are computed anew by
 * `refresh`, and what came out otherwise is told.
 */
export class Watch<Key extends object, Value> {
  readonly #graph: Graph;
  readonly #plan: Plan;
  readonly #results = new Map<Key, Result>();
  readonly #waiting: Result[] = [];

  constructor(
    site: Site,
    compute: (key: Key) => Value,
    private readonly tell: (key: Key, value: Value) => void,
    isSame: Sameness<Value> = isSameData,
  ) {
    const graph = graphOf(site);
    if (graph === undefined) {
      throw new Error('only a site that changes in place can be watched');
    }
    this.#graph = graph;
    this.#plan = planOf((_site, key: Key) => compute(key), isSame, 'on demand');
  }

  add(key: Key): void {
    const result = new Result(this.#graph, this.#plan, key, {
      marked: (marked) => this.#waiting.push(marked),
    });
    this.#results.set(key, result);
    this.#waiting.push(result);
  }

  /** Forgets a key. What it read and nobody else reads is dropped before long. */
  remove(key: Key): void {
    this.#results.get(key)?.dispose();
    this.#results.delete(key);
  }

  /** Brings everything up to date. */
  refresh(): void {
    this.#graph.settle();
    for (let result = this.#waiting.pop(); result !== undefined; result = this.#waiting.pop()) {
      const key = result.key as Key;
      if (this.#results.get(key) === result) {
        const value = result.get() as Value;
        if (result.takeNews()) {
          this.tell(key, value);
        }
      }
    }
    this.#graph.sweep();
  }
}
