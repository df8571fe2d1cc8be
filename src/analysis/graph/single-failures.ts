/**
 * Which single failures take what down, for everything at once.
 *
 * A thing works when all of its needs work, or when any of its ways works; both kinds may be
 * mixed. Where only "any" stands between a source and a thing, the failures that take it down are
 * its dominators, kept as a chain of parents (the iteration of Cooper, Harvey and Kennedy). Where
 * "all" joins several chains the failures are their union, and where "any" joins such unions their
 * intersection, kept as a set.
 */

/** A number that stands for a node. */
export type NodeId = number;

interface Node {
  readonly how: 'any' | 'all';
  /** Index of what fails here; −1 where nothing does. */
  readonly element: number;
  readonly needs: NodeId[];
}

/** What works through what. */
export class DependencyGraph {
  readonly #nodes: Node[] = [];
  readonly #elements = new Map<string, number>();

  /** A node that works when any of what it is given works; without any it never works. */
  any(element?: string): NodeId {
    return this.#add('any', element);
  }

  /** A node that works when all of what it is given works; without any it is a source. */
  all(element?: string): NodeId {
    return this.#add('all', element);
  }

  give(node: NodeId, need: NodeId): void {
    this.#nodes[node]!.needs.push(need);
  }

  solve(): SingleFailures {
    return new SingleFailures(this.#nodes, this.#elements);
  }

  /** For questions about several failures at once. */
  together(): JointFailures {
    return new JointFailures(this.#nodes, this.#elements);
  }

  #add(how: Node['how'], element: string | undefined): NodeId {
    this.#nodes.push({ how, element: this.#indexOf(element), needs: [] });
    return this.#nodes.length - 1;
  }

  #indexOf(element: string | undefined): number {
    if (element === undefined) {
      return -1;
    }
    const known = this.#elements.get(element) ?? this.#elements.size;
    this.#elements.set(element, known);
    return known;
  }
}

/**
 * What still works when several things fail at once. A question costs what lies behind the failures,
 * and not the whole graph.
 */
export class JointFailures {
  readonly #nodes: readonly Node[];
  readonly #users: readonly (readonly NodeId[])[];
  readonly #nodesOf = new Map<string, readonly NodeId[]>();
  readonly #intact: ReadonlySet<NodeId>;

  constructor(nodes: readonly Node[], elements: ReadonlyMap<string, number>) {
    this.#nodes = nodes;
    const users: NodeId[][] = nodes.map(() => []);
    const byElement: NodeId[][] = [...elements].map(() => []);
    nodes.forEach(({ needs, element }, node) => {
      needs.forEach((need) => users[need]!.push(node));
      byElement[element]?.push(node);
    });
    this.#users = users;
    elements.forEach((index, element) => this.#nodesOf.set(element, byElement[index]!));
    this.#intact = this.#start(
      nodes.map((_, node) => node),
      () => false,
    );
  }

  /** The nodes that worked before and work no more once all of these have failed. */
  lostWith(elements: readonly string[]): ReadonlySet<NodeId> {
    const failed = new Set(elements.flatMap((element) => this.#nodesOf.get(element) ?? []));
    const touched = new Set(failed);
    for (const node of touched) {
      for (const user of this.#users[node]!) {
        // A set may grow while it is walked, so this loop reaches everything that rests on it.
        if (this.#intact.has(user)) {
          touched.add(user);
        }
      }
    }
    const inDoubt = [...touched].filter((node) => !failed.has(node));
    const working = this.#start(inDoubt, (node) => !touched.has(node) && this.#intact.has(node));
    return new Set([...touched].filter((node) => this.#intact.has(node) && !working.has(node)));
  }

  works(node: NodeId): boolean {
    return this.#intact.has(node);
  }

  /** Those of some nodes that can be started up from what works anyway. */
  #start(nodes: readonly NodeId[], worksAnyway: (node: NodeId) => boolean): ReadonlySet<NodeId> {
    const waitingFor = new Map<NodeId, number>();
    const working = new Set<NodeId>();
    for (const node of nodes) {
      const { how, needs } = this.#nodes[node]!;
      const met = needs.filter(worksAnyway).length;
      const waiting = how === 'all' ? needs.length - met : met > 0 ? 0 : 1;
      waitingFor.set(node, waiting);
      if (waiting === 0) {
        working.add(node);
      }
    }
    for (const node of working) {
      for (const user of this.#users[node]!) {
        const waiting = waitingFor.get(user);
        if (waiting !== undefined && waiting > 0) {
          waitingFor.set(user, waiting - 1);
          if (waiting === 1) {
            working.add(user);
          }
        }
      }
    }
    return working;
  }
}

/** No failure but a node's own takes it down. */
const NOTHING = -1;

/** What takes a node of kind "any" down: what takes its parent down, a set of failures, or nothing. */
type Cause = NodeId | ReadonlySet<number>;

/** The solved graph. */
export class SingleFailures {
  readonly #nodes: readonly Node[];
  readonly #elements: ReadonlyMap<string, number>;
  /** Working nodes from the sources on; what a node rests on comes before it. */
  readonly #order: readonly NodeId[];
  /** By node its place in that order; −1 for one that does not work at all. */
  readonly #rank: Int32Array;
  readonly #cause: Cause[];
  readonly #restingOn: (readonly NodeId[])[];
  readonly #nodesOf: NodeId[][] = [];

  constructor(nodes: readonly Node[], elements: ReadonlyMap<string, number>) {
    this.#nodes = nodes;
    this.#elements = elements;
    this.#rank = new Int32Array(nodes.length).fill(-1);
    this.#order = this.#start();
    this.#cause = nodes.map(() => NOTHING);
    this.#settle();
    this.#restingOn = this.#invert();
  }

  /** Whether a node works while nothing fails. */
  works(node: NodeId): boolean {
    return this.#rank[node]! >= 0;
  }

  /** The nodes that work no more when something fails, in no particular order. */
  lostWith(element: string): ReadonlySet<NodeId> {
    const index = this.#elements.get(element);
    const lost = new Set<NodeId>(index === undefined ? [] : this.#nodesOf[index]);
    for (const node of lost) {
      for (const next of this.#restingOn[node]!) {
        // A set may grow while it is walked, so this loop reaches everything that rests on it.
        lost.add(next);
      }
    }
    return lost;
  }

  /** Everything whose failure takes a node down. */
  #failuresOf(node: NodeId): ReadonlySet<number> {
    const failures = new Set<number>();
    const seen = new Set<NodeId>([node]);
    for (const one of seen) {
      const { how, element, needs } = this.#nodes[one]!;
      const cause = this.#cause[one]!;
      if (element >= 0) {
        failures.add(element);
      }
      if (how === 'all') {
        needs.forEach((need) => seen.add(need));
      } else if (typeof cause !== 'number') {
        cause.forEach((each) => failures.add(each));
      } else if (cause !== NOTHING) {
        seen.add(cause);
      }
    }
    return failures;
  }

  /** Starts everything up from the sources. */
  #start(): readonly NodeId[] {
    const waitingFor = this.#nodes.map(({ how, needs }) => (how === 'all' ? needs.length : 1));
    const users: NodeId[][] = this.#nodes.map(() => []);
    const order: NodeId[] = [];
    this.#nodes.forEach(({ how, needs }, node) => {
      needs.forEach((need) => users[need]!.push(node));
      if (how === 'all' && needs.length === 0) {
        order.push(node);
      }
    });
    for (let next = 0; next < order.length; next += 1) {
      const node = order[next]!;
      this.#rank[node] = next;
      for (const user of users[node]!) {
        waitingFor[user]! -= 1;
        if (waitingFor[user] === 0) {
          order.push(user);
        }
      }
    }
    return order;
  }

  /** Narrows the causes down until they hold; more than two rounds are rare. */
  #settle(): void {
    const isKnown = this.#nodes.map(() => false);
    for (let changed = true; changed;) {
      changed = false;
      for (const node of this.#order) {
        const { how, needs } = this.#nodes[node]!;
        if (how === 'any') {
          const ways = needs.filter((need) => isKnown[need]!);
          const cause = ways
            .slice(1)
            .reduce<Cause>((common, way) => this.#common(common, way), ways[0]!);
          changed = !isKnown[node] || !sameCause(cause, this.#cause[node]!) || changed;
          this.#cause[node] = cause;
        }
        isKnown[node] = true;
      }
    }
  }

  /** What takes both down. */
  #common(one: Cause, other: NodeId): Cause {
    if (one === NOTHING) {
      return NOTHING;
    }
    if (typeof one === 'number') {
      const met = this.#meet(one, other);
      if (met !== undefined) {
        return met;
      }
    }
    const left = typeof one === 'number' ? this.#failuresOf(one) : one;
    const right = this.#failuresOf(other);
    const both = new Set([...left].filter((element) => right.has(element)));
    return both.size === 0 ? NOTHING : both;
  }

  /** The node in which two chains of parents meet; undefined where a chain ends in a union. */
  #meet(one: NodeId, other: NodeId): NodeId | undefined {
    let left = one;
    let right = other;
    while (left !== right) {
      if (this.#rank[left]! < this.#rank[right]!) {
        [left, right] = [right, left];
      }
      const parent = this.#parentOf(left);
      if (parent === undefined) {
        return undefined;
      }
      if (parent === NOTHING) {
        // Whatever else the other chain holds may fail under another node in this one.
        return this.#endsInSource(right) ? NOTHING : undefined;
      }
      left = parent;
    }
    return left;
  }

  #endsInSource(node: NodeId): boolean {
    let last: NodeId | undefined = node;
    while (last !== undefined && last !== NOTHING) {
      last = this.#parentOf(last);
    }
    return last === NOTHING;
  }

  /** The one node that a node rests on; undefined where it rests on several. */
  #parentOf(node: NodeId): NodeId | undefined {
    const { how, needs } = this.#nodes[node]!;
    if (how === 'all') {
      return needs.length > 1 ? undefined : (needs[0] ?? NOTHING);
    }
    const cause = this.#cause[node]!;
    return typeof cause === 'number' ? cause : undefined;
  }

  /** For each node those that go down with it. */
  #invert(): (readonly NodeId[])[] {
    const restingOn: NodeId[][] = this.#nodes.map(() => []);
    for (const node of this.#order) {
      const { how, element, needs } = this.#nodes[node]!;
      const cause = this.#cause[node]!;
      if (element >= 0) {
        this.#listOf(element).push(node);
      }
      if (how === 'all') {
        needs.forEach((need) => restingOn[need]!.push(node));
      } else if (typeof cause !== 'number') {
        cause.forEach((each) => this.#listOf(each).push(node));
      } else if (cause !== NOTHING) {
        restingOn[cause]!.push(node);
      }
    }
    return restingOn;
  }

  #listOf(element: number): NodeId[] {
    return (this.#nodesOf[element] ??= []);
  }
}

function sameCause(one: Cause, other: Cause): boolean {
  return typeof one === 'number' || typeof other === 'number'
    ? one === other
    : one.size === other.size;
}
