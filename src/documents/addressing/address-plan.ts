/** The address plan: which address to set on which device, bus by bus. */
import { addressedPortsOf, rangeText } from '../../analysis/graph/addresses.js';
import type { AddressedPort } from '../../analysis/graph/addresses.js';
import { controllersFinding } from '../../analysis/graph/supervision.js';
import { compareNames, equipmentOf, roomOf } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import {
  boxColumn,
  missing,
  note,
  numberColumn,
  paragraph,
  quantity,
  tableOf,
  textColumn,
  writeColumn,
} from '../document.js';
import type { Document, Section, Table } from '../document.js';
import { groupBy } from '../group-by.js';
import { placeText } from '../marks.js';
import { addressTexts as texts } from '../texts/addressing.js';
import { words } from '../texts/words.js';

export function addressPlan(site: Site): Document {
  const ports = [...site.devices.values()].flatMap((device) => addressedPortsOf(site, device));
  const sections = [...groupBy(ports, ({ bus }) => bus.name)]
    .sort(([one], [other]) => compareNames(one, other))
    .map(([bus, onBus]): Section => ({
      heading: texts.busHeading(bus),
      blocks: [busTable(site, [...onBus].sort(byAddress))],
    }));
  const switched = ports.some(({ port }) => port.addressedBy === 'switch');
  return {
    id: 'address-plan',
    title: texts.title,
    orientation: 'landscape',
    introduction: [
      paragraph(sections.length === 0 ? texts.nothing : texts.about),
      ...(switched ? [note(texts.switchNote)] : []),
    ],
    sections,
  };
}

function busTable(site: Site, ports: readonly AddressedPort[]): Table {
  const { columns: headings } = texts;
  return tableOf<AddressedPort>(
    'address-plan',
    '',
    [
      textColumn(headings.bus, ({ bus }) => bus.name, 'data'),
      numberColumn(headings.address, '', ({ line }) =>
        line === undefined ? missing(texts.missing) : quantity(line.address, '', 'stated', 0),
      ),
      textColumn(headings.device, ({ device }) => device.name),
      textColumn(headings.port, ({ port }) => port.name),
      textColumn(headings.place, ({ device }) => placeText(roomOf(site, device))),
      textColumn(
        headings.equipment,
        ({ device }) => equipmentOf(site, device)?.title ?? device.equipment,
      ),
      textColumn(headings.range, ({ range }) => rangeText(range)),
      textColumn(headings.setBy, ({ port }) =>
        port.addressedBy === undefined ? texts.setByUnknown : texts.setBy[port.addressedBy],
      ),
      textColumn(headings.switches, switchValues),
      textColumn(headings.finders, ({ device }) =>
        controllersFinding(site, device.name)
          .map((controller) => controller.name)
          .sort(compareNames)
          .join(', '),
      ),
      textColumn(headings.work, ({ device }) => (device.existing ? words.existing : words.fresh)),
      boxColumn(headings.set),
      writeColumn(headings.initials),
    ],
    ports,
  );
}

/** `8 + 4` for 12: the values of binary switches that are on. */
function switchValues({ port, line }: AddressedPort): string {
  if (port.addressedBy !== 'switch' || line === undefined || line.address > 0xffff) {
    return '';
  }
  const values: number[] = [];
  for (let value = 0x8000; value >= 1; value /= 2) {
    if ((line.address & value) !== 0) {
      values.push(value);
    }
  }
  return values.join(' + ');
}

function byAddress(one: AddressedPort, other: AddressedPort): number {
  const difference = (one.line?.address ?? Infinity) - (other.line?.address ?? Infinity);
  return Number.isNaN(difference) || difference === 0
    ? compareNames(one.device.name, other.device.name)
    : difference;
}
