import {
  addressedPortsOf,
  freeAddresses,
  freeDeviceAddresses,
  rangeText,
} from '../analysis/graph/addresses.js';
import type { AddressedPort } from '../analysis/graph/addresses.js';
import type { ModelEdit } from '../model/edit.js';
import { placeOf } from '../model/origin.js';
import type { Device } from '../model/records.js';
import type { Site } from '../model/site.js';
import { defineRule } from './rule.js';
import { settingOnSite, busPlace, firstOf } from './support/address-wording.js';
import { addressNeeds } from './support/needs.js';

/** A device that talks on a bus with addresses and states none there. */
export const addressMissing = defineRule({
  name: 'address-missing',
  severity: 'error',
  of: 'device',
  acceptable: true,
  needs: addressNeeds,
  *check(site, device) {
    const missing = missingIn(site, device);
    // The address may stand in the very line that could not be read.
    if (missing.length === 0) {
      return;
    }
    const where = missing.map(({ bus, range }) => `${bus.name} (${rangeText(range)})`).join(', ');
    const edits = editsFor(site, device);
    yield {
      subject: device.name,
      at: placeOf(device.name, 'name'),
      what: `${device.name} has no address on ${where}.`,
      why: 'Without one it is never asked and never found.',
      remedy:
        edits.length === 0
          ? 'No address is free there: take one from a device that needs none, or use another bus.'
          : `Add ${edits.map(lineOf).join(' and ')}, the lowest that is free.`,
      related: missing.map(({ bus }) => busPlace(bus)),
    };
  },
  fixes(site, finding) {
    const device = site.devices.get(finding.subject);
    const edits = device === undefined ? [] : editsFor(site, device);
    return edits.length === 0
      ? []
      : [
          {
            title: `Give ${finding.subject} ${edits.map(lineOf).join(' and ')}: ${settingOnSite(site, device!, edits.length === 1 ? edits[0]!.port : undefined)}`,
            kind: 'wiring',
            edits,
          },
        ];
  },
});

type SetAddress = Extract<ModelEdit, { readonly kind: 'set-address' }>;

function missingIn(site: Site, device: Device): readonly AddressedPort[] {
  return addressedPortsOf(site, device).filter((one) => one.line === undefined);
}

/** One line for the whole device where one address suits every port without one, else a line a port. */
function editsFor(site: Site, device: Device): readonly SetAddress[] {
  const ports = [...new Set(missingIn(site, device).map((one) => one.port.name))];
  const common =
    device.addresses.length === 0 ? firstOf(freeDeviceAddresses(site, device)) : undefined;
  if (common !== undefined) {
    return [{ kind: 'set-address', device: device.name, address: common }];
  }
  const edits = ports.map((port): SetAddress | undefined => {
    const address = firstOf(freeAddresses(site, device, port));
    return address === undefined
      ? undefined
      : { kind: 'set-address', device: device.name, port, address };
  });
  return edits.some((edit) => edit === undefined) ? [] : edits.flatMap((edit) => edit ?? []);
}

function lineOf(edit: SetAddress): string {
  return edit.port === undefined
    ? `"address ${edit.address}"`
    : `"address ${edit.address} on ${edit.port}"`;
}
