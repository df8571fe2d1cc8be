/** What a device that is about to be written needs: a free name, a free address, a way with room. */
import { rangeText, type AddressRange } from '../../../analysis/graph/addresses.js';
import { supplyCandidates } from '../../../analysis/power/candidates.js';
import type { Equipment, Port } from '../../../model/equipment.js';
import type { Device } from '../../../model/records.js';
import { compareNames, equipmentOf, type Site } from '../../../model/site.js';

/** A device that is not in the site yet. */
export function freshDevice(name: string, equipment: string, room: string | undefined): Device {
  return {
    kind: 'device',
    name,
    equipment,
    ...(room === undefined ? {} : { room }),
    existing: false,
    main: false,
    addresses: [],
    inletLines: [],
  };
}

/** The name after the last device of the equipment: `FC-1-03` gives `FC-1-04`. */
export function nextName(site: Site, equipment: string): string {
  const last = [...(site.devicesOf.get(equipment) ?? [])]
    .sort((one, other) => compareNames(one.name, other.name))
    .at(-1);
  const [, stem = 'D-', digits = '0'] = /^(.*?)(\d+)$/u.exec(last?.name ?? '') ?? [];
  for (let number = Number(digits) + 1; ; number++) {
    const name = `${stem}${String(number).padStart(last === undefined ? 1 : digits.length, '0')}`;
    if (!site.byName.has(name)) {
      return name;
    }
  }
}

/** A free name made of a stem: `link`, `link-2`, `link-3`. */
export function freeName(site: Site, stem: string): string {
  let name = stem;
  for (let number = 2; site.byName.has(name); number++) {
    name = `${stem}-${number}`;
  }
  return name;
}

/** Ports of equipment that get an address by its `address` line, with their range. */
export function addressedPorts(
  site: Site,
  equipment: Equipment,
): readonly { readonly port: Port; readonly range: AddressRange }[] {
  return equipment.ports.flatMap((port) => {
    const range = site.busTypes.get(port.busType)?.addresses;
    const talks = port.talksAs === 'controller' || port.talksAs === 'responder';
    return range === undefined || !talks || port.addressedBy === 'none' ? [] : [{ port, range }];
  });
}

/** Ranges as people read them: `field 1 .. 64`. */
export function rangesText(site: Site, equipment: Equipment): string {
  return addressedPorts(site, equipment)
    .map(({ port, range }) => `${port.name} ${rangeText(range)}`)
    .join(', ');
}

/**
 * Addresses that a device which is landed nowhere may take wherever it will be landed: within all its
 * ranges and taken on no bus of these types. Ascending.
 */
export function* unlandedAddresses(
  site: Site,
  equipment: Equipment,
  except?: string,
): Generator<number> {
  const ranges = addressedPorts(site, equipment);
  if (ranges.length === 0) {
    return;
  }
  const types = new Set(ranges.map(({ port }) => port.busType));
  const owners = ownersOf(site, types);
  const from = Math.max(...ranges.map(({ range }) => Math.ceil(range.from)));
  const to = Math.min(...ranges.map(({ range }) => range.to));
  for (let address = from; address <= to; address++) {
    const owner = owners.get(address);
    const isOpen = ranges.every(({ range }) => !range.except.includes(address));
    if (isOpen && (owner === undefined || owner.every((name) => name === except))) {
      yield address;
    }
  }
}

/** Who has which address among the devices with a port of one of the bus types. */
export function ownersOf(
  site: Site,
  busTypes: ReadonlySet<string>,
): ReadonlyMap<number, readonly string[]> {
  const owners = new Map<number, string[]>();
  for (const device of site.devices.values()) {
    const isOnType = equipmentOf(site, device)?.ports.some((port) => busTypes.has(port.busType));
    for (const { address } of isOnType === true ? device.addresses : []) {
      owners.set(address, [...(owners.get(address) ?? []), device.name]);
    }
  }
  return owners;
}

/** For each inlet that must be fed from a line, the nearest way or outlet that fits and has room. */
export function suppliesFor(site: Site, device: Device): ReadonlyMap<string, readonly string[]> {
  const found = new Map<string, readonly string[]>();
  for (const inlet of equipmentOf(site, device)?.inlets ?? []) {
    if (!inlet.optional) {
      const points = supplyCandidates(site, device, inlet, 5)
        .filter(({ feed }) => feed === undefined)
        .map(({ point }) => point.key);
      if (points.length > 0) {
        found.set(inlet.name, points);
      }
    }
  }
  return found;
}
