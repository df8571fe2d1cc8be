/**
 * The tables of a site that changes in place. Each is changed by taking out and putting in, and then
 * told to compare what it gives now with what it gave before, so that only true changes are heard.
 */
import { Cell, KeyedCells } from './tracking.js';

/** A map of which every key is a source. It is walked in the order of the text. */
abstract class TrackedMap<Value> implements ReadonlyMap<string, Value> {
  protected readonly cells = new KeyedCells<string>();
  /** Told when any value is another. */
  protected readonly whole = new Cell();
  /** Told when keys came, went or changed their order. */
  protected readonly order = new Cell();

  abstract inOrder(): ReadonlyMap<string, Value>;
  protected abstract valueOf(key: string): Value | undefined;
  protected abstract count(): number;

  get(key: string): Value | undefined {
    this.cells.read(key);
    return this.valueOf(key);
  }

  has(key: string): boolean {
    return this.get(key) !== undefined;
  }

  get size(): number {
    this.order.read();
    return this.count();
  }

  keys(): MapIterator<string> {
    this.order.read();
    return this.inOrder().keys();
  }

  values(): MapIterator<Value> {
    this.whole.read();
    return this.inOrder().values();
  }

  entries(): MapIterator<[string, Value]> {
    this.whole.read();
    return this.inOrder().entries();
  }

  [Symbol.iterator](): MapIterator<[string, Value]> {
    return this.entries();
  }

  forEach(act: (value: Value, key: string, map: ReadonlyMap<string, Value>) => void): void {
    this.whole.read();
    this.inOrder().forEach((value, key) => {
      act(value, key, this);
    });
  }
}

/** One value for each name. */
export class Records<Value> extends TrackedMap<Value> {
  readonly #values = new Map<string, Value>();
  readonly #before = new Map<string, Value | undefined>();
  #inOrder: Map<string, Value> | undefined;

  /** `compare`: which of two names stands first; left out: the order in which `become` gives them. */
  constructor(private readonly compare?: (one: string, other: string) => number) {
    super();
  }

  put(name: string, value: Value): void {
    this.#touch(name);
    this.#values.set(name, value);
  }

  remove(name: string): void {
    this.#touch(name);
    this.#values.delete(name);
  }

  /** Ends a change: whoever asked for something that is another now is told. */
  tell(isTextReordered: boolean): void {
    let isReordered = isTextReordered;
    let isChanged = false;
    for (const [name, before] of this.#before) {
      const now = this.#values.get(name);
      if (now === before) {
        continue;
      }
      isChanged = true;
      // A name can stay where it is and become one of another kind.
      isReordered ||= now === undefined || before === undefined;
      if (now !== undefined) {
        this.#inOrder?.set(name, now);
      }
      this.cells.changed(name);
    }
    this.#before.clear();
    if (isReordered) {
      this.#inOrder = undefined;
      this.order.changed();
    }
    if (isReordered || isChanged) {
      this.whole.changed();
    }
  }

  /** Takes all values anew; those that are the same keep their object. */
  become(values: ReadonlyMap<string, Value>, isSame: (one: Value, other: Value) => boolean): void {
    const kept = new Map(this.#values);
    for (const name of kept.keys()) {
      if (!values.has(name)) {
        this.remove(name);
      }
    }
    const inOrder = new Map<string, Value>();
    for (const [name, value] of values) {
      const old = kept.get(name);
      const isKept = old !== undefined && isSame(old, value);
      inOrder.set(name, isKept ? old : value);
      if (!isKept) {
        this.put(name, value);
      }
    }
    const order = [...kept.keys()];
    const isReordered =
      order.length !== inOrder.size ||
      [...inOrder.keys()].some((name, index) => name !== order[index]);
    this.#values.clear();
    inOrder.forEach((value, name) => this.#values.set(name, value));
    this.tell(isReordered);
    this.#inOrder = inOrder;
  }

  /** All values in the order of the text, without telling anybody that they were read. */
  inOrder(): ReadonlyMap<string, Value> {
    const { compare } = this;
    this.#inOrder ??= new Map(
      compare === undefined
        ? this.#values
        : [...this.#values].sort(([one], [other]) => compare(one, other)),
    );
    return this.#inOrder;
  }

  protected valueOf(name: string): Value | undefined {
    return this.#values.get(name);
  }

  protected count(): number {
    return this.#values.size;
  }

  #touch(name: string): void {
    if (!this.#before.has(name)) {
      this.#before.set(name, this.#values.get(name));
    }
  }
}

/** A list for each key, of what declarations contribute to it. */
export class Lists<Item extends object> extends TrackedMap<readonly Item[]> {
  readonly #lists = new Map<string, readonly Item[]>();
  readonly #changes = new Map<string, { readonly left: Set<object>; readonly joined: Item[] }>();

  #inOrder: ReadonlyMap<string, readonly Item[]> | undefined;

  /**
   * `keysInOrder`: the keys as the text gives them; `ownerOf`: the record that contributes an item; `compare`: the order of items, in which those of one
   * owner are equal and keep the order in which they join.
   */
  constructor(
    private readonly keysInOrder: () => Iterable<string>,
    private readonly ownerOf: (item: Item) => object,
    private readonly compare: (one: Item, other: Item) => number,
    private readonly isSame: (one: Item, other: Item) => boolean,
  ) {
    super();
  }

  join(key: string, item: Item): void {
    this.#changeOf(key).joined.push(item);
  }

  leave(key: string, item: Item): void {
    this.#changeOf(key).left.add(this.ownerOf(item));
  }

  /** Ends a change: lists of which an item is another or stands elsewhere are told. */
  tell(isReordered: boolean): void {
    if (this.#changes.size === 0) {
      return;
    }
    this.#inOrder = undefined;
    if (isReordered) {
      this.order.changed();
      this.whole.changed();
    }
    for (const [key, { left, joined }] of this.#changes) {
      const before = this.#lists.get(key) ?? noItems;
      const now = this.#merged(before, left, joined);
      if (now.length === before.length && now.every((item, index) => item === before[index])) {
        continue;
      }
      if (now.length === 0) {
        this.#lists.delete(key);
      } else {
        this.#lists.set(key, now);
      }
      // The order of keys goes by who contributes first, and that may be another now.
      this.order.changed();
      this.cells.changed(key);
      this.whole.changed();
    }
    this.#changes.clear();
  }

  inOrder(): ReadonlyMap<string, readonly Item[]> {
    this.#inOrder ??= new Map([...this.keysInOrder()].map((key) => [key, this.#lists.get(key)!]));
    return this.#inOrder;
  }

  protected valueOf(key: string): readonly Item[] | undefined {
    return this.#lists.get(key);
  }

  protected count(): number {
    return this.#lists.size;
  }

  #merged(
    before: readonly Item[],
    left: ReadonlySet<object>,
    joined: readonly Item[],
  ): readonly Item[] {
    const gone: Item[] = [];
    const kept: Item[] = [];
    for (const item of before) {
      (left.has(this.ownerOf(item)) ? gone : kept).push(item);
    }
    const items = joined.map((item) => gone.find((old) => this.isSame(old, item)) ?? item);
    if (items.length > 1) {
      items.sort(this.compare);
    }
    if (kept.length === 0) {
      return items;
    }
    if (items.length * 8 > kept.length) {
      return [...kept, ...items].sort(this.compare);
    }
    for (const item of items) {
      kept.splice(this.#placeIn(kept, item), 0, item);
    }
    return kept;
  }

  /** The index behind the last item that does not come after this one. */
  #placeIn(items: readonly Item[], item: Item): number {
    let low = 0;
    let high = items.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.compare(items[middle]!, item) <= 0) {
        low = middle + 1;
      } else {
        high = middle;
      }
    }
    return low;
  }

  #changeOf(key: string) {
    let change = this.#changes.get(key);
    if (change === undefined) {
      change = { left: new Set(), joined: [] };
      this.#changes.set(key, change);
    }
    return change;
  }
}

const noItems: readonly never[] = [];

/** Names that are used so often. Who asks for one hears when its first use comes or its last one goes. */
export class CountedNames implements ReadonlySet<string> {
  readonly #counts = new Map<string, number>();
  readonly #before = new Map<string, boolean>();
  readonly #cells = new KeyedCells<string>();
  readonly #whole = new Cell();

  add(name: string): void {
    this.#change(name, 1);
  }

  remove(name: string): void {
    this.#change(name, -1);
  }

  tell(): void {
    for (const [name, before] of this.#before) {
      if (this.#counts.has(name) !== before) {
        this.#cells.changed(name);
        this.#whole.changed();
      }
    }
    this.#before.clear();
  }

  has(name: string): boolean {
    this.#cells.read(name);
    return this.#counts.has(name);
  }

  get size(): number {
    this.#whole.read();
    return this.#counts.size;
  }

  forEach(act: (name: string, again: string, set: ReadonlySet<string>) => void): void {
    for (const name of this.values()) {
      act(name, name, this);
    }
  }

  *entries(): SetIterator<[string, string]> {
    for (const name of this.values()) {
      yield [name, name];
    }
  }

  keys(): SetIterator<string> {
    return this.values();
  }

  values(): SetIterator<string> {
    this.#whole.read();
    return this.#counts.keys();
  }

  [Symbol.iterator](): SetIterator<string> {
    return this.values();
  }

  #change(name: string, by: number): void {
    const count = this.#counts.get(name) ?? 0;
    if (!this.#before.has(name)) {
      this.#before.set(name, count > 0);
    }
    if (count + by === 0) {
      this.#counts.delete(name);
    } else {
      this.#counts.set(name, count + by);
    }
  }
}
