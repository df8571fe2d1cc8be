/**
 * The results about a site that changes in place, and how they are brought up to date.
 *
 * - while a result is computed, everything it reads is noted: cells of the store and other results;
 * - a change of a cell marks what read it as dirty, and what read that as to be checked, along those
 *   edges alone;
 * - a result that is to be checked first brings what it read up to date, in the order in which it was
 *   read, and is computed anew only where one of them became another value. That order matters: up to
 *   the first difference a computation repeats itself, so nothing is computed that would no longer be
 *   asked for;
 * - a result that is the same as before keeps the old object and stops what follows from it.
 *
 * The same means: equal plain values, containers of the same members, members by identity. Two landings
 * that say the same are two landings: analyses compare records and their parts by identity, so an equal
 * copy of a part must never stand in for it.
 *
 * Results about a whole site have thousands of readers. They are brought up to date first, before any
 * reader is told, so that an edit that leaves them as they were touches no reader.
 */
import type { Site } from '../model/site.js';
import { isObserved, KeyedCells, runFor, Source, type Observer } from '../model/tracking.js';
import type { Sameness } from './sameness.js';

/** How a result is computed and compared. */
export interface Plan {
  readonly compute: (site: Site, key: object) => unknown;
  readonly isSame: Sameness<unknown>;
  /** Whether it is brought up to date before its readers are told anything. */
  readonly isSettledFirst: boolean;
}

export function planOf<Key extends object, Value>(
  compute: (site: Site, key: Key) => Value,
  isSame: Sameness<Value>,
  when: 'on demand' | 'settled first',
): Plan {
  // A plan is asked only with keys and values of its own.
  return {
    compute: compute as (site: Site, key: object) => unknown,
    isSame: isSame as Sameness<unknown>,
    isSettledFirst: when === 'settled first',
  };
}

const graphs = new WeakMap<object, Graph>();

export function graphOf(site: Site): Graph | undefined {
  const { lasting } = site;
  if (lasting === undefined) {
    return undefined;
  }
  let graph = graphs.get(lasting);
  if (graph === undefined) {
    graph = new Graph(site);
    graphs.set(lasting, graph);
  }
  return graph;
}

/** Fewer results without a reader than this are never looked through. */
const fewestSwept = 4096;
/** A result without a reader is kept for so many refreshes after it was last asked for. */
const keptFor = 16;

/** What is brought up to date before anybody is told; the higher, the later. */
interface Unsettled {
  readonly height: number;
  refresh(): void;
}

export class Graph {
  /** Counts refreshes. */
  turn = 0;
  readonly #results = new Map<Plan, Map<object, Result>>();
  /** Results that nobody read when they were last looked at. */
  readonly #loose = new Set<Result>();
  #sweptAbove = fewestSwept;
  #unsettled: Unsettled[] = [];
  #isSettling = false;

  constructor(readonly site: Site) {}

  resultOf(plan: Plan, key: object): Result {
    let byKey = this.#results.get(plan);
    if (byKey === undefined) {
      byKey = new Map();
      this.#results.set(plan, byKey);
    }
    let result = byKey.get(key);
    if (result === undefined) {
      result = new Result(this, plan, key);
      byKey.set(key, result);
      if (!isObserved()) {
        this.#loose.add(result);
      }
    }
    return result;
  }

  forget(result: Result): void {
    const byKey = this.#results.get(result.plan);
    if (byKey?.get(result.key) === result) {
      byKey.delete(result.key);
    }
    this.#loose.delete(result);
  }

  becameLoose(result: Result): void {
    this.#loose.add(result);
  }

  mustSettle(unsettled: Unsettled): void {
    this.#unsettled.push(unsettled);
  }

  /** Brings results about the whole site up to date, those first that others of them are made from. */
  settle(): void {
    if (this.#isSettling || this.#unsettled.length === 0) {
      return;
    }
    this.#isSettling = true;
    try {
      while (this.#unsettled.length > 0) {
        const all = this.#unsettled;
        let first = 0;
        for (let index = 1; index < all.length; index++) {
          if (all[index]!.height < all[first]!.height) {
            first = index;
          }
        }
        const [unsettled] = all.splice(first, 1);
        unsettled!.refresh();
      }
    } finally {
      this.#isSettling = false;
    }
  }

  /** Drops results that nobody reads and that are stale or were not asked for lately. */
  sweep(): void {
    this.turn++;
    if (this.#loose.size <= this.#sweptAbove) {
      return;
    }
    // A set may grow while it is walked: what only a dropped result read is dropped with it.
    for (const result of this.#loose) {
      if (!result.isUnobserved) {
        this.#loose.delete(result);
      } else if (!result.isClean || result.usedAt < this.turn - keptFor) {
        result.dispose();
      }
    }
    this.#sweptAbove = Math.max(fewestSwept, 2 * this.#loose.size);
  }
}

/** What is done with a result beside telling its readers. */
interface Hooks {
  /** Called once, instead of telling its readers, when it must be brought up to date. */
  readonly marked: (result: Result) => void;
  readonly changed?: (value: unknown) => void;
}

type State = typeof clean | typeof uncertain | typeof dirty;
const clean = 0;
/** Something that it read may have changed. */
const uncertain = 1;
/** Something that it read has changed, or it was never computed. */
const dirty = 2;

let runs = 0;

export class Result extends Source implements Observer {
  usedAt = 0;
  #state: State = dirty;
  #value: unknown;
  #isNew = true;
  #hasNews = false;
  #sources: Source[] = [];
  #run = 0;

  constructor(
    readonly graph: Graph,
    readonly plan: Plan,
    readonly key: object,
    private readonly hooks?: Hooks,
  ) {
    super();
  }

  get isClean(): boolean {
    return this.#state === clean;
  }

  get(): unknown {
    this.graph.settle();
    this.refresh();
    this.usedAt = this.graph.turn;
    this.read();
    return this.#value;
  }

  /** Whether the value became another since this was asked last. */
  takeNews(): boolean {
    const hasNews = this.#hasNews;
    this.#hasNews = false;
    return hasNews;
  }

  refresh(): void {
    // Once is enough but where a result about the whole site changed underneath while this one ran.
    for (let round = 0; this.#state !== clean && round < 8; round++) {
      if (this.#state === uncertain) {
        this.#checkSources();
      }
      if (this.#state === dirty) {
        this.#compute();
      }
    }
  }

  dispose(): void {
    for (const source of this.#sources) {
      this.#releaseFrom(source);
    }
    this.#sources = [];
    this.#state = dirty;
    this.graph.forget(this);
  }

  note(source: Source): void {
    if (source.stamp !== this.#run) {
      source.stamp = this.#run;
      this.#sources.push(source);
    }
  }

  sourceChanged(): void {
    this.#mark(dirty);
  }

  sourceUncertain(): void {
    this.#mark(uncertain);
  }

  #mark(state: State): void {
    const before = this.#state;
    if (before >= state) {
      return;
    }
    this.#state = state;
    if (before !== clean) {
      return;
    }
    if (this.hooks !== undefined) {
      this.hooks.marked(this);
    } else if (this.plan.isSettledFirst && !this.isUnobserved) {
      this.graph.mustSettle(this);
    } else {
      this.eachObserver(tellUncertain);
    }
  }

  #checkSources(): void {
    for (const source of this.#sources) {
      if (source instanceof Result) {
        source.refresh();
        if (this.#state !== uncertain) {
          return;
        }
      }
    }
    this.#state = clean;
  }

  #compute(): void {
    const before = this.#sources;
    this.#sources = [];
    this.#run = ++runs;
    // Marked from now on means: by something that changed while this ran.
    this.#state = clean;
    let value: unknown;
    try {
      value = runFor(this, () => this.plan.compute(this.graph.site, this.key));
    } catch (error) {
      this.#link(before);
      this.#state = dirty;
      throw error;
    }
    this.#link(before);
    if (this.#isNew || !this.plan.isSame(this.#value, value)) {
      this.#isNew = false;
      this.#hasNews = true;
      this.#value = value;
      this.hooks?.changed?.(value);
      this.eachObserver(tellChanged);
    }
  }

  /** Observes what was read in this run and was not read before, and releases what no longer is. */
  #link(before: readonly Source[]): void {
    const now = this.#sources;
    if (now.length === before.length && now.every((source, index) => source === before[index])) {
      this.#sources = before as Source[];
      this.#lookAtResults();
      return;
    }
    // A source that two runs noted in turns can stand here twice.
    const seen = ++runs;
    const once: Source[] = [];
    for (const source of now) {
      if (source.stamp !== seen) {
        source.stamp = seen;
        once.push(source);
      }
    }
    const linked = ++runs;
    for (const source of before) {
      if (source.stamp === seen) {
        source.stamp = linked;
      } else if (source.stamp !== linked) {
        this.#releaseFrom(source);
      }
    }
    for (const source of once) {
      if (source.stamp !== linked) {
        source.observe(this);
      }
    }
    this.#sources = once;
    this.#lookAtResults();
  }

  #lookAtResults(): void {
    let height = 0;
    for (const source of this.#sources) {
      height = Math.max(height, source.height + 1);
      if (source instanceof Result && !source.isClean) {
        this.#mark(uncertain);
      }
    }
    this.height = height;
  }

  #releaseFrom(source: Source): void {
    source.release(this);
    if (source instanceof Result && source.isUnobserved) {
      this.graph.becameLoose(source);
    }
  }
}

function tellChanged(observer: Observer): void {
  observer.sourceChanged();
}

function tellUncertain(observer: Observer): void {
  observer.sourceUncertain();
}

/** A result about the whole site that is read one key at a time. */
export class Table<Key, Value> {
  readonly #cells = new KeyedCells<Key>();
  readonly #result: Result;
  #values: ReadonlyMap<Key, Value> = new Map();

  constructor(
    private readonly graph: Graph,
    compute: (site: Site) => ReadonlyMap<Key, Value>,
    private readonly isSame: Sameness<Value>,
  ) {
    const plan = planOf(compute, Object.is, 'settled first');
    this.#result = new Result(graph, plan, graph.site, {
      marked: (marked) => {
        graph.mustSettle(marked);
      },
      changed: (values) => {
        this.#become(values as ReadonlyMap<Key, Value>);
      },
    });
  }

  get(key: Key): Value | undefined {
    this.graph.settle();
    this.#result.refresh();
    this.#cells.read(key, this.#result.height + 1);
    return this.#values.get(key);
  }

  /** A value that is the same as before keeps its object, and whoever asked for it hears nothing. */
  #become(values: ReadonlyMap<Key, Value>): void {
    const before = this.#values;
    const now = new Map<Key, Value>();
    const changed: Key[] = [];
    for (const [key, value] of values) {
      const old = before.get(key);
      const isKept = before.has(key) && this.isSame(old as Value, value);
      now.set(key, isKept ? (old as Value) : value);
      if (!isKept) {
        changed.push(key);
      }
    }
    for (const key of before.keys()) {
      if (!now.has(key)) {
        changed.push(key);
      }
    }
    this.#values = now;
    changed.forEach((key) => {
      this.#cells.changed(key);
    });
  }
}
