/**
 * Random sites as text with boards, supplies, feeds, buses, relays, repeaters, junctions and
 * switches, and a plain simulation of a failure: everything is dark, then whatever has what it needs
 * lights up, again and again until nothing changes. Slow, from the records alone.
 */
import type { Device } from '../../src/model/records.js';
import type { Site } from '../../src/model/site.js';
import type { Bus, Feed } from '../../src/model/wiring.js';
import type { Element, Impact } from '../../src/analysis/graph/impact.js';
import { compareNames } from '../../src/model/site.js';
import type { Random } from './random.js';

const TEMPLATES = `
bustype Unit { conductors 2  shape free  controllers 99 }
bustype Main { conductors 2  shape free  controllers 99 }
bustype Panel { conductors 2  shape free  controllers 99  sources 9 }
equipment Outdoor { role outdoor-unit  inlet mains 230 VAC 1 A  port main : Main as responder  port unit : Unit as controller  relays main to unit  supervises indoor-unit via unit }
equipment Indoor { role indoor-unit  inlet mains 230 VAC 1 A  port unit : Unit as responder  port panel : Panel as responder { gives 15 VDC } }
equipment Peer { role indoor-unit  inlet mains 230 VAC 1 A  port unit : Unit as controller  supervises indoor-unit via unit }
equipment Wall { role room-controller  port panel : Panel as controller { takes 9 mA }  supervises indoor-unit via panel }
equipment Spare { role other  inlet aux 24 VDC 9 mA optional  port panel : Panel as responder { takes 9 mA } }
equipment Zone { role zone-controller  inlet supply 24 VDC 1 A  port main : Main as controller  supervises indoor-unit via main  supervises outdoor-unit via main }
equipment Bridge { role gateway  inlet supply 24 VDC 1 A  port main : Main as controller  lan lan  relays lan to main }
equipment Server { role site-controller  lan lan { takes class 3 }  supervises indoor-unit via lan }
equipment Switch { role switch  inlet supply 24 VDC 1 A  lan p1 { gives class 4 }  lan p2 { gives class 4 }  lan p3 }
equipment Joint { role junction  port a : Unit as neither  port b : Unit as neither  passes a to b }
equipment Amp { role repeater  inlet supply 24 VDC 1 A  port a : Unit as neither  port b : Unit as neither  repeats a to b }
equipment Supply { role supply  inlet primary 230 VAC 1 A  outlet out 24 VDC 100 W }
equipment Battery { role supply  inlet primary 230 VAC 1 A  outlet out 24 VDC 100 W stored }
equipment Twin { role other  inlet one 24 VDC 1 A  inlet two 24 VDC 1 A }
`;

/** A site whose text makes little sense to an engineer and a lot to a graph. */
export function failingSite(random: Random): string {
  const lines: string[] = [TEMPLATES];
  const ways: string[] = [];
  const boards = random.integer(1, 3);
  for (let board = 0; board < boards; board += 1) {
    const from = ways.length > 0 && random.next() < 0.6 ? ` from ${random.pick(ways)}` : '';
    lines.push(`board B${board}${from} { way W1 230 VAC 9 A  way W2 230 VAC 9 A }`);
    ways.push(`B${board}.W1`, `B${board}.W2`);
  }
  const count = (most: number): number => random.integer(0, most);
  const devices: { name: string; kind: string }[] = [];
  const add = (kind: string, times: number): void => {
    for (let time = 0; time < times; time += 1) {
      devices.push({ name: `${kind}-${time}`, kind });
    }
  };
  add('Supply', count(2));
  add('Battery', count(1));
  const outlets = devices.map(({ name }) => `${name}.out`);
  add('Outdoor', count(2));
  add('Indoor', random.integer(1, 4));
  add('Peer', count(2));
  add('Wall', count(2));
  add('Spare', count(1));
  add('Zone', count(2));
  add('Bridge', random.next() < 0.7 ? 1 : 0);
  add('Server', random.integer(0, 2));
  add('Switch', random.next() < 0.8 ? 1 : 0);
  add('Joint', count(2));
  add('Amp', count(1));
  add('Twin', count(1));
  const inlets: string[] = [];
  for (const { name, kind } of devices) {
    const members: string[] = [];
    for (const inlet of INLETS[kind] ?? []) {
      const chance = random.next();
      if (chance < 0.5) {
        members.push(`inlet ${inlet} from ${random.pick([...ways, ...outlets])}`);
      } else if (chance < 0.9) {
        inlets.push(`${name}.${inlet}`);
      }
    }
    lines.push(
      `device ${name} : ${kind}${members.length === 0 ? '' : ` { ${members.join('  ')} }`}`,
    );
  }
  const points = [...ways, ...outlets];
  for (let isolator = 0; isolator < count(2); isolator += 1) {
    lines.push(`isolator Q${isolator} on ${random.pick(points)} lockable`);
  }
  for (let feed = 0; inlets.length > 0; feed += 1) {
    const and = random.next() < 0.4 ? ` and ${random.pick(points)}` : '';
    const landed = inlets.splice(0, random.integer(1, 3));
    lines.push(
      `feed F${feed} from ${random.pick(points)}${and} {`,
      ...landings(random, landed, true),
      ...(and === '' ? [] : ['  last 5 m']),
      '}',
    );
  }
  for (const type of ['Unit', 'Main', 'Panel'] as const) {
    const ports = shuffled(
      random,
      devices.flatMap(({ name, kind }) =>
        (PORTS[kind] ?? [])
          .filter((port) => port.type === type)
          .map((port) => `${name}.${port.name}`),
      ),
    );
    for (let bus = 0; ports.length > 0; bus += 1) {
      const landed = ports.splice(0, random.integer(1, 5));
      const ring = landed.length > 2 && random.next() < 0.3 ? ['  ring 9 m'] : [];
      lines.push(
        `bus ${type.toLowerCase()}-${bus} : ${type} {`,
        ...landings(random, landed, false),
        ...ring,
        '}',
      );
    }
  }
  lines.push(
    ...network(
      random,
      devices.map(({ name }) => name),
    ),
  );
  return lines.join('\n');
}

const INLETS: Readonly<Record<string, readonly string[]>> = {
  Outdoor: ['mains'],
  Indoor: ['mains'],
  Peer: ['mains'],
  Spare: ['aux'],
  Zone: ['supply'],
  Bridge: ['supply'],
  Switch: ['supply'],
  Amp: ['supply'],
  Supply: ['primary'],
  Battery: ['primary'],
  Twin: ['one', 'two'],
};

const PORTS: Readonly<Record<string, readonly { readonly name: string; readonly type: string }[]>> =
  {
    Outdoor: [
      { name: 'main', type: 'Main' },
      { name: 'unit', type: 'Unit' },
    ],
    Indoor: [
      { name: 'unit', type: 'Unit' },
      { name: 'panel', type: 'Panel' },
    ],
    Peer: [{ name: 'unit', type: 'Unit' }],
    Wall: [{ name: 'panel', type: 'Panel' }],
    Spare: [{ name: 'panel', type: 'Panel' }],
    Zone: [{ name: 'main', type: 'Main' }],
    Bridge: [{ name: 'main', type: 'Main' }],
    Joint: [
      { name: 'a', type: 'Unit' },
      { name: 'b', type: 'Unit' },
    ],
    Amp: [
      { name: 'a', type: 'Unit' },
      { name: 'b', type: 'Unit' },
    ],
  };

function landings(random: Random, targets: readonly string[], isFeed: boolean): string[] {
  const lines: string[] = [];
  targets.forEach((target, index) => {
    const stands = index > 0 && random.next() < 0.3;
    if (stands) {
      lines[lines.length - 1] += ` { spur 4 m { land ${target} } }`;
    } else {
      lines.push(`  land ${target}${index === 0 && !isFeed ? '' : ' 7 m'}`);
    }
  });
  // A landing holds one block, so that only the last spur behind it is kept.
  return lines.map((line) => line.replace(/ \} \} \{ spur/gu, ' }  spur'));
}

function network(random: Random, devices: readonly string[]): string[] {
  const hosts: string[] = [];
  const sockets = ['Switch-0.p1', 'Switch-0.p2'];
  devices.forEach((name, index) => {
    if (/^(?:Server|Bridge)/u.test(name)) {
      const from =
        devices.includes('Switch-0') && sockets.length > 0 && random.next() < 0.8
          ? ` from ${sockets.shift()!}`
          : '';
      hosts.push(`  host ${name}.lan 10.0.0.${index + 1}${from}`);
    }
  });
  return hosts.length === 0 ? [] : ['network lan 10.0.0.0/24 {', ...hosts, '}'];
}

function shuffled<Item>(random: Random, items: readonly Item[]): Item[] {
  return items
    .map((item) => ({ item, rank: random.next() }))
    .sort((one, other) => one.rank - other.rank)
    .map(({ item }) => item);
}

/** What works while something has failed, or nothing has. */
export interface Working {
  readonly supplied: ReadonlySet<string>;
  readonly found: ReadonlySet<string>;
  readonly controlled: ReadonlySet<string>;
  readonly powered: ReadonlySet<string>;
}

export function simulate(site: Site, failed: Element | undefined): Working {
  const simulation = new Simulation(site, failed);
  return simulation.run();
}

/** What is lost by a failure: the difference of two simulations. */
export function lossOf(intact: Working, left: Working, failed: Element): Impact {
  const lost = (before: ReadonlySet<string>, after: ReadonlySet<string>): readonly string[] =>
    [...before].filter((name) => !after.has(name)).sort(compareNames);
  const itself = failed.kind === 'named' ? failed.name : '';
  return {
    withoutSupply: lost(intact.supplied, left.supplied).filter((name) => name !== itself),
    notFound: lost(intact.found, left.found),
    withoutController: lost(intact.controlled, left.controlled),
    withoutSource: lost(intact.powered, left.powered),
  };
}

class Simulation {
  readonly #site: Site;
  readonly #failed: Element | undefined;
  /** Everything that works so far: `device D`, `board B`, `feed F 2`, `bus power b 3`. */
  readonly #on = new Set<string>();

  constructor(site: Site, failed: Element | undefined) {
    this.#site = site;
    this.#failed = failed;
  }

  run(): Working {
    for (let before = -1; before !== this.#on.size;) {
      before = this.#on.size;
      for (const board of this.#site.boards.values()) {
        this.#set(
          `board ${board.name}`,
          !this.#isNamedFailed(board.name) &&
            (board.from === undefined || this.#behind(board.from)),
        );
      }
      for (const feed of this.#site.feeds.values()) {
        this.#set(`feed ${feed.name} outlet`, this.#behind(feed.from));
        this.#set(
          `feed ${feed.name} second-outlet`,
          feed.and !== undefined && this.#behind(feed.and),
        );
        for (const [one, other] of this.#cables(feed)) {
          this.#share(`feed ${feed.name} ${one}`, `feed ${feed.name} ${other}`);
        }
      }
      for (const bus of this.#site.buses.values()) {
        for (const landing of bus.landings) {
          const port = this.#port(landing.device, landing.member);
          this.#set(
            `power ${bus.name} ${landing.index}`,
            port?.gives !== undefined && this.#on.has(`device ${landing.device}`),
          );
        }
        for (const [one, other] of this.#cables(bus)) {
          this.#share(`power ${bus.name} ${one}`, `power ${bus.name} ${other}`);
        }
      }
      for (const [one, other] of this.#joints('passes')) {
        this.#share(`power ${one}`, `power ${other}`);
      }
      for (const device of this.#site.devices.values()) {
        for (const { index, from } of device.inletLines) {
          const isCut =
            this.#failed?.kind === 'line' &&
            this.#failed.device === device.name &&
            this.#failed.index === index;
          this.#set(`line ${device.name} ${index}`, !isCut && this.#behind(from));
        }
        this.#set(
          `device ${device.name}`,
          !this.#isNamedFailed(device.name) && this.#hasSupply(device),
        );
      }
    }
    const supplied = [...this.#site.devices.keys()].filter((name) =>
      this.#on.has(`device ${name}`),
    );
    return {
      supplied: new Set(supplied),
      found: new Set(supplied.filter((name) => this.#isFound(name))),
      controlled: new Set(
        [...this.#site.buses.values()]
          .filter((bus) =>
            this.#conversation(bus).some((one) =>
              one.landings.some(
                ({ device, member }) =>
                  this.#port(device, member)?.talksAs === 'controller' &&
                  this.#on.has(`device ${device}`),
              ),
            ),
          )
          .map(({ name }) => name),
      ),
      powered: new Set(
        [...this.#site.buses.values()]
          .filter((bus) =>
            bus.landings.some(
              ({ device, member }) =>
                this.#port(device, member)?.gives !== undefined && this.#on.has(`device ${device}`),
            ),
          )
          .map(({ name }) => name),
      ),
    };
  }

  #set(key: string, works: boolean): void {
    if (works) {
      this.#on.add(key);
    }
  }

  #share(one: string, other: string): void {
    if (this.#on.has(one) || this.#on.has(other)) {
      this.#on.add(one).add(other);
    }
  }

  #isNamedFailed(name: string): boolean {
    return this.#failed?.kind === 'named' && this.#failed.name === name;
  }

  /** The cables of a run that are whole, by their ends. */
  #cables(run: Bus | Feed): readonly (readonly [number | string, number | string])[] {
    const ends: [number | string, number | string][] = [];
    for (const { index, from } of run.landings) {
      if (from !== undefined) {
        ends.push([from, index]);
      } else if (run.kind === 'feed') {
        ends.push(['outlet', index]);
      }
    }
    const last = run.landings.findLast(({ spur }) => spur === undefined)!.index;
    if (run.kind === 'bus' && run.ring !== undefined) {
      ends.push([last, 0]);
    }
    if (run.kind === 'feed' && run.and !== undefined) {
      ends.push([last, 'second-outlet']);
    }
    return ends.filter(
      (_, position) =>
        !(
          this.#failed?.kind === 'cable' &&
          this.#failed.run === run.name &&
          this.#failed.position === position
        ),
    );
  }

  #behind({ owner, member }: { readonly owner: string; readonly member: string }): boolean {
    const key = `${owner}.${member}`;
    const isCut = [...this.#site.isolators.values()].some(
      (isolator) =>
        `${isolator.on.owner}.${isolator.on.member}` === key && this.#isNamedFailed(isolator.name),
    );
    if (isCut || this.#isNamedFailed(key)) {
      return false;
    }
    if (this.#site.boards.has(owner)) {
      return this.#on.has(`board ${owner}`);
    }
    const equipment = this.#equipment(owner)!;
    const outlet = equipment.outlets.find((one) => one.name === member)!;
    return (
      !this.#isNamedFailed(owner) &&
      (outlet.stored || this.#inlet(owner, equipment.inlets[0]!.name))
    );
  }

  #equipment(device: string) {
    return this.#site.equipment.get(this.#site.devices.get(device)?.equipment ?? '');
  }

  #port(device: string, member: string) {
    return this.#equipment(device)?.ports.find((port) => port.name === member);
  }

  #inlet(device: string, inlet: string): boolean {
    const supplies = this.#supplies(device, inlet);
    return supplies.length === 0 || supplies.includes(true);
  }

  #supplies(device: string, inlet: string): readonly boolean[] {
    const lines = this.#site.devices.get(device)!.inletLines.filter((line) => line.inlet === inlet);
    const landed = [...this.#site.feeds.values()].flatMap((feed) =>
      feed.landings
        .filter((landing) => landing.device === device && landing.member === inlet)
        .map((landing) => this.#on.has(`feed ${feed.name} ${landing.index}`)),
    );
    return [...landed, ...lines.map(({ index }) => this.#on.has(`line ${device} ${index}`))];
  }

  #hasSupply(device: Device): boolean {
    const equipment = this.#equipment(device.name)!;
    const required = equipment.inlets.filter(({ optional }) => !optional);
    if (required.length > 0) {
      return required.every(({ name }) => this.#inlet(device.name, name));
    }
    const ways = [
      ...equipment.inlets.flatMap(({ name }) => this.#supplies(device.name, name)),
      ...equipment.ports
        .filter((port) => port.takes !== undefined)
        .flatMap((port) =>
          [...this.#site.buses.values()].flatMap((bus) =>
            bus.landings
              .filter((landing) => landing.device === device.name && landing.member === port.name)
              .map(
                (landing) =>
                  !bus.landings.some(
                    (other) => this.#port(other.device, other.member)?.gives !== undefined,
                  ) || this.#on.has(`power ${bus.name} ${landing.index}`),
              ),
          ),
        ),
      ...equipment.lans
        .filter((lan) => lan.takesPoeClass !== undefined)
        .flatMap(() => this.#plugs(device.name)),
    ];
    return ways.length === 0 || ways.includes(true);
  }

  /** Whether each socket of a device is plugged into something that works. */
  #plugs(device: string): readonly boolean[] {
    return [...this.#site.networks.values()].flatMap(({ name, hosts }) =>
      hosts
        .filter((host) => host.device === device)
        .map(
          (host) =>
            host.from === undefined ||
            (this.#on.has(`device ${host.from.owner}`) &&
              !(
                this.#failed?.kind === 'host' &&
                this.#failed.network === name &&
                this.#failed.index === host.index
              )),
        ),
    );
  }

  /** Pairs of landings that a working joint or repeater joins. */
  #joints(how: 'passes' | 'repeats'): readonly (readonly [string, string])[] {
    const place = (device: string, member: string): string | undefined => {
      for (const bus of this.#site.buses.values()) {
        const landing = bus.landings.find((one) => one.device === device && one.member === member);
        if (landing !== undefined) {
          return `${bus.name} ${landing.index}`;
        }
      }
      return undefined;
    };
    return [...this.#site.devices.values()].flatMap((device) => {
      const works =
        how === 'passes'
          ? !this.#isNamedFailed(device.name)
          : this.#on.has(`device ${device.name}`);
      const joins = this.#equipment(device.name)!.crossings.some((one) => one.how === how);
      const [one, other] = [place(device.name, 'a'), place(device.name, 'b')];
      return works && joins && one !== undefined && other !== undefined
        ? [[one, other] as const]
        : [];
    });
  }

  /** The buses that share a conversation with one, whatever has failed. */
  #conversation(start: Bus): readonly Bus[] {
    const buses = new Set([start]);
    for (const bus of buses) {
      for (const { device, member } of bus.landings) {
        if (this.#equipment(device)!.crossings.some(({ how }) => how !== 'relays')) {
          for (const other of this.#site.buses.values()) {
            if (other.landings.some((one) => one.device === device && one.member !== member)) {
              buses.add(other);
            }
          }
        }
      }
    }
    return [...buses];
  }

  #isFound(unit: string): boolean {
    const role = this.#equipment(unit)!.role;
    return [...this.#site.devices.keys()].some(
      (controller) =>
        controller !== unit &&
        this.#on.has(`device ${controller}`) &&
        this.#equipment(controller)!.supervises.some(
          (line) => line.role === role && this.#hears(controller, line.port, unit),
        ),
    );
  }

  /** Whether a conversation that starts at a port or socket comes to another device. */
  #hears(from: string, member: string, to: string): boolean {
    const heard = new Set(this.#placesOf(from, member));
    for (let before = -1; before !== heard.size;) {
      before = heard.size;
      const share = (one: string, other: string): void => {
        if (heard.has(one) || heard.has(other)) {
          heard.add(one).add(other);
        }
      };
      for (const bus of this.#site.buses.values()) {
        this.#cables(bus).forEach(([one, other]) =>
          share(`${bus.name} ${one}`, `${bus.name} ${other}`),
        );
      }
      [...this.#joints('passes'), ...this.#joints('repeats')].forEach(([one, other]) =>
        share(one, other),
      );
      for (const device of this.#site.devices.keys()) {
        for (const crossing of this.#equipment(device)!.crossings) {
          if (
            crossing.how === 'relays' &&
            this.#on.has(`device ${device}`) &&
            this.#placesOf(device, crossing.from).some((place) => heard.has(place))
          ) {
            this.#placesOf(device, crossing.to).forEach((place) => heard.add(place));
          }
        }
      }
    }
    const equipment = this.#equipment(to)!;
    return [
      ...equipment.ports.filter((port) => port.talksAs !== 'neither'),
      ...equipment.lans,
    ].some(({ name }) => this.#placesOf(to, name).some((place) => heard.has(place)));
  }

  #placesOf(device: string, member: string): readonly string[] {
    if (member === 'lan') {
      return this.#plugs(device).includes(true) ? ['network'] : [];
    }
    return [...this.#site.buses.values()].flatMap((bus) =>
      bus.landings
        .filter((landing) => landing.device === device && landing.member === member)
        .map((landing) => `${bus.name} ${landing.index}`),
    );
  }
}
