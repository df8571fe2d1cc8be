/**
 * Random sites with many sources of energy, and a plain search over all paths from them: slow, and
 * written forwards, from the sources to the terminals, so that it shares nothing with the analysis.
 */
import fc from 'fast-check';
import type { Equipment, Inlet, LanPort, Outlet, Port } from '../../src/model/equipment.js';
import type {
  Board,
  Declaration,
  Device,
  InletLine,
  Isolator,
  Network,
} from '../../src/model/records.js';
import { buildSite } from '../../src/model/site.js';
import type { Site } from '../../src/model/site.js';
import type { Bus, Feed, Landing } from '../../src/model/wiring.js';

interface End {
  readonly owner: string;
  readonly member: string;
}

const share = fc.nat({ max: 999 });

/** Random sites: boards under boards, supplies behind supplies, batteries, feeds with two ends, buses, switches. */
export const energySites: fc.Arbitrary<Site> = fc
  .record({
    boards: fc.array(fc.record({ from: fc.option(share), ways: fc.integer({ min: 1, max: 2 }) }), {
      minLength: 1,
      maxLength: 3,
    }),
    isolators: fc.array(fc.record({ on: share, lockable: fc.boolean() }), { maxLength: 4 }),
    devices: fc.array(
      fc.record({
        inlets: fc.array(fc.option(share), { maxLength: 2 }),
        outlets: fc.array(fc.record({ stored: fc.boolean(), from: fc.option(share) }), {
          maxLength: 2,
        }),
        port: fc.constantFrom('none', 'gives', 'takes', 'signal'),
        bus: fc.nat({ max: 1 }),
        lan: fc.constantFrom('none', 'gives', 'takes'),
        lanFrom: share,
      }),
      { minLength: 1, maxLength: 5 },
    ),
    feeds: fc.array(
      fc.record({
        from: share,
        and: fc.option(share),
        inlets: fc.array(share, { minLength: 1, maxLength: 2 }),
      }),
      { maxLength: 3 },
    ),
  })
  .map((plan) => {
    const boardNames = plan.boards.map((_, index) => `DB-${index}`);
    const ways = plan.boards.flatMap((board, index) =>
      Array.from({ length: board.ways }, (_, way): End => ({
        owner: boardNames[index]!,
        member: `W${way}`,
      })),
    );
    const deviceNames = plan.devices.map((_, index) => `D-${index}`);
    const outlets = plan.devices.flatMap((device, index) =>
      device.outlets.map((_, number): End => ({
        owner: deviceNames[index]!,
        member: `o${number}`,
      })),
    );
    const points = [...ways, ...outlets];
    const inlets = plan.devices.flatMap((device, index) =>
      device.inlets.map((_, number): End => ({ owner: deviceNames[index]!, member: `i${number}` })),
    );
    const givers = plan.devices.flatMap((device, index) =>
      device.lan === 'gives' ? [{ owner: deviceNames[index]!, member: 'lan' }] : [],
    );
    const boards = plan.boards.map((board, index): Board => {
      // Each board hangs on a way of an earlier one, so that none feeds itself.
      const above = ways.filter(({ owner }) => boardNames.indexOf(owner) < index);
      const from = board.from === null ? undefined : pick(above, board.from);
      return {
        kind: 'board',
        name: boardNames[index]!,
        ...(from === undefined ? {} : { from }),
        existing: false,
        ways: Array.from({ length: board.ways }, (_, way) => ({
          name: `W${way}`,
          threePhase: false,
          existing: false,
        })),
      };
    });
    const equipment = plan.devices.map((device, index): Equipment => ({
      kind: 'equipment',
      name: `E-${index}`,
      role: 'other',
      inlets: device.inlets.map((_, number) => inlet(`i${number}`)),
      outlets: device.outlets.map((one, number) =>
        outlet(
          `o${number}`,
          one.stored,
          one.from === null || device.inlets.length === 0
            ? undefined
            : `i${one.from % device.inlets.length}`,
        ),
      ),
      ports: device.port === 'none' ? [] : [port(device.port)],
      lans: device.lan === 'none' ? [] : [lan(device.lan)],
      supervises: [],
      crossings: [],
      cautions: [],
    }));
    const devices = plan.devices.map((device, index): Device => ({
      kind: 'device',
      name: deviceNames[index]!,
      equipment: `E-${index}`,
      existing: false,
      main: false,
      addresses: [],
      inletLines: device.inlets.flatMap((from, number): InletLine[] =>
        from === null
          ? []
          : [
              {
                index: number,
                inlet: `i${number}`,
                from: pick(points, from)!,
                covered: false,
                existing: false,
              },
            ],
      ),
    }));
    const feeds = plan.feeds.flatMap((feed, index): Feed[] => {
      const from = pick(points, feed.from)!;
      const and = feed.and === null ? undefined : pick(points, feed.and);
      return inlets.length === 0
        ? []
        : [
            {
              kind: 'feed',
              name: `F-${index}`,
              from,
              ...(and === undefined ? {} : { and }),
              existing: false,
              landings: feed.inlets.map((one, number) => landing(number, pick(inlets, one)!)),
            },
          ];
    });
    const buses = [0, 1].map((number): Bus => ({
      kind: 'bus',
      name: `b-${number}`,
      busType: 'Link',
      existing: false,
      landings: plan.devices
        .flatMap((device, index) =>
          device.port !== 'none' && device.bus === number ? [deviceNames[index]!] : [],
        )
        .map((owner, index) => landing(index, { owner, member: 'p' })),
    }));
    const network: Network = {
      kind: 'network',
      name: 'N',
      routers: [],
      pools: [],
      laptops: [],
      hosts: plan.devices.flatMap((device, index) => {
        const from = pick(
          givers.filter(({ owner }) => owner !== deviceNames[index]),
          device.lanFrom,
        );
        return device.lan === 'takes' && from !== undefined
          ? [
              {
                index,
                device: deviceNames[index]!,
                lan: 'lan',
                dhcp: true,
                from,
                existing: false,
              },
            ]
          : [];
      }),
    };
    const isolators = plan.isolators.map((one, index): Isolator => ({
      kind: 'isolator',
      name: `Q-${index}`,
      on: pick(points, one.on)!,
      lockable: one.lockable,
      existing: false,
    }));
    const records: readonly Declaration[] = [
      { kind: 'bustype', name: 'Link', polarised: false, lengthLimitM: {} },
      ...equipment,
      ...boards,
      ...isolators,
      ...devices,
      ...buses,
      ...feeds,
      network,
    ];
    return buildSite(
      records.map((record) => ({ id: 'name' in record ? record.name : record.kind, record })),
    );
  });

/** What the search over all paths finds for some devices. */
export interface PathResult {
  /** The nearest lockable points of all paths, sorted. */
  readonly points: readonly string[];
  /** Sources with a path without a lockable point, sorted. */
  readonly unlockable: readonly string[];
  /** Whether anything feeds itself, over whatever steps. */
  readonly isCyclic: boolean;
}

/** Follows every simple path from every source to every terminal in the enclosures. */
export function searchAllPaths(site: Site, devices: readonly Device[]): PathResult {
  const graph = new ForwardGraph(site);
  const targets = new Set(devices.map((device) => device.name));
  const points = new Set<string>();
  const unlockable = new Set<string>();
  const follow = (
    node: string,
    path: ReadonlySet<string>,
    nearest: readonly string[],
    source: string,
  ): void => {
    const locks = graph.locks.get(node) ?? nearest;
    const owner = graph.terminalOf.get(node);
    if (owner !== undefined && targets.has(owner)) {
      if (locks.length === 0) {
        unlockable.add(source);
      }
      locks.forEach((lock) => points.add(lock));
    }
    for (const next of graph.edges.get(node) ?? []) {
      if (!path.has(next)) {
        follow(next, new Set([...path, next]), locks, source);
      }
    }
  };
  for (const [node, source] of graph.sources) {
    follow(node, new Set([node]), [], source);
  }
  return {
    points: [...points].sort(),
    unlockable: [...unlockable].sort(),
    isCyclic: graph.isCyclic(),
  };
}

/** Whether any source still reaches a terminal in the enclosures while some points are open. */
export function isLive(site: Site, devices: readonly Device[], open: ReadonlySet<string>): boolean {
  const graph = new ForwardGraph(site);
  const targets = new Set(devices.map((device) => device.name));
  const reached = new Set<string>();
  const enter = (node: string): void => {
    const locks = graph.locks.get(node) ?? [];
    if (locks.length === 0 || locks.some((lock) => !open.has(lock))) {
      reached.add(node);
    }
  };
  graph.sources.forEach((_, node) => enter(node));
  for (const node of reached) {
    // A set may grow while it is walked, so this loop reaches everything that is live.
    (graph.edges.get(node) ?? []).forEach(enter);
  }
  return [...reached].some((node) => targets.has(graph.terminalOf.get(node) ?? ''));
}

/** The lockable points of a site that stand at more than one place, and all of them. */
export function pointsOf(site: Site): {
  readonly all: readonly string[];
  readonly twice: readonly string[];
} {
  const graph = new ForwardGraph(site);
  const counted = new Map<string, number>();
  for (const lock of [...graph.locks.values()].flat()) {
    counted.set(lock, (counted.get(lock) ?? 0) + 1);
  }
  return {
    all: [...counted.keys()].sort(),
    twice: [...counted].filter(([, count]) => count > 1).map(([name]) => name),
  };
}

/** Fewest points that cut all sources off, by the flow that just fills them (Ford and Fulkerson); Infinity where one cannot be cut. */
export function leastCut(site: Site, devices: readonly Device[]): number {
  const graph = new ForwardGraph(site);
  const targets = new Set(devices.map((device) => device.name));
  const capacity = new Map<string, Map<string, number>>();
  const add = (from: string, to: string, amount: number): void => {
    const row = capacity.get(from) ?? new Map<string, number>();
    capacity.set(from, row.set(to, (row.get(to) ?? 0) + amount));
    const back = capacity.get(to) ?? new Map<string, number>();
    capacity.set(to, back.set(from, back.get(from) ?? 0));
  };
  const nodes = new Set([
    ...graph.edges.keys(),
    ...[...graph.edges.values()].flat(),
    ...graph.sources.keys(),
  ]);
  for (const node of nodes) {
    const locks = graph.locks.get(node)?.length ?? 0;
    add(`${node} in`, `${node} out`, locks === 0 ? Number.POSITIVE_INFINITY : locks);
    (graph.edges.get(node) ?? []).forEach((next) =>
      add(`${node} out`, `${next} in`, Number.POSITIVE_INFINITY),
    );
    if (graph.sources.has(node)) {
      add('start', `${node} in`, Number.POSITIVE_INFINITY);
    }
    if (targets.has(graph.terminalOf.get(node) ?? '')) {
      add(`${node} out`, 'end', Number.POSITIVE_INFINITY);
    }
  }
  for (let flow = 0; ; flow += 1) {
    if (flow > 100) {
      return Number.POSITIVE_INFINITY;
    }
    const before = new Map<string, string>([['start', '']]);
    for (const [node] of before) {
      capacity.get(node)?.forEach((left, next) => {
        if (left > 0 && !before.has(next)) {
          before.set(next, node);
        }
      });
    }
    if (!before.has('end')) {
      return flow;
    }
    for (let node = 'end'; node !== 'start'; node = before.get(node)!) {
      const from = before.get(node)!;
      const row = capacity.get(from)!;
      const back = capacity.get(node)!;
      row.set(node, row.get(node)! - 1);
      back.set(from, back.get(from)! + 1);
    }
  }
}

class ForwardGraph {
  readonly edges = new Map<string, string[]>();
  /** Nodes at which energy is locked away, with what is opened there. */
  readonly locks = new Map<string, readonly string[]>();
  /** Terminal → device whose enclosure it is in. */
  readonly terminalOf = new Map<string, string>();
  /** Node → name of the source. */
  readonly sources = new Map<string, string>();

  constructor(site: Site) {
    this.#boards(site);
    this.#feedsAndLines(site);
    for (const device of site.devices.values()) {
      this.#inside(site, device);
    }
    this.#buses(site);
    this.#networks(site);
    this.#isolators(site);
  }

  isCyclic(): boolean {
    const done = new Set<string>();
    const visit = (node: string, path: ReadonlySet<string>): boolean => {
      if (path.has(node)) {
        return true;
      }
      if (done.has(node)) {
        return false;
      }
      const onward = new Set([...path, node]);
      const found = (this.edges.get(node) ?? []).some((next) => visit(next, onward));
      done.add(node);
      return found;
    };
    return [...this.edges.keys()].some((node) => visit(node, new Set()));
  }

  #edge(from: string, to: string): void {
    this.edges.set(from, [...(this.edges.get(from) ?? []), to]);
  }

  #boards(site: Site): void {
    for (const board of site.boards.values()) {
      const bar = `bar ${board.name}`;
      if (board.from === undefined) {
        this.sources.set(bar, board.name);
      } else {
        this.#edge(`after ${nameOfEnd(board.from)}`, bar);
      }
      for (const way of board.ways) {
        const name = `${board.name}.${way.name}`;
        this.#edge(bar, `point ${name}`);
        this.#edge(`point ${name}`, `after ${name}`);
        this.locks.set(`point ${name}`, [name]);
      }
    }
  }

  #feedsAndLines(site: Site): void {
    for (const feed of site.feeds.values()) {
      const ends = [feed.from, ...(feed.and === undefined ? [] : [feed.and])];
      for (const end of ends) {
        for (const one of feed.landings) {
          this.#edge(`after ${nameOfEnd(end)}`, `inlet ${one.device}.${one.member}`);
        }
        for (const other of ends) {
          if (nameOfEnd(other) !== nameOfEnd(end) && site.devices.has(other.owner)) {
            // Backwards over the other end's isolators to the terminals of its outlet.
            this.#edge(`after ${nameOfEnd(end)}`, `back to ${nameOfEnd(other)}`);
            this.terminalOf.set(`back to ${nameOfEnd(other)}`, other.owner);
          }
        }
      }
    }
    for (const device of site.devices.values()) {
      for (const line of device.inletLines) {
        this.#edge(`after ${nameOfEnd(line.from)}`, `inlet ${device.name}.${line.inlet}`);
      }
    }
  }

  #inside(site: Site, device: Device): void {
    const equipment = site.equipment.get(device.equipment)!;
    const inlets = equipment.inlets.map((one) => `inlet ${device.name}.${one.name}`);
    const takers = [
      ...equipment.ports
        .filter((one) => one.takes !== undefined)
        .map((one) => `port ${device.name}.${one.name}`),
      ...equipment.lans
        .filter((one) => one.takesPoeClass !== undefined)
        .map((one) => `socket ${device.name}.${one.name}`),
    ];
    inlets.forEach((node) => this.terminalOf.set(node, device.name));
    for (const one of equipment.outlets) {
      const node = `point ${device.name}.${one.name}`;
      this.#edge(node, `after ${device.name}.${one.name}`);
      const only = one.fromInlet ?? (inlets.length === 1 ? equipment.inlets[0]!.name : undefined);
      const feeding =
        only === undefined ? [...inlets, ...takers] : [`inlet ${device.name}.${only}`];
      feeding.forEach((from) => this.#edge(from, node));
      if (one.stored) {
        this.sources.set(node, `${device.name}.${one.name}`);
      }
    }
    for (const one of equipment.ports) {
      this.terminalOf.set(`port ${device.name}.${one.name}`, device.name);
      if (one.gives !== undefined) {
        [...inlets, ...takers].forEach((from) =>
          this.#edge(from, `given ${device.name}.${one.name}`),
        );
      }
    }
    for (const one of equipment.lans) {
      this.terminalOf.set(`socket ${device.name}.${one.name}`, device.name);
      if (one.givesPoeClass !== undefined) {
        const node = `given ${device.name}.${one.name}`;
        [...inlets, ...takers].forEach((from) => this.#edge(from, node));
        if (inlets.length + takers.length === 0) {
          this.sources.set(node, `${device.name}.${one.name}`);
        }
      }
    }
  }

  #buses(site: Site): void {
    for (const bus of site.buses.values()) {
      const names = bus.landings.map((one) => `${one.device}.${one.member}`);
      for (const giver of names) {
        for (const other of names) {
          if (giver !== other) {
            this.#edge(`given ${giver}`, `port ${other}`);
          }
        }
      }
    }
  }

  #networks(site: Site): void {
    for (const network of site.networks.values()) {
      for (const host of network.hosts) {
        if (host.from !== undefined) {
          this.#edge(`given ${nameOfEnd(host.from)}`, `socket ${host.device}.${host.lan}`);
        }
      }
    }
  }

  #isolators(site: Site): void {
    const byPoint = new Map<string, string[]>();
    for (const isolator of site.isolators.values()) {
      if (isolator.lockable) {
        const name = nameOfEnd(isolator.on);
        byPoint.set(name, [...(byPoint.get(name) ?? []), isolator.name]);
      }
    }
    for (const [name, isolators] of byPoint) {
      this.locks.set(`after ${name}`, isolators);
      this.locks.set(`back to ${name}`, isolators);
    }
  }
}

function nameOfEnd({ owner, member }: End): string {
  return `${owner}.${member}`;
}

function pick<Item>(items: readonly Item[], number: number): Item | undefined {
  return items[number % Math.max(1, items.length)];
}

function inlet(name: string): Inlet {
  return {
    name,
    threePhase: false,
    terminals: [],
    dedicated: false,
    exposed: false,
    optional: false,
    isolates: false,
    doubleInsulated: false,
  };
}

function outlet(name: string, stored: boolean, fromInlet: string | undefined): Outlet {
  return {
    name,
    threePhase: false,
    terminals: [],
    class2: false,
    selv: false,
    pelv: false,
    stored,
    decoupled: false,
    ...(fromInlet === undefined ? {} : { fromInlet }),
  };
}

function port(kind: 'gives' | 'takes' | 'signal'): Port {
  return {
    name: 'p',
    busType: 'Link',
    terminals: [],
    ...(kind === 'gives' ? { gives: { voltage: { volts: 15, kind: 'dc' } } } : {}),
    ...(kind === 'takes' ? { takes: { currentA: 0.01 } } : {}),
  };
}

function lan(kind: 'gives' | 'takes'): LanPort {
  return {
    name: 'lan',
    httpsOnly: false,
    ...(kind === 'gives' ? { givesPoeClass: 4 } : { takesPoeClass: 3 }),
  };
}

function landing(index: number, { owner, member }: End): Landing {
  return {
    index,
    device: owner,
    member,
    ...(index === 0 ? {} : { from: index - 1 }),
    opensSpur: false,
    terminated: false,
    bonded: false,
    covered: false,
    existing: false,
  };
}
