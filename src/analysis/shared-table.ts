/** Tables about the whole site that are put together from what single parts of it say. */
import type { Site } from '../model/site.js';
import { KeyedCells } from '../model/tracking.js';
import { planOf, Result, type Graph, type Plan } from './computations.js';
import { isSameResult } from './sameness.js';

/** How a table is put together. */
export interface Shares<Part, Share, Name, Value> {
  /** The parts, in an order that counts; compared by identity, so names serve better than records. */
  readonly parts: (site: Site) => readonly Part[];
  readonly share: (site: Site, part: Part) => Share;
  /** The names of the table whose values a share alone may change; undefined where it may change any. */
  readonly names?: (share: Share) => Iterable<Name>;
  /** The values of the wanted names. */
  readonly assemble: (
    shares: ReadonlyMap<Part, Share>,
    isWanted: (name: Name) => boolean,
  ) => ReadonlyMap<Name, Value>;
}

/** The table of a site that stays as it is. */
export function tableOf<Part, Share, Name, Value>(
  { parts, share, assemble }: Shares<Part, Share, Name, Value>,
  site: Site,
): ReadonlyMap<Name, Value> {
  const shares = new Map(parts(site).map((part) => [part, share(site, part)]));
  return assemble(shares, () => true);
}

/**
 * The table of a site that changes in place. It follows its shares, so that an edit costs what the
 * shares that changed say, however many there are; whoever asked for another name hears nothing.
 */
export class SharedTable<Part, Share, Name, Value> {
  height = 0;
  readonly #cells = new KeyedCells<Name>();
  readonly #plan: Plan;
  readonly #parts: Result;
  readonly #results = new Map<Part, Result>();
  #shares: ReadonlyMap<Part, Share> = new Map();
  readonly #values = new Map<Name, Value>();
  #marked: Result[] = [];
  #touched = new Set<Name>();
  #isAllTouched = false;
  #isQueued = false;

  constructor(
    private readonly graph: Graph,
    private readonly how: Shares<Part, Share, Name, Value>,
  ) {
    this.#plan = planOf(
      (site, key: { readonly part: Part }) => how.share(site, key.part),
      isSameResult,
      'settled first',
    );
    this.#parts = this.#follow(planOf((site) => how.parts(site), isSameResult, 'settled first'));
    this.#marked.push(this.#parts);
  }

  get(name: Name): Value | undefined {
    this.graph.settle();
    this.refresh();
    this.#cells.read(name, this.height + 1);
    return this.#values.get(name);
  }

  /** Brings the shares up to date that may have changed, and with them the names that they speak of. */
  refresh(): void {
    this.#isQueued = false;
    for (let result = this.#marked.pop(); result !== undefined; result = this.#marked.pop()) {
      result.refresh();
      this.height = Math.max(this.height, result.height + 1);
    }
    if (this.#isAllTouched || this.#touched.size > 0) {
      this.#assemble();
    }
  }

  #follow(plan: Plan, part?: Part): Result {
    const key = plan === this.#plan ? { part } : this.graph.site;
    return new Result(this.graph, plan, key, {
      marked: (result) => {
        this.#marked.push(result);
        if (!this.#isQueued) {
          this.#isQueued = true;
          this.graph.mustSettle(this);
        }
      },
      changed: (value) => {
        if (plan === this.#plan) {
          this.#shareChanged(part as Part, value as Share);
        } else {
          this.#partsChanged(value as readonly Part[]);
        }
      },
    });
  }

  #partsChanged(parts: readonly Part[]): void {
    const now = new Set(parts);
    for (const [part, result] of this.#results) {
      if (!now.has(part)) {
        this.#touch(this.#shares.get(part));
        this.#results.delete(part);
        this.#marked = this.#marked.filter((one) => one !== result);
        result.dispose();
      }
    }
    const isReordered = !keepsOrder(this.#shares, now);
    for (const part of now) {
      if (!this.#results.has(part)) {
        const result = this.#follow(this.#plan, part);
        this.#results.set(part, result);
        this.#marked.push(result);
      }
    }
    // Shares that are not known yet come in as they are computed.
    this.#shares = new Map(parts.map((part) => [part, this.#shares.get(part) as Share]));
    this.#isAllTouched ||= isReordered;
  }

  #shareChanged(part: Part, share: Share): void {
    const shares = this.#shares as Map<Part, Share>;
    // A part that went may still have been marked.
    if (shares.has(part)) {
      this.#touch(shares.get(part));
      shares.set(part, share);
      this.#touch(share);
    }
  }

  #touch(share: Share | undefined): void {
    const { names } = this.how;
    if (names === undefined) {
      this.#isAllTouched = true;
    } else if (share !== undefined) {
      for (const name of names(share)) {
        this.#touched.add(name);
      }
    }
  }

  #assemble(): void {
    const touched = this.#touched;
    const isAll = this.#isAllTouched;
    this.#touched = new Set();
    this.#isAllTouched = false;
    const now = this.how.assemble(this.#shares, (name) => isAll || touched.has(name));
    for (const name of isAll ? new Set([...this.#values.keys(), ...now.keys()]) : touched) {
      const value = now.get(name);
      if (
        value === undefined ? !this.#values.has(name) : isSameResult(this.#values.get(name), value)
      ) {
        continue;
      }
      if (value === undefined) {
        this.#values.delete(name);
      } else {
        this.#values.set(name, value);
      }
      this.#cells.changed(name);
    }
  }
}

/** Whether the parts that stand in both stand in the same order. */
function keepsOrder<Part>(before: ReadonlyMap<Part, unknown>, now: ReadonlySet<Part>): boolean {
  const kept = [...before.keys()].filter((part) => now.has(part));
  let position = 0;
  for (const part of now) {
    if (before.has(part) && part !== kept[position++]) {
      return false;
    }
  }
  return true;
}
