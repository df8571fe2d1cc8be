/** Gives the units of a bus their addresses in the order in which somebody walks along it. */
import { addressedPortsOf } from '../../../analysis/graph/addresses.js';
import type { ModelEdit } from '../../../model/edit.js';
import type { AddressLine, Device } from '../../../model/records.js';
import type { Site } from '../../../model/site.js';
import type { Bus } from '../../../model/wiring.js';
import { writtenFix } from '../../fixes.js';
import type { OpenSite } from '../../open-site.js';
import type { Refactor } from './refactor.js';

/**
 * The addresses stay the same and only change hands, so that they clash with nothing that they did not
 * clash with before. Controllers keep theirs, and so does what has its address on another bus too.
 */
export function renumbering(open: OpenSite, bus: Bus): Refactor | undefined {
  const units = unitsInOrder(open.site, bus);
  const addresses = units.map(({ line }) => line.address).sort((one, other) => one - other);
  if (new Set(addresses).size < addresses.length) {
    return undefined;
  }
  const edits = units.flatMap(({ device, line }, index): ModelEdit[] =>
    addresses[index] === line.address
      ? []
      : [
          {
            kind: 'set-address',
            device: device.name,
            ...(line.port === undefined ? {} : { port: line.port }),
            address: addresses[index]!,
          },
        ],
  );
  if (edits.length === 0) {
    return undefined;
  }
  const { title, changes } = writtenFix(open, {
    title: `Renumber ${bus.name} in walking order: ${edits.length} addresses must be set anew on site`,
    kind: 'wiring',
    edits,
  });
  return { title, kind: 'rewrite', changes, newFiles: [] };
}

function unitsInOrder(site: Site, bus: Bus): { device: Device; line: AddressLine }[] {
  return bus.landings.flatMap((landing) => {
    const device = site.devices.get(landing.device);
    const ports = device === undefined ? [] : addressedPortsOf(site, device);
    const own = ports.find((one) => one.bus === bus && one.port.name === landing.member);
    const line = own?.line;
    const isShared = ports.some((one) => one !== own && one.line === line);
    return device === undefined ||
      line === undefined ||
      isShared ||
      device.existing ||
      own?.port.talksAs !== 'responder'
      ? []
      : [{ device, line }];
  });
}
