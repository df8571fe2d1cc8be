/**
 * Which energy reaches a device, and where it is locked away from it.
 *
 * Sources are the incomers of boards, stored outlets and switches that feed others over their
 * network sockets without being fed themselves. Energy goes through ways, outlets, feeds, lines,
 * giving ports and network sockets; a line counts wherever it ends, also on an inlet that the
 * equipment does not have. An inlet that `isolates` is a local switch without a lock. For work in an enclosure, every path from every source needs a
 * lockable point outside of it (29 CFR 1910.333(b)(2)); controllers and outputs never count.
 */
import type { Equipment } from '../../model/equipment.js';
import type { Place } from '../../model/origin.js';
import { placeOf } from '../../model/origin.js';
import type { Device } from '../../model/records.js';
import {
  compareNames,
  equipmentOf,
  inletOfOutlet,
  memberKey,
  resolveLan,
  resolvePowerPoint,
  roomOf,
} from '../../model/site.js';
import type { PlacedRoom, PowerPoint, Site } from '../../model/site.js';
import { segmentOf } from '../bus/segment.js';
import { memoised } from '../memo.js';
import { feedEnds } from '../power/consumers.js';
import { missingInlets } from '../power/missing.js';

/** Where it is said that lockable points on every path are needed. */
export const ISOLATION_SOURCE = '29 CFR 1910.333(b)(2)';

/** A place where energy is cut and the switch locked. */
export interface IsolationPoint {
  /** `DB-1.W7`, or the name of an isolator. */
  readonly name: string;
  readonly kind: 'way' | 'isolator';
  readonly room: PlacedRoom | undefined;
  readonly at: Place;
}

/** Where energy comes from. */
export interface EnergySource {
  /** A board, an outlet, or the network socket of a switch. */
  readonly name: string;
  readonly kind: 'incomer' | 'stored' | 'network';
  readonly at: Place;
}

/** What isolates the enclosures of one or more devices. Lists are sorted by name. */
export interface Isolation {
  /** On every path the nearest lockable point outside the enclosures: all of them are opened and locked. */
  readonly points: readonly IsolationPoint[];
  /** Lockable points further up. */
  readonly alternatives: readonly IsolationPoint[];
  /** All sources that reach the enclosures, those inside them included. */
  readonly sources: readonly EnergySource[];
  /** Sources that reach the enclosures from outside on a path without a lockable point. */
  readonly unlockable: readonly EnergySource[];
  /** Stored energy inside the enclosures: no point outside takes it away. */
  readonly inside: readonly EnergySource[];
  /** Devices on a path whose own supply nobody states: what reaches the enclosure through them is not known. */
  readonly unstated: readonly string[];
}

/** What isolates one device. */
export const isolationOf: (site: Site, device: Device) => Isolation = memoised((site, device) =>
  isolationOfWork(site, [device]),
);

/** What isolates all the enclosures that are opened for a piece of work. */
export function isolationOfWork(site: Site, devices: readonly Device[]): Isolation {
  const graph = new EnergyGraph(site);
  const near = new Walk(graph);
  const inside: EnergySource[] = [];
  for (const device of devices) {
    inside.push(...graph.storedIn(device));
    graph.into(device).forEach((node) => near.enter(node));
  }
  const nearest = near.lockable.filter((node) => graph.isFed(node));
  const points = nearest.flatMap((node) => node.lockable);
  const far = new Walk(graph, 'past lockable points');
  nearest.forEach((node) => far.enter(node));
  const known = new Set(points.map((point) => point.name));
  const further = far.lockable
    .flatMap((node) => node.lockable)
    .filter((point) => !known.has(point.name));
  return {
    points: sortedOnce(points),
    alternatives: sortedOnce(further),
    sources: sortedOnce([...near.sources, ...far.sources, ...inside]),
    unlockable: sortedOnce(near.sources),
    inside: sortedOnce(inside),
    unstated: [...new Set([...near.unstated, ...far.unstated])].sort(compareNames),
  };
}

/** Sources that would reach, without a lockable point, whatever a way or outlet feeds. */
export function unlockableBehind(site: Site, point: PowerPoint): readonly EnergySource[] {
  const graph = new EnergyGraph(site);
  const walk = new Walk(graph);
  walk.enter(graph.behind(point));
  return walk.sources;
}

/** A place that energy passes, as plain data. */
export interface EnergyPlace {
  /** Cut where all of them are open; where it is empty nothing is locked here. */
  readonly points: readonly string[];
  readonly isSource: boolean;
  /** Whether nobody states what stands behind it. */
  readonly isUnstated: boolean;
  /** The places that energy comes from. */
  readonly from: readonly string[];
}

/** Everything on the way to the terminals in some enclosures: places by name, and those next to a terminal. */
export function energyInto(
  site: Site,
  devices: readonly Device[],
): { readonly places: ReadonlyMap<string, EnergyPlace>; readonly entries: readonly string[] } {
  const graph = new EnergyGraph(site);
  const entries = devices.flatMap((device) => graph.into(device));
  const nodes = new Map(entries.map((node) => [node.id, node]));
  const places = new Map<string, EnergyPlace>();
  for (const node of nodes.values()) {
    const upstream = graph.upstreamOf(node);
    // A map may grow while it is walked, so this loop reaches everything.
    upstream.forEach((one) => nodes.has(one.id) || nodes.set(one.id, one));
    places.set(node.id, {
      points: node.lockable.map((point) => point.name),
      isSource: node.source !== undefined,
      isUnstated: node.unstated !== undefined,
      from: upstream.map((one) => one.id),
    });
  }
  return { places, entries: entries.map((node) => node.id) };
}

/** A place that energy passes; walked from the enclosure towards the sources. */
interface EnergyNode {
  readonly id: string;
  /** Empty where nothing is locked here. */
  readonly lockable: readonly IsolationPoint[];
  /** A source that stands here. */
  readonly source?: EnergySource;
  /** A device of which nobody states where its energy comes from. */
  readonly unstated?: string;
  /** The nodes that energy comes from. */
  readonly upstream: () => readonly EnergyNode[];
}

/** Walks upstream, stops at lockable points unless told to go past them, and keeps what it meets. */
class Walk {
  readonly lockable: EnergyNode[] = [];
  readonly sources: EnergySource[] = [];
  readonly unstated: string[] = [];
  readonly #seen = new Set<string>();
  readonly #graph: EnergyGraph;
  readonly #mode: 'to lockable points' | 'past lockable points';

  constructor(
    graph: EnergyGraph,
    mode: 'to lockable points' | 'past lockable points' = 'to lockable points',
  ) {
    this.#graph = graph;
    this.#mode = mode;
  }

  enter(start: EnergyNode): void {
    const waiting = [start];
    for (let node = waiting.pop(); node !== undefined; node = waiting.pop()) {
      if (this.#seen.has(node.id)) {
        continue;
      }
      this.#seen.add(node.id);
      if (node.lockable.length > 0) {
        this.lockable.push(node);
        if (this.#mode === 'to lockable points') {
          continue;
        }
      }
      if (node.source !== undefined) {
        this.sources.push(node.source);
      }
      if (node.unstated !== undefined) {
        this.unstated.push(node.unstated);
      }
      waiting.push(...this.#graph.upstreamOf(node));
    }
  }
}

/** The site's energy as a graph that is built while it is walked. */
class EnergyGraph {
  readonly #site: Site;
  readonly #upstream = new Map<string, readonly EnergyNode[]>();

  constructor(site: Site) {
    this.#site = site;
  }

  upstreamOf(node: EnergyNode): readonly EnergyNode[] {
    let found = this.#upstream.get(node.id);
    if (found === undefined) {
      found = node.upstream();
      this.#upstream.set(node.id, found);
    }
    return found;
  }

  /** Whether any source stands behind a node, or nobody states what does. */
  isFed(node: EnergyNode): boolean {
    const walk = new Walk(this, 'past lockable points');
    walk.enter(node);
    return walk.sources.length > 0 || walk.unstated.length > 0;
  }

  /** Everything from outside that ends at a terminal in the device's enclosure. */
  into(device: Device): readonly EnergyNode[] {
    const equipment = equipmentOf(this.#site, device);
    return [
      ...this.#intoInlets(device),
      ...(equipment?.outlets ?? []).flatMap((outlet) => this.#backInto(device, outlet.name)),
      ...(this.#site.busLandingsOfDevice.get(device.name) ?? []).flatMap(({ landing }) =>
        this.#intoPort(device, landing.member),
      ),
      ...(equipment?.lans ?? []).flatMap((lan) => this.#intoLan(device, lan.name)),
      ...(this.#awaitsSupply(device) ? [unstatedNode(device.name)] : []),
    ];
  }

  /** The device's own stored outlets. */
  storedIn(device: Device): readonly EnergySource[] {
    const outlets = equipmentOf(this.#site, device)?.outlets ?? [];
    return outlets
      .filter((outlet) => outlet.stored)
      .map((outlet) => storedSource(device, outlet.name));
  }

  /** Over feeds and lines into all inlets of a device, or into the one that is named. */
  #intoInlets(device: Device, inlet?: string): readonly EnergyNode[] {
    const counts = (name: string): boolean => inlet === undefined || name === inlet;
    const feeds = (this.#site.feedLandingsOfDevice.get(device.name) ?? [])
      .filter(({ landing }) => counts(landing.member))
      .flatMap(({ run }) => feedEnds(run));
    const lines = device.inletLines.filter((line) => counts(line.inlet)).map((line) => line.from);
    return [...feeds, ...lines].map(
      (from) => this.#behind(from) ?? unstatedNode(memberKey(from.owner, from.member)),
    );
  }

  /** Whether a supply of the device is still to come, so that its energy is not known yet. */
  #awaitsSupply(device: Device): boolean {
    const equipment = equipmentOf(this.#site, device);
    if (equipment === undefined || missingInlets(this.#site, device).length > 0) {
      return true;
    }
    const gives =
      equipment.outlets.some((outlet) => !outlet.stored) ||
      equipment.ports.some((port) => port.gives !== undefined);
    return gives && this.#supplyOf(device, equipment, 'may have none').length === 0;
  }

  /** A feed with two outlets brings the energy of the one back to the terminals of the other. */
  #backInto(device: Device, outlet: string): readonly EnergyNode[] {
    const key = memberKey(device.name, outlet);
    const others = (this.#site.feedsFrom.get(key) ?? []).flatMap((feed) =>
      feedEnds(feed).filter((end) => memberKey(end.owner, end.member) !== key),
    );
    const sources = others.flatMap((other) => this.#behind(other) ?? []);
    if (sources.length === 0) {
      return [];
    }
    return [
      {
        id: `back into ${key}`,
        lockable: this.#isolatorsOn(key),
        upstream: () => sources,
      },
    ];
  }

  #intoPort(device: Device, port: string): readonly EnergyNode[] {
    const key = memberKey(device.name, port);
    return (this.#site.busLandings.get(key) ?? []).flatMap(({ run }) =>
      segmentOf(this.#site, run).landings.flatMap(({ name, resolved }) =>
        // A port of the wrong type gives its power all the same.
        name === key || resolved?.port.gives === undefined
          ? []
          : [this.#given(name, resolved.device, resolved.equipment)],
      ),
    );
  }

  #intoLan(device: Device, lan: string): readonly EnergyNode[] {
    if (resolveLan(this.#site, device.name, lan)?.lan.takesPoeClass === undefined) {
      return [];
    }
    const hosts = this.#site.hosts.get(memberKey(device.name, lan)) ?? [];
    return hosts.flatMap(({ host }) => {
      const giver = host.from && resolveLan(this.#site, host.from.owner, host.from.member);
      if (giver === undefined) {
        return host.from === undefined ? [unstatedNode(memberKey(device.name, lan))] : [];
      }
      return giver.lan.givesPoeClass === undefined
        ? []
        : [this.#givenOverLan(giver.device, giver.equipment, giver.lan.name)];
    });
  }

  #behind(from: { readonly owner: string; readonly member: string }): EnergyNode | undefined {
    const point = resolvePowerPoint(this.#site, from);
    return point && this.behind(point);
  }

  /** What stands between a way or outlet and whatever it feeds. */
  behind(point: PowerPoint): EnergyNode {
    return {
      id: `behind ${point.key}`,
      lockable: this.#isolatorsOn(point.key),
      upstream: () => [this.#point(point)],
    };
  }

  #point(point: PowerPoint): EnergyNode {
    return point.kind === 'way' ? this.#way(point) : this.#outlet(point);
  }

  #way({ key, board, way }: Extract<PowerPoint, { kind: 'way' }>): EnergyNode {
    return {
      id: `way ${key}`,
      lockable: [
        {
          name: key,
          kind: 'way',
          room: roomOf(this.#site, board),
          at: placeOf(board.name, `way/${way.name}`),
        },
      ],
      upstream: () => [this.#board(board)],
    };
  }

  /** A board that is fed from itself is taken as live: nobody can say that it is dead. */
  #board(board: Extract<PowerPoint, { kind: 'way' }>['board']): EnergyNode {
    const above = board.from && this.#behind(board.from);
    const isSource = above === undefined || this.#feedsItself(board.name);
    return {
      id: `board ${board.name}`,
      lockable: [],
      ...(isSource
        ? { source: { name: board.name, kind: 'incomer', at: placeOf(board.name) } }
        : {}),
      upstream: () => (above === undefined ? [] : [above]),
    };
  }

  #feedsItself(name: string): boolean {
    const seen = new Set<string>();
    for (let board = this.#site.boards.get(name); board?.from !== undefined;) {
      if (seen.has(board.name)) {
        return true;
      }
      seen.add(board.name);
      board = this.#site.boards.get(board.from.owner);
    }
    return false;
  }

  #outlet({ key, device, equipment, outlet }: Extract<PowerPoint, { kind: 'outlet' }>): EnergyNode {
    const inlet = inletOfOutlet(equipment, outlet);
    return {
      id: `outlet ${key}`,
      lockable: [],
      ...(outlet.stored ? { source: storedSource(device, outlet.name) } : {}),
      upstream: () =>
        inlet === undefined
          ? this.#supplyOf(device, equipment, outlet.stored ? 'may have none' : 'must have one')
          : this.#orUnstated(
              device,
              this.#intoInlets(device, inlet.name),
              outlet.stored ? 'may have none' : 'must have one',
            ),
    };
  }

  #given(name: string, device: Device, equipment: Equipment): EnergyNode {
    return {
      id: `given by ${name}`,
      lockable: [],
      upstream: () => this.#supplyOf(device, equipment, 'must have one'),
    };
  }

  #givenOverLan(device: Device, equipment: Equipment, lan: string): EnergyNode {
    const name = memberKey(device.name, lan);
    // A switch that by its equipment takes energy from nowhere is the source.
    const isSource =
      equipment.inlets.length === 0 &&
      equipment.ports.every((port) => port.takes === undefined) &&
      equipment.lans.every((one) => one.takesPoeClass === undefined);
    return {
      id: `given over ${name}`,
      lockable: [],
      ...(isSource ? { source: { name, kind: 'network', at: placeOf(device.name) } } : {}),
      upstream: () => (isSource ? [] : this.#supplyOf(device, equipment, 'must have one')),
    };
  }

  /** All that keeps a device alive: its inlets, and what it takes from a bus or over the network. */
  #supplyOf(
    device: Device,
    equipment: Equipment,
    need: 'must have one' | 'may have none',
  ): readonly EnergyNode[] {
    const found = [...this.#intoInlets(device), ...this.#taken(device, equipment)];
    return this.#orUnstated(device, found, need);
  }

  #taken(device: Device, equipment: Equipment): readonly EnergyNode[] {
    return [
      ...equipment.ports
        .filter((port) => port.takes !== undefined)
        .flatMap((port) => this.#intoPort(device, port.name)),
      ...equipment.lans.flatMap((lan) => this.#intoLan(device, lan.name)),
    ];
  }

  #orUnstated(
    device: Device,
    found: readonly EnergyNode[],
    need: 'must have one' | 'may have none',
  ): readonly EnergyNode[] {
    return found.length > 0 || need === 'may have none' ? found : [unstatedNode(device.name)];
  }

  /** The lockable isolators of a way or outlet. Which consumers stand behind which is not stated, so all count. */
  #isolatorsOn(key: string): readonly IsolationPoint[] {
    return (this.#site.isolatorsOn.get(key) ?? [])
      .filter((isolator) => isolator.lockable)
      .map((isolator) => ({
        name: isolator.name,
        kind: 'isolator',
        room: roomOf(this.#site, isolator),
        at: placeOf(isolator.name),
      }));
  }
}

function storedSource(device: Device, outlet: string): EnergySource {
  return { name: memberKey(device.name, outlet), kind: 'stored', at: placeOf(device.name) };
}

function unstatedNode(name: string): EnergyNode {
  return { id: `unstated ${name}`, lockable: [], unstated: name, upstream: () => [] };
}

function sortedOnce<Item extends { readonly name: string }>(
  items: readonly Item[],
): readonly Item[] {
  const byName = new Map(items.map((item) => [item.name, item]));
  return [...byName.values()].sort((one, other) => compareNames(one.name, other.name));
}
