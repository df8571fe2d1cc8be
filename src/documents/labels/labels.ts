/** Labels for wires, cables and devices: data for label printers, and sheets to print and cut. */
import { endName } from '../../analysis/cabling/cables.js';
import type { CableEnd, SiteCable } from '../../analysis/cabling/cables.js';
import type { ConductorSize } from '../../model/quantity.js';
import type { Device } from '../../model/records.js';
import { compareNames, equipmentOf, roomOf } from '../../model/site.js';
import type { PlacedRoom, Site } from '../../model/site.js';
import {
  count,
  dataOnly,
  list,
  note,
  numberColumn,
  paragraph,
  tableOf,
  textColumn,
} from '../document.js';
import type { Block, Document, Section } from '../document.js';
import { groupBy } from '../group-by.js';
import { placeText, sizeCell } from '../marks.js';
import { cablesOfPhase, rowsOfCable } from '../schedule/connection-rows.js';
import type { Phase } from '../schedule/connection-rows.js';
import { labelTexts as texts } from '../texts/labels.js';
import { words } from '../texts/words.js';
import { walkingOrder } from '../walking-order.js';
import { designationOf, terminalDesignation } from './designation.js';

/** One sleeve. */
export interface WireLabel {
  readonly text: string;
  /** The device or board at which it is put on. */
  readonly owner: string;
  readonly end: CableEnd;
  readonly terminal: string | undefined;
  readonly cable: SiteCable;
  readonly core: string;
  readonly size: ConductorSize | undefined;
}

export function labels(site: Site, phase: Phase): Document {
  const devices = walkingOrder(site).filter((device) => phase === 'all' || !device.existing);
  const cables = cablesOfPhase(site, phase);
  const wires = wireLabels(site, phase);
  const nameless = devices.filter((device) => designation(site, device) === undefined);
  return {
    id: 'labels',
    title: texts.title,
    orientation: 'portrait',
    introduction: [
      paragraph(texts.about),
      list(texts.rules),
      ...(nameless.length === 0
        ? []
        : [note(texts.notDesignated(nameless.map(({ name }) => name).join(', ')))]),
      ...(devices.length + cables.length === 0 ? [paragraph(texts.nothing)] : []),
    ],
    sections: [
      ...(devices.length === 0 ? [] : [deviceSection(site, devices)]),
      ...(cables.length === 0 ? [] : [cableSection(cables)]),
      ...wireSections(site, wires),
    ],
  };
}

/** The sleeves of a phase: enclosure by enclosure as one walks, boards last, then by cable. */
export function wireLabels(site: Site, phase: Phase): readonly WireLabel[] {
  const all = cablesOfPhase(site, phase).flatMap((cable) =>
    rowsOfCable(site, cable)
      .filter((row) => row.core?.kind !== 'core-missing' && row.core?.kind !== 'screen')
      .flatMap((row): WireLabel[] => {
        const common = {
          cable,
          core: row.coreText,
          size: row.core?.size,
        };
        return [
          {
            ...common,
            text: row.labelFrom,
            owner: cable.from.owner,
            end: cable.from,
            terminal: row.core?.fromTerminal,
          },
          {
            ...common,
            text: row.labelTo,
            owner: cable.to.owner,
            end: cable.to,
            terminal: row.core?.toTerminal,
          },
        ];
      }),
  );
  const byOwner = groupBy(all, ({ owner }) => owner);
  return ownersInOrder(site, [...byOwner.keys()]).flatMap((owner) => byOwner.get(owner) ?? []);
}

/** Devices as one walks, then everything else (boards, names that resolve to nothing) by name. */
export function ownersInOrder(site: Site, owners: readonly string[]): readonly string[] {
  const wanted = new Set(owners);
  const walked = walkingOrder(site)
    .map(({ name }) => name)
    .filter((name) => wanted.has(name));
  const others = [...wanted].filter((name) => !site.devices.has(name)).sort(compareNames);
  return [...walked, ...others];
}

const { columns: headings } = texts;

function designation(site: Site, device: Device): string | undefined {
  return designationOf(device.name, roomOf(site, device));
}

function deviceSection(site: Site, devices: readonly Device[]): Section {
  return {
    heading: texts.sections.devices,
    blocks: [
      tableOf<Device>(
        'labels-devices',
        '',
        [
          textColumn(headings.label, (device) => device.name),
          textColumn(headings.designation, (device) => designation(site, device) ?? ''),
          textColumn(
            headings.title,
            (device) => device.title ?? equipmentOf(site, device)?.title ?? device.equipment,
          ),
          textColumn(headings.place, (device) => placeText(roomOf(site, device))),
          textColumn(headings.work, (device) => (device.existing ? words.existing : words.fresh)),
        ],
        devices,
      ),
    ],
  };
}

function cableSection(cables: readonly SiteCable[]): Section {
  return {
    heading: texts.sections.cables,
    blocks: [
      dataOnly(
        tableOf<SiteCable>(
          'labels-cables',
          '',
          [
            textColumn(headings.label, (cable) => cable.id),
            numberColumn(headings.pieces, '', () => count(2)),
            textColumn(headings.cableType, (cable) => cable.cableName ?? words.notStated),
            textColumn(headings.at, (cable) => `${endName(cable.from)}, ${endName(cable.to)}`),
            textColumn(headings.work, (cable) => (cable.existing ? words.existing : words.fresh)),
          ],
          cables,
        ),
      ),
      // Both ends: the same text twice, side by side.
      { kind: 'labels', labels: cables.flatMap(({ id }) => [id, id]) },
    ],
  };
}

function wireSections(site: Site, wires: readonly WireLabel[]): readonly Section[] {
  if (wires.length === 0) {
    return [];
  }
  const data = dataOnly(
    tableOf<WireLabel>(
      'labels-wires',
      '',
      [
        textColumn(headings.label, ({ text }) => text),
        textColumn(headings.designation, (wire) => wireDesignation(wire) ?? ''),
        textColumn(headings.at, ({ owner }) => owner),
        textColumn(headings.place, ({ end }) => placeText(end.room)),
        textColumn(headings.cable, ({ cable }) => cable.id),
        textColumn(headings.core, ({ core }) => core),
        numberColumn(headings.size, undefined, ({ size }) => sizeCell(size)),
      ],
      wires,
    ),
  );
  return [...groupBy(wires, ({ owner }) => owner)].map(([owner, ofOwner], index): Section => {
    const sheet: Block = { kind: 'labels', labels: ofOwner.map(({ text }) => text) };
    return {
      heading: texts.sections.wires(`${owner}, ${placeText(roomOfOwner(ofOwner))}`),
      blocks: index === 0 ? [data, sheet] : [sheet],
    };
  });
}

function roomOfOwner(wires: readonly WireLabel[]): PlacedRoom | undefined {
  return wires.find(({ end }) => end.room !== undefined)?.end.room;
}

function wireDesignation({ end, terminal }: WireLabel): string | undefined {
  return terminalDesignation(end.owner, end.member, terminal, end.room);
}
