/** The commissioning sheet: what to see, in order, with room for what was seen. */
import { addressedPortsOf } from '../../analysis/graph/addresses.js';
import { knownAs, supervisionOf } from '../../analysis/graph/supervision.js';
import type { FoundUnit, Supervision } from '../../analysis/graph/supervision.js';
import { RECEIVER_THRESHOLD_V } from '../../analysis/electrical/signal.js';
import type { Host } from '../../model/records.js';
import { compareNames, memberKey, roomOf } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import {
  blank,
  boxColumn,
  count,
  danger,
  list,
  missing,
  note,
  numberColumn,
  paragraph,
  quantity,
  tableOf,
  textColumn,
  writeColumn,
} from '../document.js';
import type { Block, Cell, ColumnOf, Document, Section } from '../document.js';
import { placeText } from '../marks.js';
import { certificateExpectation } from '../addressing/ip-plan.js';
import { commissioningTexts as texts } from '../texts/commissioning.js';
import { startingOrder } from '../walking-order.js';
import {
  METER_TOLERANCE_PERCENT,
  idleReadings,
  ohmReadings,
  roundReadings,
  voltageReadings,
} from './readings.js';
import type { PairReading, RoundReading, VoltageReading } from './readings.js';
import { symptomSection } from './symptoms.js';

export function commissioningSheet(site: Site): Document {
  return {
    id: 'commissioning',
    title: texts.title,
    orientation: 'landscape',
    introduction: [paragraph(texts.about), list(texts.rules)],
    sections: [
      ohmSection(site),
      idleSection(site),
      voltageSection(site),
      findsSection(site),
      ...addressSection(site),
      pageSection(site),
      ...symptomSection(site),
      handoverSection(),
    ],
  };
}

const { columns: headings } = texts;

/** Where a person writes what was seen, whether it is right, who saw it and when. */
function signColumns<Item>(): readonly ColumnOf<Item>[] {
  return [
    writeColumn(headings.seen),
    boxColumn(headings.ok),
    writeColumn(headings.initials),
    writeColumn(headings.date),
  ];
}

function ohmSection(site: Site): Section {
  const readings = ohmReadings(site);
  const terminator = readings
    .map(({ bus }) => site.busTypes.get(bus.busType)?.terminate?.ohm)
    .find((ohm) => ohm !== undefined);
  return {
    heading: texts.sections.ohms,
    blocks:
      readings.length === 0
        ? [paragraph(texts.nothing.ohms)]
        : [
            danger(texts.ohmsDanger),
            paragraph(texts.ohmsAbout(quantity(METER_TOLERANCE_PERCENT, '%', 'assumed'))),
            pairTable('commissioning-ohms', 'ohm', readings),
            ...(terminator === undefined
              ? []
              : [note(texts.ohmsMeaning(quantity(terminator, 'ohm', 'stated')))]),
          ],
  };
}

function idleSection(site: Site): Section {
  const readings = idleReadings(site);
  return {
    heading: texts.sections.idle,
    blocks:
      readings.length === 0
        ? [paragraph(texts.nothing.idle)]
        : [
            paragraph(texts.idleAbout(quantity(RECEIVER_THRESHOLD_V * 1000, 'mV', 'published', 0))),
            pairTable('commissioning-idle', 'mV', readings),
          ],
  };
}

function pairTable(name: string, unit: string, readings: readonly PairReading[]): Block {
  return tableOf<PairReading>(
    name,
    '',
    [
      textColumn(headings.bus, ({ bus }) => bus.name),
      textColumn(headings.at, ({ at }) => at),
      textColumn(headings.terminals, ({ terminals }) => terminals.join(', ')),
      textColumn(headings.place, ({ room }) => placeText(room)),
      numberColumn(headings.expected, unit, ({ expected }) => expected),
      numberColumn(headings.least, unit, ({ least }) => least),
      numberColumn(headings.most, unit, ({ most }) => most),
      ...signColumns<PairReading>(),
    ],
    readings,
  );
}

function voltageSection(site: Site): Section {
  const readings = voltageReadings(site);
  return {
    heading: texts.sections.voltages,
    blocks:
      readings.length === 0
        ? [paragraph(texts.nothing.voltages)]
        : [
            paragraph(texts.voltagesAbout),
            tableOf<VoltageReading>(
              'commissioning-voltages',
              '',
              [
                textColumn(headings.at, ({ at }) => at),
                textColumn(headings.terminals, ({ terminals }) => terminals.join(', ')),
                textColumn(headings.place, ({ room }) => placeText(room)),
                textColumn(headings.source, ({ sources }) => sources.join(', ')),
                numberColumn(headings.nominal, 'V', ({ nominal }) => nominal),
                numberColumn(headings.expected, 'V', ({ expected }) => expected),
                numberColumn(headings.least2, 'V', ({ least }) => least),
                numberColumn(headings.most, 'V', ({ most }) => most),
                textColumn(headings.note, voltageNote),
                ...signColumns<VoltageReading>(),
              ],
              readings,
            ),
          ],
  };
}

function voltageNote({ mains, direct }: VoltageReading): string {
  return [mains ? texts.mains : '', direct ? texts.polarity : '']
    .filter((text) => text !== '')
    .join(' ');
}

function supervisions(site: Site): readonly Supervision[] {
  return startingOrder(site).flatMap((device) => supervisionOf(site, device) ?? []);
}

function findsSection(site: Site): Section {
  const controllers = supervisions(site);
  return {
    heading: texts.sections.finds,
    blocks:
      controllers.length === 0
        ? [paragraph(texts.nothing.finds)]
        : [
            paragraph(texts.findsAbout),
            tableOf<Supervision>(
              'commissioning-finds',
              '',
              [
                textColumn(headings.controller, ({ controller }) => controller.name),
                textColumn(headings.place, ({ controller }) => placeText(roomOf(site, controller))),
                numberColumn(headings.finds, '', ({ units }) => count(units.length)),
                numberColumn(headings.limit, '', limitOf),
                textColumn(headings.units, ({ units }) =>
                  units.map((unit) => unit.device.name).join(', '),
                ),
                ...signColumns<Supervision>(),
              ],
              controllers,
            ),
            ...roundBlocks(site),
          ],
  };
}

/** A count takes rounds, and dead devices stretch them: said only where the controller's patience is stated. */
function roundBlocks(site: Site): readonly Block[] {
  const rounds = roundReadings(site);
  return rounds.length === 0
    ? []
    : [
        paragraph(texts.roundsAbout),
        tableOf<RoundReading>(
          'commissioning-rounds',
          '',
          [
            textColumn(headings.bus, ({ bus }) => bus.name),
            numberColumn(headings.alive, 's', ({ alive }) => alive),
            numberColumn(headings.oneDead, 's', ({ oneDead }) => oneDead),
            numberColumn(headings.twoDead, 's', ({ twoDead }) => twoDead),
          ],
          rounds,
        ),
      ];
}

function limitOf({ lines }: Supervision) {
  const limits = lines.flatMap((line) => line.supervises.upTo ?? []);
  return limits.length === lines.length && limits.length > 0
    ? quantity(
        limits.reduce((sum, limit) => sum + limit, 0),
        '',
        'stated',
        0,
      )
    : '';
}

interface Sighting {
  readonly supervision: Supervision;
  readonly unit: FoundUnit;
}

function addressSection(site: Site): readonly Section[] {
  const sightings = supervisions(site).flatMap((supervision) =>
    supervision.units.map((unit): Sighting => ({ supervision, unit })),
  );
  if (sightings.length === 0) {
    return [];
  }
  return [
    {
      heading: texts.sections.addresses,
      blocks: [
        paragraph(texts.addressesAbout),
        tableOf<Sighting>(
          'commissioning-addresses',
          '',
          [
            textColumn(headings.controller, ({ supervision }) => supervision.controller.name),
            textColumn(headings.knownAs, ({ unit }) => knownAs(unit)),
            numberColumn(headings.address, '', ({ unit }) => addressOf(site, unit)),
            textColumn(headings.bus, ({ unit }) => unit.bus?.name ?? unit.member),
            textColumn(headings.through, ({ unit }) => unit.relays.join(', ')),
            textColumn(headings.place, ({ unit }) => placeText(roomOf(site, unit.device))),
            ...signColumns<Sighting>(),
          ],
          sightings,
        ),
      ],
    },
  ];
}

/** Nothing is expected where the bus has no addresses. */
function addressOf(site: Site, unit: FoundUnit) {
  const port = addressedPortsOf(site, unit.device).find(
    (one) => one.bus === unit.bus && one.port.name === unit.member,
  );
  if (port === undefined) {
    return '';
  }
  return port.line === undefined
    ? missing(texts.addressUnknown)
    : quantity(port.line.address, '', 'stated', 0);
}

function pageSection(site: Site): Section {
  const hosts = [...site.networks.values()]
    .sort((one, other) => compareNames(one.name, other.name))
    .flatMap((network) => network.hosts.filter((host) => host.page !== undefined));
  return {
    heading: texts.sections.pages,
    blocks:
      hosts.length === 0
        ? [paragraph(texts.nothing.pages)]
        : [
            paragraph(texts.pagesAbout),
            tableOf<Host>(
              'commissioning-pages',
              '',
              [
                textColumn(headings.page, (host) => host.page ?? ''),
                textColumn(headings.host, (host) => memberKey(host.device, host.lan)),
                textColumn(headings.expect, (host) => certificateExpectation(site, host)),
                textColumn(headings.fingerprint, (host): Cell => host.fingerprint ?? blank),
                ...signColumns<Host>(),
              ],
              hosts,
            ),
          ],
  };
}

function handoverSection(): Section {
  const { handover } = texts;
  return {
    heading: texts.sections.handover,
    blocks: [
      paragraph(texts.handoverAbout),
      {
        kind: 'fields',
        fields: [
          handover.openPoints,
          handover.installer,
          handover.commissioner,
          handover.owner,
          handover.date,
        ].map((label) => ({ label, content: blank })),
      },
    ],
  };
}
