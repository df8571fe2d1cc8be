/**
 * Who read what: the hook by which a computation learns what its result depends on.
 *
 * A {@link Source} is something that can be read and that can change. While an {@link Observer} runs,
 * every source that is read tells it so. Without an observer, reading costs one comparison.
 */

/** A computation that wants to know what it reads. */
export interface Observer {
  /** Called for each source that is read while this observer runs. */
  note(source: Source): void;
  /** Called when the value of a source that it read is another. */
  sourceChanged(): void;
  /** Called when a source that it read must be computed anew, so that it may be another. */
  sourceUncertain(): void;
}

let active: Observer | undefined;

/** Runs a computation so that all it reads is noted by an observer, or by nobody. */
export function runFor<Value>(observer: Observer | undefined, compute: () => Value): Value {
  const before = active;
  active = observer;
  try {
    return compute();
  } finally {
    active = before;
  }
}

/** Whether anybody wants to know what is read. */
export function isObserved(): boolean {
  return active !== undefined;
}

/** Observers up to this number are kept in an array: most sources have very few. */
const fewObservers = 8;

/** Something that can be read and that can change. */
export abstract class Source {
  /** The last run that noted this source; saves a look-up in what was noted already. */
  stamp = 0;
  /** Greater than that of everything it is made from. */
  height = 0;
  #observers: Observer[] | Set<Observer> = noObservers;

  get isUnobserved(): boolean {
    return (Array.isArray(this.#observers) ? this.#observers.length : this.#observers.size) === 0;
  }

  /** Tells the observer that runs, if any. */
  read(): void {
    active?.note(this);
  }

  observe(observer: Observer): void {
    const observers = this.#observers;
    if (!Array.isArray(observers)) {
      observers.add(observer);
    } else if (observers === noObservers) {
      this.#observers = [observer];
    } else if (observers.length < fewObservers) {
      observers.push(observer);
    } else {
      this.#observers = new Set(observers).add(observer);
    }
  }

  release(observer: Observer): void {
    const observers = this.#observers;
    if (!Array.isArray(observers)) {
      observers.delete(observer);
      return;
    }
    const index = observers.indexOf(observer);
    if (index >= 0) {
      observers[index] = observers[observers.length - 1]!;
      observers.pop();
    }
  }

  protected eachObserver(act: (observer: Observer) => void): void {
    // Telling an observer never changes who observes: links are made and cut only by computing.
    this.#observers.forEach(act);
  }
}

const noObservers: Observer[] = [];

/** A source without a value of its own: whoever holds the value says when it is another. */
export class Cell extends Source {
  changed(): void {
    this.eachObserver(tellChanged);
  }
}

function tellChanged(observer: Observer): void {
  observer.sourceChanged();
}

/** Cells by key, made when somebody who is observed reads the key for the first time. */
export class KeyedCells<Key> {
  readonly #cells = new Map<Key, Cell>();

  /** `height`: of what the values are made from, where they are computed. */
  read(key: Key, height = 0): void {
    if (active === undefined) {
      return;
    }
    let cell = this.#cells.get(key);
    if (cell === undefined) {
      cell = new Cell();
      this.#cells.set(key, cell);
    }
    cell.height = height;
    cell.read();
  }

  changed(key: Key): void {
    const cell = this.#cells.get(key);
    if (cell === undefined) {
      return;
    }
    // A long session reads many names that are gone again, letter by letter.
    if (cell.isUnobserved) {
      this.#cells.delete(key);
    } else {
      cell.changed();
    }
  }
}

/** A set of which each member is a source, so that one who asked for a member hears of that one alone. */
export class TrackedSet<Value> implements ReadonlySet<Value> {
  #values: ReadonlySet<Value> = new Set();
  readonly #members = new KeyedCells<Value>();
  readonly #whole = new Cell();
  readonly #emptiness = new Cell();

  /** Takes other members; those who asked for one that came or went are told. */
  become(values: ReadonlySet<Value>): void {
    const before = this.#values;
    this.#values = values;
    let isSame = true;
    const tell = (value: Value): void => {
      isSame = false;
      this.#members.changed(value);
    };
    before.forEach((value) => !values.has(value) && tell(value));
    values.forEach((value) => !before.has(value) && tell(value));
    if (!isSame) {
      this.#whole.changed();
    }
    if ((before.size === 0) !== (values.size === 0)) {
      this.#emptiness.changed();
    }
  }

  has(value: Value): boolean {
    this.#members.read(value);
    return this.#values.has(value);
  }

  /** Cheaper to depend on than the size. */
  get isEmpty(): boolean {
    this.#emptiness.read();
    return this.#values.size === 0;
  }

  get size(): number {
    this.#whole.read();
    return this.#values.size;
  }

  forEach(act: (value: Value, again: Value, set: ReadonlySet<Value>) => void): void {
    this.#whole.read();
    this.#values.forEach((value) => {
      act(value, value, this);
    });
  }

  entries(): SetIterator<[Value, Value]> {
    this.#whole.read();
    return this.#values.entries();
  }

  keys(): SetIterator<Value> {
    return this.values();
  }

  values(): SetIterator<Value> {
    this.#whole.read();
    return this.#values.values();
  }

  [Symbol.iterator](): SetIterator<Value> {
    return this.values();
  }
}
