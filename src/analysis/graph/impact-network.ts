/**
 * What works through what on a site: energy from the sources to every device, and the conversation
 * from every controller to every unit, over each cable, way, outlet, switch and relay.
 *
 * What nobody states cannot fail: an inlet without a line, a way that is not known and a port on a
 * bus that nothing powers count as live. A device that fails is dead, and the line still passes its
 * terminals; only a device that joins two ports (`passes`) takes the joint with it. A cable that
 * fails is cut, not shorted.
 */
import type { Equipment, Inlet } from '../../model/equipment.js';
import type { Board, Device, InletLine, Network } from '../../model/records.js';
import {
  equipmentOf,
  inletOfOutlet,
  memberKey,
  resolveLan,
  resolvePowerPoint,
} from '../../model/site.js';
import type { Site } from '../../model/site.js';
import type { Role } from '../../model/values.js';
import type { Feed } from '../../model/wiring.js';
import { graphOf } from '../bus/graph.js';
import { segmentOf, talkDomainOf } from '../bus/segment.js';
import type { BusLanding, BusSegment } from '../bus/segment.js';
import { joinedWith } from '../network/joined.js';
import { segmentsOf } from '../run.js';
import type { SegmentEnd } from '../run.js';
import { elementKey } from './elements.js';
import type { FineElement } from './elements.js';
import { DependencyGraph } from './single-failures.js';
import type { JointFailures, NodeId, SingleFailures } from './single-failures.js';

/** The network with the nodes that people ask about. */
export interface ImpactNetwork {
  readonly failures: SingleFailures;
  readonly supplied: ReadonlyMap<string, NodeId>;
  /** Devices of a supervised role that some controller should find. */
  readonly found: ReadonlyMap<string, NodeId>;
  readonly controlled: ReadonlyMap<string, NodeId>;
  readonly powered: ReadonlyMap<string, NodeId>;
}

export function impactNetworkOf(site: Site): ImpactNetwork {
  const builder = new ImpactBuilder(site);
  const supplied = new Map<string, NodeId>();
  const controlled = new Map<string, NodeId>();
  const powered = new Map<string, NodeId>();
  for (const device of site.devices.values()) {
    supplied.set(device.name, builder.supplied(device));
  }
  for (const bus of site.buses.values()) {
    const controllers = talkDomainOf(site, bus)
      .segments.flatMap((segment) => segment.ports)
      .filter(({ resolved }) => resolved.port.talksAs === 'controller');
    const givers = givingPorts(segmentOf(site, bus));
    controlled.set(bus.name, builder.anyOf(controllers));
    powered.set(bus.name, builder.anyOf(givers));
  }
  const found = builder.found();
  return { failures: builder.solve(), supplied, found, controlled, powered };
}

/** Whether landings and voices can fail, too, or cables and what is named alone. */
export type ImpactDetail = 'cables' | 'landings';

/** Builds the network node by node, for whoever asks about other things of it, too. */
export class ImpactBuilder {
  readonly #site: Site;
  readonly #detail: ImpactDetail;
  readonly #graph = new DependencyGraph();
  readonly #known = new Map<string, NodeId>();

  constructor(site: Site, detail: ImpactDetail = 'cables') {
    this.#site = site;
    this.#detail = detail;
  }

  solve(): SingleFailures {
    return this.#graph.solve();
  }

  together(): JointFailures {
    return this.#graph.together();
  }

  /** Works while any of the ports' devices does. */
  anyOf(landings: readonly BusLanding[]): NodeId {
    const node = this.#graph.any();
    for (const { resolved } of landings) {
      if (resolved !== undefined) {
        this.#graph.give(node, this.supplied(resolved.device));
      }
    }
    return node;
  }

  /** A device that is whole and has what it needs. */
  supplied(device: Device): NodeId {
    return this.#once(`supplied ${device.name}`, 'all', undefined, (node) => {
      this.#graph.give(node, this.#whole(device));
      const equipment = equipmentOf(this.#site, device);
      const required = equipment?.inlets.filter((inlet) => !inlet.optional) ?? [];
      for (const inlet of required) {
        this.#graph.give(node, this.#inlet(device, inlet));
      }
      if (equipment !== undefined && required.length === 0) {
        this.#giveAny(node, this.#otherSupplies(device, equipment));
      }
    });
  }

  /** For each unit that a controller should find a node that works while it is found. */
  found(): ReadonlyMap<string, NodeId> {
    const found = new Map<string, NodeId>();
    const controllers = [...this.#site.devices.values()].flatMap((device) => {
      const equipment = equipmentOf(this.#site, device);
      return equipment === undefined || equipment.supervises.length === 0
        ? []
        : [{ device, equipment }];
    });
    const roles = new Set(
      controllers.flatMap(({ equipment }) => equipment.supervises.map(({ role }) => role)),
    );
    for (const device of this.#site.devices.values()) {
      const equipment = equipmentOf(this.#site, device);
      if (equipment === undefined || !roles.has(equipment.role)) {
        continue;
      }
      // A controller does not find itself, so that its own voice must not count.
      const isOwn = equipment.supervises.some(({ role }) => role === equipment.role);
      const talk = this.#talk({
        layer: `talk ${equipment.role} without ${isOwn ? device.name : ''}`,
        role: equipment.role,
        controllers: controllers.filter((one) => !isOwn || one.device !== device),
        crossers: this.#site.devices.values(),
      });
      found.set(device.name, this.#heard(talk, device, equipment));
    }
    return found;
  }

  /**
   * For each of some units a node that works while one controller finds it. `crossers` are the
   * devices over which the conversation may go on.
   */
  foundBy(
    controller: Device,
    units: readonly Device[],
    crossers: readonly Device[],
  ): ReadonlyMap<string, NodeId> {
    const equipment = equipmentOf(this.#site, controller);
    const found = new Map<string, NodeId>();
    for (const unit of units) {
      const own = equipmentOf(this.#site, unit);
      if (equipment === undefined || own === undefined) {
        continue;
      }
      const talk = this.#talk({
        layer: `talk ${own.role} of ${controller.name}`,
        role: own.role,
        controllers: [{ device: controller, equipment }],
        crossers,
      });
      found.set(unit.name, this.#heard(talk, unit, own));
    }
    return found;
  }

  /** Works while an inlet has voltage. */
  inletLive(device: Device, inlet: Inlet): NodeId {
    return this.#inlet(device, inlet);
  }

  /** Works while a port that lives on its bus has voltage; undefined where it is not landed. */
  portLive(device: Device, port: string): NodeId | undefined {
    const places = this.#poweredLandings(device, port);
    if (places.length === 0) {
      return undefined;
    }
    const node = this.#graph.any();
    places.forEach((place) => this.#graph.give(node, place));
    return node;
  }

  /** Works while the page of a host can be reached from its network. */
  page(network: Network, index: number, device: Device): NodeId {
    const { lan } = network.hosts[index]!;
    const node = this.#graph.all();
    this.#graph.give(node, this.supplied(device));
    this.#graph.give(node, this.#voiced(this.#plugged(network, index), device.name, lan));
    return node;
  }

  // ---- energy ------------------------------------------------------------------------------------

  #whole(device: Device): NodeId {
    return this.#once(`whole ${device.name}`, 'all', named(device.name), () => undefined);
  }

  #inlet(device: Device, inlet: Inlet): NodeId {
    const key = memberKey(device.name, inlet.name);
    return this.#once(`inlet ${key}`, 'any', undefined, (node) => {
      const supplies = this.#supplyLines(device, inlet.name);
      if (supplies.length === 0) {
        this.#graph.give(node, this.#unstated());
      }
      supplies.forEach((supply) => this.#graph.give(node, supply));
    });
  }

  /** The ends of feeds and lines at an inlet. */
  #supplyLines(device: Device, inlet: string): readonly NodeId[] {
    const key = memberKey(device.name, inlet);
    return [
      ...(this.#site.feedLandings.get(key) ?? []).map(({ run, landing }) =>
        this.#feedTerminal(run, landing.index),
      ),
      ...(this.#site.inletLines.get(key) ?? []).map(({ line }) => this.#inletLine(device, line)),
    ];
  }

  #inletLine(device: Device, line: InletLine): NodeId {
    const element = elementKey({ kind: 'line', device: device.name, index: line.index });
    return this.#once(element, 'all', element, (node) => {
      this.#graph.give(node, this.#behind(line.from));
    });
  }

  /** What a device without required inlets lives on: any of these. */
  #otherSupplies(device: Device, equipment: Equipment): readonly NodeId[] {
    const inlets = equipment.inlets.flatMap((inlet) => this.#supplyLines(device, inlet.name));
    const ports = equipment.ports
      .filter((port) => port.takes !== undefined)
      .flatMap((port) => this.#poweredLandings(device, port.name));
    const lans = equipment.lans
      .filter((lan) => lan.takesPoeClass !== undefined)
      .flatMap((lan) => this.#poweredHosts(device, lan.name));
    return [...inlets, ...ports, ...lans];
  }

  #poweredLandings(device: Device, port: string): readonly NodeId[] {
    const landings = this.#site.busLandings.get(memberKey(device.name, port)) ?? [];
    return landings.map(({ run, landing }) => {
      const segment = segmentOf(this.#site, run);
      const position = positionOf(segment, run.name, landing.index);
      return givingPorts(segment).length === 0
        ? this.#unstated()
        : this.#landed(this.#poweredPlace(segment, position), run.name, landing.index);
    });
  }

  #poweredHosts(device: Device, lan: string): readonly NodeId[] {
    const hosts = this.#site.hosts.get(memberKey(device.name, lan)) ?? [];
    return hosts.flatMap(({ network, host }) => {
      const giver = host.from && resolveLan(this.#site, host.from.owner, host.from.member);
      if (giver === undefined) {
        return [this.#unstated()];
      }
      return giver.lan.givesPoeClass === undefined
        ? []
        : [this.#hostCable(network, host.index, giver.device)];
    });
  }

  /** Over its cable from the device that it is plugged into. */
  #hostCable(network: Network, index: number, from: Device): NodeId {
    const element = elementKey({ kind: 'host', network: network.name, index });
    return this.#once(element, 'all', element, (node) => {
      this.#graph.give(node, this.supplied(from));
    });
  }

  /** What stands behind a way or outlet, its isolators in line. */
  #behind(from: { readonly owner: string; readonly member: string }): NodeId {
    const key = memberKey(from.owner, from.member);
    const isolators = this.#site.isolatorsOn.get(key) ?? [];
    return isolators.reduce(
      (before, isolator) =>
        this.#once(`isolator ${isolator.name}`, 'all', named(isolator.name), (node) => {
          this.#graph.give(node, before);
        }),
      this.#point(from),
    );
  }

  #point(from: { readonly owner: string; readonly member: string }): NodeId {
    const point = resolvePowerPoint(this.#site, from);
    if (point === undefined) {
      return this.#unstated();
    }
    return this.#once(`point ${point.key}`, 'all', named(point.key), (node) => {
      if (point.kind === 'way') {
        this.#graph.give(node, this.#board(point.board));
        return;
      }
      this.#graph.give(node, this.#whole(point.device));
      if (point.outlet.stored) {
        return;
      }
      const inlet = inletOfOutlet(point.equipment, point.outlet);
      if (inlet === undefined) {
        this.#giveAny(node, this.#otherSupplies(point.device, point.equipment));
      } else {
        this.#graph.give(node, this.#inlet(point.device, inlet));
      }
    });
  }

  #board(board: Board): NodeId {
    return this.#once(`board ${board.name}`, 'all', named(board.name), (node) => {
      if (board.from !== undefined) {
        this.#graph.give(node, this.#behind(board.from));
      }
    });
  }

  #feedTerminal(feed: Feed, end: SegmentEnd): NodeId {
    const name = (one: SegmentEnd): string => `feed ${feed.name} ${one}`;
    this.#once(`feed ${feed.name}`, 'all', undefined, () => {
      const terminal = (one: SegmentEnd): NodeId =>
        this.#once(name(one), 'any', undefined, () => undefined);
      this.#graph.give(terminal('outlet'), this.#behind(feed.from));
      if (feed.and !== undefined) {
        this.#graph.give(terminal('second-outlet'), this.#behind(feed.and));
      }
      segmentsOf(this.#site, feed).forEach(({ from, to }, position) => {
        const element = elementKey({ kind: 'cable', run: feed.name, position });
        this.#join(terminal(from), terminal(to), element);
      });
    });
    return this.#once(name(end), 'any', undefined, () => undefined);
  }

  #poweredPlace(segment: BusSegment, position: number): NodeId {
    const terminals = this.#places(segment, 'power', (terminal) => {
      this.#joinInsideDevices(segment, terminal);
      for (const giver of givingPorts(segment)) {
        const given = this.supplied(giver.resolved!.device);
        this.#graph.give(
          terminal(giver.position),
          this.#landed(given, giver.bus.name, giver.landing.index),
        );
      }
    });
    return terminals(position);
  }

  // ---- conversation ------------------------------------------------------------------------------

  /** A unit that is alive and hears the conversation. */
  #heard(talk: Talk, device: Device, equipment: Equipment): NodeId {
    const heard = this.#graph.any();
    this.#placesHeard(talk, device, equipment).forEach((place) => this.#graph.give(heard, place));
    const node = this.#graph.all();
    this.#graph.give(node, this.supplied(device));
    this.#graph.give(node, heard);
    return node;
  }

  /** A function from a segment to the places in it where a role is heard, its segments built once. */
  #talk({ layer, role, controllers, crossers }: Conversation): Talk {
    const talk: Talk = {
      at: (segment, position) => this.#places(segment, layer, () => undefined)(position),
      on: (key) => this.#once(`${layer} networks ${key}`, 'any', undefined, () => undefined),
    };
    this.#once(layer, 'all', undefined, () => {
      for (const { device, equipment } of controllers) {
        for (const { port } of equipment.supervises.filter((one) => one.role === role)) {
          this.#speak(talk, device, port, this.supplied(device));
        }
      }
      for (const device of crossers) {
        for (const { how, from, to } of equipmentOf(this.#site, device)?.crossings ?? []) {
          const means = how === 'passes' ? this.#whole(device) : this.supplied(device);
          this.#pass(talk, device, from, to, means);
          if (how !== 'relays') {
            this.#pass(talk, device, to, from, means);
          }
        }
      }
    });
    return talk;
  }

  /** What is heard at one member of a device is said at another as long as it has the means. */
  #pass(talk: Talk, device: Device, from: string, to: string, means: NodeId): void {
    const heard = this.#placesOf(talk, device, from);
    if (heard.length > 0) {
      const node = this.#graph.all();
      this.#graph.give(node, means);
      this.#giveAny(node, heard);
      this.#speak(talk, device, to, node);
    }
  }

  /** Lets a voice be heard wherever a port or socket is connected. */
  #speak(talk: Talk, device: Device, member: string, voice: NodeId): void {
    for (const { run, landing } of this.#site.busLandings.get(memberKey(device.name, member)) ??
      []) {
      const segment = segmentOf(this.#site, run);
      const position = positionOf(segment, run.name, landing.index);
      if (segment.landings[position]!.fits) {
        this.#graph.give(
          talk.at(segment, position),
          this.#landed(this.#voiced(voice, device.name, member), run.name, landing.index),
        );
      }
    }
    for (const { network, host } of this.#site.hosts.get(memberKey(device.name, member)) ?? []) {
      const node = this.#graph.all();
      this.#graph.give(node, this.#voiced(voice, device.name, member));
      this.#graph.give(node, this.#plugged(network, host.index));
      this.#graph.give(talk.on(joinedWith(this.#site, network).key), node);
    }
  }

  #placesHeard(talk: Talk, device: Device, equipment: Equipment): readonly NodeId[] {
    const ports = equipment.ports.filter(({ talksAs }) => talksAs !== 'neither');
    return [...ports, ...equipment.lans].flatMap(({ name }) => this.#placesOf(talk, device, name));
  }

  #placesOf(talk: Talk, device: Device, member: string): readonly NodeId[] {
    const key = memberKey(device.name, member);
    const landed = (this.#site.busLandings.get(key) ?? []).flatMap(({ run, landing }) => {
      const segment = segmentOf(this.#site, run);
      const position = positionOf(segment, run.name, landing.index);
      return segment.landings[position]!.fits
        ? [
            this.#landed(
              this.#voiced(talk.at(segment, position), device.name, member),
              run.name,
              landing.index,
            ),
          ]
        : [];
    });
    const plugged = (this.#site.hosts.get(key) ?? []).map(({ network, host }) => {
      const node = this.#graph.all();
      const heard = talk.on(joinedWith(this.#site, network).key);
      this.#graph.give(node, this.#voiced(heard, device.name, member));
      this.#graph.give(node, this.#plugged(network, host.index));
      return node;
    });
    return [...landed, ...plugged];
  }

  /** The way from a host into its network; over a switch where one is stated. */
  #plugged(network: Network, index: number): NodeId {
    const { from } = network.hosts[index]!;
    const giver = from && resolveLan(this.#site, from.owner, from.member);
    return giver === undefined ? this.#unstated() : this.#hostCable(network, index, giver.device);
  }

  /** Over the terminals of a landing. */
  #landed(node: NodeId, bus: string, index: number): NodeId {
    return this.#over(node, { kind: 'landing', bus, index });
  }

  /** As long as a port or socket understands and is understood. */
  #voiced(node: NodeId, device: string, member: string): NodeId {
    return this.#over(node, { kind: 'voice', device, member });
  }

  #over(need: NodeId, element: FineElement): NodeId {
    if (this.#detail === 'cables') {
      return need;
    }
    const node = this.#graph.all(elementKey(element));
    this.#graph.give(node, need);
    return node;
  }

  // ---- both --------------------------------------------------------------------------------------

  /** The places of a segment in one layer, joined by its cables. */
  #places(
    segment: BusSegment,
    layer: string,
    start: (terminal: (position: number) => NodeId) => void,
  ): (position: number) => NodeId {
    const whole = `${layer} ${segment.lead.name}`;
    const terminal = (position: number): NodeId =>
      this.#once(`${whole} ${position}`, 'any', undefined, () => undefined);
    this.#once(whole, 'all', undefined, () => {
      const pieces = new Map(
        segment.buses.flatMap((bus) =>
          segmentsOf(this.#site, bus).map((piece, position) => [piece, position] as const),
        ),
      );
      for (const { bus, segment: piece, start: one, end } of graphOf(this.#site, segment.lead)
        .cables) {
        const position = pieces.get(piece)!;
        const element = elementKey({ kind: 'cable', run: bus.name, position });
        this.#join(terminal(one.position), terminal(end.position), element);
      }
      start(terminal);
    });
    return terminal;
  }

  /** A device that joins two ports of a segment joins them while it is whole, power or not. */
  #joinInsideDevices(segment: BusSegment, terminal: (position: number) => NodeId): void {
    const byName = new Map<string, BusLanding[]>();
    for (const landing of segment.landings) {
      byName.set(landing.name, [...(byName.get(landing.name) ?? []), landing]);
    }
    for (const one of segment.landings) {
      const device = this.#site.devices.get(one.landing.device);
      const crossings = (device && equipmentOf(this.#site, device)?.crossings) ?? [];
      for (const { how, from, to } of crossings) {
        if (device === undefined || how !== 'passes' || from !== one.landing.member) {
          continue;
        }
        for (const other of byName.get(memberKey(device.name, to)) ?? []) {
          const whole = this.#whole(device);
          this.#lead(terminal(one.position), terminal(other.position), [whole]);
          this.#lead(terminal(other.position), terminal(one.position), [whole]);
        }
      }
    }
  }

  /** Joins two places over something that may fail, both ways. */
  #join(one: NodeId, other: NodeId, element: string): void {
    this.#lead(one, other, [], element);
    this.#lead(other, one, [], element);
  }

  #lead(from: NodeId, to: NodeId, needs: readonly NodeId[], element?: string): void {
    const node = this.#graph.all(element);
    this.#graph.give(node, from);
    needs.forEach((need) => this.#graph.give(node, need));
    this.#graph.give(to, node);
  }

  /** Needs any of several; nothing where there are none. */
  #giveAny(node: NodeId, ways: readonly NodeId[]): void {
    if (ways.length > 0) {
      const any = this.#graph.any();
      ways.forEach((way) => this.#graph.give(any, way));
      this.#graph.give(node, any);
    }
  }

  #unstated(): NodeId {
    return this.#once('unstated', 'all', undefined, () => undefined);
  }

  /** The node of a key; what it needs is said after it is known, so that circles come to an end. */
  #once(
    key: string,
    how: 'any' | 'all',
    element: string | undefined,
    say: (node: NodeId) => void,
  ): NodeId {
    const known = this.#known.get(key);
    if (known !== undefined) {
      return known;
    }
    const node = this.#graph[how](element);
    this.#known.set(key, node);
    say(node);
    return node;
  }
}

interface Conversation {
  /** Its name: what is built under it is built once. */
  readonly layer: string;
  readonly role: Role;
  readonly controllers: readonly { readonly device: Device; readonly equipment: Equipment }[];
  readonly crossers: Iterable<Device>;
}

interface Talk {
  readonly at: (segment: BusSegment, position: number) => NodeId;
  /** By the key of joined networks. */
  readonly on: (key: string) => NodeId;
}

function named(name: string): string {
  return elementKey({ kind: 'named', name });
}

function givingPorts(segment: BusSegment): readonly BusLanding[] {
  return segment.ports.filter(({ resolved }) => resolved.port.gives !== undefined);
}

/** Where a bus's landing stands among those of its segment. */
function positionOf(segment: BusSegment, bus: string, index: number): number {
  let position = index;
  for (const one of segment.buses) {
    if (one.name === bus) {
      break;
    }
    position += one.landings.length;
  }
  return position;
}
