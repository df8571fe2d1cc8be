/**
 * A site with faults in it, run step by step from its declarations: voltage spreads, then telegrams do.
 * It shares nothing with the network of what works through what but the order of cables, and is as
 * plain and slow as can be.
 */
import { segmentsOf } from '../../src/analysis/run.js';
import type { Fault } from '../../src/analysis/diagnosis/fault.js';
import type { Device } from '../../src/model/records.js';
import type { Site } from '../../src/model/site.js';
import type { Bus, Feed } from '../../src/model/wiring.js';

/** Which of two devices with one address is lost. */
export type Loser = 'one' | 'other' | 'both';

type End = { readonly owner: string; readonly member: string };

export class Plant {
  readonly #cut = new Set<string>();
  readonly #dead = new Set<string>();
  readonly #swapped = new Set<string>();
  readonly #mute = new Set<string>();
  #live = new Set<string>();

  constructor(
    readonly site: Site,
    fault: Fault | undefined,
    loser: Loser = 'both',
  ) {
    if (fault !== undefined) {
      this.#break(fault, loser);
    }
    for (;;) {
      const next = this.#spread();
      if (next.size === this.#live.size) {
        break;
      }
      this.#live = next;
    }
  }

  isSupplied(device: string): boolean {
    return this.#live.has(`device ${device}`);
  }

  hasVoltage(at: string): boolean {
    return this.#live.has(`inlet ${at}`) || this.#live.has(`port ${at}`);
  }

  pageOpens(network: string, host: string): boolean {
    const line = this.site.networks
      .get(network)!
      .hosts.find((one) => `${one.device}.${one.lan}` === host)!;
    return (
      !this.#mute.has(host) &&
      !this.#mute.has(`laptop ${network}`) &&
      this.isSupplied(line.device) &&
      (line.from === undefined ||
        !this.site.devices.has(line.from.owner) ||
        this.isSupplied(line.from.owner))
    );
  }

  /** The names of the units that a controller finds. */
  found(controller: Device): ReadonlySet<string> {
    const found = new Set<string>();
    const equipment = this.site.equipment.get(controller.equipment)!;
    if (!this.isSupplied(controller.name)) {
      return found;
    }
    for (const { role, port } of equipment.supervises) {
      const heardAt = this.#flood(controller, port);
      for (const name of heardAt) {
        const [device, member] = splitName(name);
        const own = this.site.equipment.get(this.site.devices.get(device)!.equipment)!;
        const talksAs = own.ports.find((one) => one.name === member)?.talksAs;
        if (
          own.role === role &&
          talksAs !== 'neither' &&
          device !== controller.name &&
          this.isSupplied(device)
        ) {
          found.add(device);
        }
      }
    }
    return found;
  }

  /** Every port and socket at which a telegram from a port arrives and is understood. */
  #flood(controller: Device, port: string): ReadonlySet<string> {
    const speaks = [`${controller.name}.${port}`];
    const spoken = new Set<string>();
    const heard = new Set<string>();
    while (speaks.length > 0) {
      const name = speaks.pop()!;
      if (spoken.has(name)) {
        continue;
      }
      spoken.add(name);
      for (const other of this.#hears(name)) {
        heard.add(other);
        const [device, member] = splitName(other);
        const own = this.site.equipment.get(this.site.devices.get(device)!.equipment)!;
        for (const { how, from, to } of own.crossings) {
          const works =
            how === 'passes' ? !this.#dead.has(`device ${device}`) : this.isSupplied(device);
          const across =
            from === member ? to : to === member && how !== 'relays' ? from : undefined;
          if (works && across !== undefined) {
            speaks.push(`${device}.${across}`);
          }
        }
      }
    }
    return heard;
  }

  #hears(speaker: string): readonly string[] {
    if (this.#mute.has(speaker)) {
      return [];
    }
    const heard: string[] = [];
    for (const { run: bus, landing } of this.site.busLandings.get(speaker) ?? []) {
      if (this.#fits(bus, landing.index)) {
        for (const index of this.#joined(bus, landing.index)) {
          const { device, member } = bus.landings[index]!;
          const name = `${device}.${member}`;
          if (this.#fits(bus, index) && !this.#mute.has(name)) {
            heard.push(name);
          }
        }
      }
    }
    const networks = [...this.site.networks.values()];
    for (const network of networks) {
      for (const host of network.hosts) {
        if (`${host.device}.${host.lan}` === speaker && this.#isPlugged(host.from)) {
          for (const other of networks.filter((one) =>
            shareRouter(networks, network.name, one.name),
          )) {
            for (const peer of other.hosts) {
              const name = `${peer.device}.${peer.lan}`;
              if (
                this.site.devices.has(peer.device) &&
                this.#isPlugged(peer.from) &&
                !this.#mute.has(name)
              ) {
                heard.push(name);
              }
            }
          }
        }
      }
    }
    return heard;
  }

  #isPlugged(from: End | undefined): boolean {
    return from === undefined || !this.site.devices.has(from.owner) || this.isSupplied(from.owner);
  }

  /** A landing whose names are known, whose port is of the bus's type and whose pair is not swapped. */
  #fits(bus: Bus, index: number): boolean {
    const { device, member } = bus.landings[index]!;
    const own = this.site.equipment.get(this.site.devices.get(device)?.equipment ?? '');
    const port = own?.ports.find((one) => one.name === member);
    return port?.busType === bus.busType && !this.#swapped.has(`${bus.name} ${index}`);
  }

  /** The landings of a run that hang together with one over cables that are whole. */
  #joined(run: Bus | Feed, start: number | 'outlet' | 'second-outlet'): ReadonlySet<number> {
    const reached = new Set<number | 'outlet' | 'second-outlet'>([start]);
    const cables = segmentsOf(this.site, run);
    for (let grew = true; grew;) {
      grew = false;
      cables.forEach(({ from, to }, position) => {
        if (!this.#cut.has(`${run.name} ${position}`) && reached.has(from) !== reached.has(to)) {
          reached.add(from).add(to);
          grew = true;
        }
      });
    }
    return new Set([...reached].filter((end) => typeof end === 'number'));
  }

  // ---- voltage -----------------------------------------------------------------------------------

  #break(fault: Fault, loser: Loser): void {
    switch (fault.kind) {
      case 'segment-cut':
        this.#cut.add(
          fault.at.of === 'run'
            ? `${fault.at.run} ${fault.at.position}`
            : `line ${fault.at.device} ${fault.at.index}`,
        );
        break;
      case 'way-dead':
        this.#dead.add(`point ${fault.way}`);
        break;
      case 'supply-dead':
        this.#dead.add(`point ${fault.outlet}`);
        break;
      case 'device-dead':
        this.#dead.add(`device ${fault.device}`);
        break;
      case 'voltage-low':
        if (fault.behind.of === 'outlet') {
          this.#dead.add(`point ${fault.behind.outlet}`);
        } else if (fault.behind.of === 'cable' && fault.behind.at.of === 'run') {
          this.#cut.add(`${fault.behind.at.run} ${fault.behind.at.position}`);
        } else if (fault.behind.of === 'bus-cable') {
          fault.behind.takers.forEach(({ bus, index }) => this.#swapped.add(`${bus} ${index}`));
        }
        break;
      case 'terminator-missing':
      case 'terminator-extra':
        break;
      case 'pair-swapped':
        this.#swapped.add(`${fault.at.bus} ${fault.at.index}`);
        break;
      case 'address-duplicate':
        if (loser !== 'other') {
          this.#mute.add(`${fault.one.device}.${fault.one.port}`);
        }
        if (loser !== 'one') {
          this.#mute.add(`${fault.other.device}.${fault.other.port}`);
        }
        break;
      case 'address-out-of-range':
        this.#mute.add(`${fault.at.device}.${fault.at.port}`);
        break;
      case 'subnet-wrong':
        if (fault.host === 'laptop') {
          this.#mute.add(`laptop ${fault.network}`);
        } else {
          const { device, lan } = this.site.networks.get(fault.network)!.hosts[fault.host]!;
          this.#mute.add(`${device}.${lan}`);
        }
        break;
    }
  }

  /** One step: what has voltage because of what had it before. */
  #spread(): Set<string> {
    const next = new Set(this.#live);
    for (const board of this.site.boards.values()) {
      if (board.from === undefined || this.#isFed(board.from)) {
        board.ways.forEach((way) => this.#liven(next, `point ${board.name}.${way.name}`));
      }
    }
    for (const feed of this.site.feeds.values()) {
      const ends = [
        ...(this.#isFed(feed.from) ? (['outlet'] as const) : []),
        ...(feed.and !== undefined && this.#isFed(feed.and) ? (['second-outlet'] as const) : []),
      ];
      for (const end of ends) {
        for (const index of this.#joined(feed, end)) {
          const { device, member } = feed.landings[index]!;
          next.add(`inlet ${device}.${member}`);
        }
      }
    }
    for (const bus of this.site.buses.values()) {
      const givers = bus.landings.filter(({ index }) => this.#gives(bus, index));
      for (const { index, device, member } of bus.landings) {
        const isPowered =
          givers.length === 0 ||
          givers.some(
            (giver) =>
              !this.#swapped.has(`${bus.name} ${giver.index}`) &&
              this.isSupplied(giver.device) &&
              this.#joined(bus, giver.index).has(index),
          );
        if (isPowered && !this.#swapped.has(`${bus.name} ${index}`)) {
          next.add(`port ${device}.${member}`);
        }
      }
    }
    for (const device of this.site.devices.values()) {
      this.#spreadIn(device, next);
    }
    return next;
  }

  #spreadIn(device: Device, next: Set<string>): void {
    const equipment = this.site.equipment.get(device.equipment);
    if (equipment === undefined) {
      return;
    }
    const at = (member: string): string => `${device.name}.${member}`;
    for (const line of device.inletLines) {
      if (this.#isFed(line.from) && !this.#cut.has(`line ${device.name} ${line.index}`)) {
        next.add(`inlet ${at(line.inlet)}`);
      }
    }
    const isConnected = (inlet: string): boolean =>
      device.inletLines.some((line) => line.inlet === inlet) ||
      this.site.feedLandings.has(at(inlet));
    for (const { name } of equipment.inlets) {
      if (!isConnected(name)) {
        next.add(`unstated ${at(name)}`);
      }
    }
    const isOn = (inlet: string): boolean =>
      this.#live.has(`inlet ${at(inlet)}`) || this.#live.has(`unstated ${at(inlet)}`);
    const required = equipment.inlets.filter(({ optional }) => !optional);
    const others = [
      ...equipment.inlets
        .filter(({ name }) => isConnected(name))
        .map(({ name }) => this.#live.has(`inlet ${at(name)}`)),
      ...equipment.ports
        .filter(({ name, takes }) => takes !== undefined && this.site.busLandings.has(at(name)))
        .map(({ name }) => this.#live.has(`port ${at(name)}`)),
    ];
    const isFed =
      required.length > 0
        ? required.every(({ name }) => isOn(name))
        : others.length === 0 || others.some((one) => one);
    if (isFed && !this.#dead.has(`device ${device.name}`)) {
      next.add(`device ${device.name}`);
    }
    for (const outlet of equipment.outlets) {
      const only =
        outlet.fromInlet ?? (equipment.inlets.length === 1 ? equipment.inlets[0]!.name : undefined);
      const isGiven =
        outlet.stored ||
        (only === undefined ? others.length === 0 || others.some((one) => one) : isOn(only));
      if (isGiven && !this.#dead.has(`device ${device.name}`)) {
        this.#liven(next, `point ${at(outlet.name)}`);
      }
    }
  }

  #liven(next: Set<string>, point: string): void {
    if (!this.#dead.has(point)) {
      next.add(point);
    }
  }

  #isFed({ owner, member }: End): boolean {
    return this.#live.has(`point ${owner}.${member}`);
  }

  #gives(bus: Bus, index: number): boolean {
    const { device, member } = bus.landings[index]!;
    const own = this.site.equipment.get(this.site.devices.get(device)?.equipment ?? '');
    const port = own?.ports.find((one) => one.name === member);
    return port?.busType === bus.busType && port.gives !== undefined;
  }
}

function splitName(name: string): readonly [string, string] {
  const cut = name.lastIndexOf('.');
  return [name.slice(0, cut), name.slice(cut + 1)];
}

/** Whether a packet can cross from one network to another over routers of one name. */
function shareRouter(
  networks: readonly {
    readonly name: string;
    readonly routers: readonly { readonly name?: string }[];
  }[],
  one: string,
  other: string,
): boolean {
  const reached = new Set([one]);
  for (const name of reached) {
    const own = networks.find((network) => network.name === name)!;
    for (const network of networks) {
      if (
        own.routers.some(
          (router) =>
            router.name !== undefined && network.routers.some((peer) => peer.name === router.name),
        )
      ) {
        reached.add(network.name);
      }
    }
  }
  return reached.has(other);
}
