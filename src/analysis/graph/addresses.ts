/** Bus addresses: who has which, where two clash, and which are free. */
import type { BusType, Port } from '../../model/equipment.js';
import type { Fact } from '../../model/finding.js';
import type { AddressLine, Device } from '../../model/records.js';
import { compareNames, memberKey, resolvePort } from '../../model/site.js';
import type { RunLanding, Site } from '../../model/site.js';
import type { Bus } from '../../model/wiring.js';
import { talkDomainOf } from '../bus/segment.js';
import type { TalkDomain } from '../bus/segment.js';
import { memoised } from '../memo.js';
import { attachmentsOn } from './media.js';
import type { Attachment } from './media.js';
import { controllersFinding, supervisionOf } from './supervision.js';

export type AddressRange = NonNullable<BusType['addresses']>;

/** A port that needs an address on a bus. */
export interface AddressedPort {
  readonly device: Device;
  readonly port: Port;
  readonly bus: Bus;
  readonly range: AddressRange;
  /** The line that gives the address: the port's own, else the device's; undefined where none does. */
  readonly line?: AddressLine;
}

/** The line that holds on a port: the port's own, else the device's. */
export function addressLineOf(device: Device, port: string): AddressLine | undefined {
  return (
    device.addresses.find((line) => line.port === port) ??
    device.addresses.find((line) => line.port === undefined)
  );
}

/**
 * The landed ports of a device that need an address: they talk, their bus type has addresses, and
 * their equipment does not say `addressed none`. By the bus's name, then in landing order.
 */
export const addressedPortsOf = memoised((site, device: Device): readonly AddressedPort[] =>
  landingsByBusName(site, device).flatMap(({ run, landing }) => {
    const port = resolvePort(site, device.name, landing.member)?.port;
    const range = site.busTypes.get(run.busType)?.addresses;
    if (port === undefined || range === undefined || !needsAddress(port, run)) {
      return [];
    }
    const line = addressLineOf(device, port.name);
    return [{ device, port, bus: run, range, ...(line === undefined ? {} : { line }) }];
  }),
);

/** Whether an address may stand on a bus of this range: whole, from `from` to `to`, not excepted. */
export function isInRange(range: AddressRange, address: number): boolean {
  return (
    Number.isInteger(address) &&
    address >= range.from &&
    address <= range.to &&
    !range.except.includes(address)
  );
}

/** Another device of the same address, and where the two meet. */
export interface AddressClash {
  readonly own: AddressedPort;
  readonly other: AddressedPort;
  /** The controller that sees both through relays; undefined where they meet on one bus. */
  readonly seenBy?: Device;
}

/** The clashes of a device with any other, each other device once; those on its own buses first. */
export const clashesOf = memoised((site, device: Device): readonly AddressClash[] => {
  const clashes = new Map<string, AddressClash>();
  for (const own of addressedPortsOf(site, device)) {
    if (own.line === undefined) {
      continue;
    }
    const { address } = own.line;
    for (const { book, seenBy } of booksAround(site, own)) {
      for (const other of book.get(address) ?? []) {
        if (other.device.name !== device.name && !clashes.has(other.device.name)) {
          clashes.set(other.device.name, {
            own,
            other,
            ...(seenBy === undefined ? {} : { seenBy }),
          });
        }
      }
    }
  }
  return [...clashes.values()];
});

/**
 * The addresses that a port of a device may take without a clash, in ascending order; the device's
 * own address counts as free. Empty where the port needs no address.
 */
export function* freeAddresses(site: Site, device: Device, port: string): Generator<number> {
  yield* freeOn(
    site,
    addressedPortsOf(site, device).filter((one) => one.port.name === port),
  );
}

/** The same for an address that holds on every port without a line of its own. */
export function* freeDeviceAddresses(site: Site, device: Device): Generator<number> {
  const ports = addressedPortsOf(site, device);
  yield* freeOn(
    site,
    ports.filter(({ port }) => device.addresses.every((line) => line.port !== port.name)),
  );
}

/** `address` of a device; none where it needs none and states none. */
export function factsOfAddress(site: Site, device: Device): readonly Fact[] {
  const ports = addressedPortsOf(site, device);
  const common = { subject: device.name, fact: 'address', unit: '', source } as const;
  const missing = ports.filter((one) => one.line === undefined);
  if (ports.length === 0) {
    return device.addresses.length === 0
      ? []
      : [{ ...common, value: shown(device.addresses), basis: 'stated', terms: [] }];
  }
  const terms = ports.map(({ bus, port, range, line }) => ({
    name: `${port.name} on ${bus.name}, ${rangeText(range)}`,
    value: line?.address ?? null,
    unit: '',
    basis: line === undefined ? ('unknown' as const) : ('stated' as const),
  }));
  if (missing.length > 0) {
    return [{ ...common, value: null, basis: 'unknown', needs: neededLine(ports, missing), terms }];
  }
  const used = ports.flatMap((one) => one.line ?? []);
  return [{ ...common, value: shown(used), basis: 'stated', terms }];
}

/** A range as the bus type states it: `1 .. 64 except 13`. */
export function rangeText(range: AddressRange): string {
  const except = range.except.length === 0 ? '' : ` except ${range.except.join(', ')}`;
  return `${range.from} .. ${range.to}${except}`;
}

const source =
  'common practice: an address is unique on its bus and for each controller that sees it';

function shown(lines: readonly AddressLine[]): number | readonly string[] {
  const distinct = [...new Set(lines)];
  const addresses = new Set(distinct.map((line) => line.address));
  return addresses.size === 1
    ? distinct[0]!.address
    : distinct.map((line) =>
        line.port === undefined ? String(line.address) : `${line.address} on ${line.port}`,
      );
}

function neededLine(ports: readonly AddressedPort[], missing: readonly AddressedPort[]): string {
  return missing.length === ports.length
    ? 'address N'
    : missing.map((one) => `address N on ${one.port.name}`).join('  ');
}

/** The order of buses in the text decides nothing, so that the same site gives the same facts. */
function landingsByBusName(site: Site, device: Device): readonly RunLanding<Bus>[] {
  const landings = site.busLandingsOfDevice.get(device.name) ?? [];
  return landings.length < 2
    ? landings
    : [...landings].sort(
        (one, other) =>
          compareNames(one.run.name, other.run.name) || one.landing.index - other.landing.index,
      );
}

function needsAddress(port: Port, bus: Bus): boolean {
  const talks = port.talksAs === 'controller' || port.talksAs === 'responder';
  return talks && port.busType === bus.busType && port.addressedBy !== 'none';
}

function* freeOn(site: Site, ports: readonly AddressedPort[]): Generator<number> {
  if (ports.length === 0) {
    return;
  }
  const books = ports.flatMap((port) => booksAround(site, port));
  const from = Math.max(...ports.map(({ range }) => Math.ceil(range.from)));
  const to = Math.min(...ports.map(({ range }) => range.to));
  for (let address = from; address <= to; address++) {
    const isTaken = books.some(({ book }) =>
      book.get(address)?.some((port) => port.device.name !== ports[0]!.device.name),
    );
    if (!isTaken && ports.every(({ range }) => isInRange(range, address))) {
      yield address;
    }
  }
}

/** The ports of an address space by their address. */
type AddressBook = ReadonlyMap<number, readonly AddressedPort[]>;

interface SpaceBook {
  readonly book: AddressBook;
  /** The controller in whose eyes this is one space; undefined for what meets on a bus. */
  readonly seenBy?: Device;
}

/** The address spaces that a port stands in: its bus with all repeated segments, and its controllers'. */
function booksAround(site: Site, own: AddressedPort): readonly SpaceBook[] {
  const books: SpaceBook[] = [{ book: bookOfDomain(site, talkDomainOf(site, own.bus)) }];
  const key = memberKey(own.device.name, own.port.name);
  for (const controller of controllersFinding(site, own.device.name)) {
    const { bookOfSpace, spacesOfPort } = booksOfController(site, controller);
    for (const space of spacesOfPort.get(key) ?? []) {
      books.push({ book: bookOfSpace.get(space) ?? new Map(), seenBy: controller });
    }
  }
  return books;
}

const bookOfDomain = memoised((site, domain: TalkDomain): AddressBook =>
  bookOf(
    domain.segments
      .flatMap((segment) => segment.buses)
      .flatMap((bus) =>
        attachmentsOn(site, { kind: 'bus', key: `bus ${bus.name}`, bus }, 'fitting'),
      )
      .flatMap((attachment) => addressedPort(site, attachment) ?? []),
  ),
);

const booksOfController = memoised((site, controller: Device) => {
  const portsOfSpace = new Map<string, AddressedPort[]>();
  const spacesOfPort = new Map<string, Set<string>>();
  for (const sighting of supervisionOf(site, controller)?.sightings ?? []) {
    const port = addressedPort(site, sighting);
    if (port !== undefined) {
      const key = memberKey(port.device.name, port.port.name);
      push(portsOfSpace, sighting.space, port);
      spacesOfPort.set(key, (spacesOfPort.get(key) ?? new Set()).add(sighting.space));
    }
  }
  const bookOfSpace = new Map([...portsOfSpace].map(([space, ports]) => [space, bookOf(ports)]));
  return { bookOfSpace, spacesOfPort };
});

function bookOf(ports: readonly AddressedPort[]): AddressBook {
  const book = new Map<number, AddressedPort[]>();
  for (const port of ports) {
    if (port.line !== undefined) {
      push(book, port.line.address, port);
    }
  }
  return book;
}

function addressedPort(site: Site, attachment: Attachment): AddressedPort | undefined {
  return addressedPortsOf(site, attachment.device).find(
    (one) => one.bus === attachment.bus && one.port.name === attachment.member,
  );
}

function push<Key, Value>(map: Map<Key, Value[]>, key: Key, value: Value): void {
  const list = map.get(key);
  if (list === undefined) {
    map.set(key, [value]);
  } else {
    list.push(value);
  }
}
