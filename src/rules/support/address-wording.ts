/** What the rules about bus addresses share: places, and the fix that takes the lowest free address. */
import {
  addressedPortsOf,
  freeAddresses,
  freeDeviceAddresses,
} from '../../analysis/graph/addresses.js';
import type { AddressedPort } from '../../analysis/graph/addresses.js';
import type { Finding, Fix, RelatedPlace } from '../../model/finding.js';
import { part, placeOf } from '../../model/origin.js';
import type { Place } from '../../model/origin.js';
import type { AddressLine, Device } from '../../model/records.js';
import type { Site } from '../../model/site.js';
import type { Bus } from '../../model/wiring.js';

/** The line that states an address. */
export function addressPlace(device: Device, line: AddressLine): Place {
  return placeOf(device.name, part('address', line.index));
}

/** The bus as a related place. */
export function busPlace(bus: Bus): RelatedPlace {
  return { at: placeOf(bus.name, 'name'), message: `It is landed on ${bus.name}.` };
}

/** The lowest address that suits every port on which a line holds; undefined where none is free. */
export function lowestFreeFor(site: Site, device: Device, line: AddressLine): number | undefined {
  return firstOf(
    line.port === undefined
      ? freeDeviceAddresses(site, device)
      : freeAddresses(site, device, line.port),
  );
}

/** What to write instead, as a sentence. */
export function freeAddressAdvice(site: Site, device: Device, line: AddressLine): string {
  const free = lowestFreeFor(site, device, line);
  return free === undefined
    ? 'No address is free there: take one from a device that needs none, or use another bus.'
    : `Give it ${free}, the lowest that is free.`;
}

/** Sets the address of the line at which a finding stands to the lowest free one. */
export function freeBusAddressFixes(site: Site, finding: Finding): readonly Fix[] {
  const device = site.devices.get(finding.at.declaration);
  const line = device?.addresses.find((one) => addressPlace(device, one).part === finding.at.part);
  const address = device && line && lowestFreeFor(site, device, line);
  if (device === undefined || line === undefined || address === undefined) {
    return [];
  }
  const where = line.port === undefined ? '' : ` on ${line.port}`;
  return [
    {
      title: `Give ${device.name} address ${address}${where}: ${settingOnSite(site, device, line.port)}`,
      kind: 'wiring',
      edits: [
        {
          kind: 'set-address',
          device: device.name,
          ...(line.port === undefined ? {} : { port: line.port }),
          address,
        },
      ],
    },
  ];
}

/** What an address costs on site: somebody has to set it where the device hangs. */
export function settingOnSite(site: Site, device: Device, port: string | undefined): string {
  const ways = new Set(
    addressedPortsOf(site, device)
      .filter((one) => port === undefined || one.port.name === port)
      .map((one) => one.port.addressedBy),
  );
  const [only] = ways.size === 1 ? ways : [];
  return only === 'switch'
    ? 'its switch must be set on site'
    : only === 'tool'
      ? 'it must be set with the tool over the bus'
      : 'it must be set on the device';
}

/** The ports of a device on which each of its address lines holds, by line. */
export function portsByLine(
  site: Site,
  device: Device,
): ReadonlyMap<AddressLine, readonly AddressedPort[]> {
  const ports = new Map<AddressLine, AddressedPort[]>();
  for (const port of addressedPortsOf(site, device)) {
    if (port.line !== undefined) {
      ports.set(port.line, [...(ports.get(port.line) ?? []), port]);
    }
  }
  return ports;
}

export function firstOf<Value>(values: Iterable<Value>): Value | undefined {
  for (const value of values) {
    return value;
  }
  return undefined;
}
