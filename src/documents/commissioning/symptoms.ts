/** From what is seen to what may be wrong: the rows that apply to a site, with its own figures. */
import { addressedPortsOf } from '../../analysis/graph/addresses.js';
import { isolationOf } from '../../analysis/graph/isolation.js';
import { controllersOf } from '../../analysis/graph/supervision.js';
import { bandOf } from '../../analysis/cabling/cables.js';
import { compareNames, equipmentOf, memberKey } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import type { Bus } from '../../model/wiring.js';
import { count, paragraph, tableOf, textColumn } from '../document.js';
import type { Phrase, Quantity, Section } from '../document.js';
import { symptomTexts as texts } from '../texts/symptoms.js';
import { walkingOrder } from '../walking-order.js';
import { idleReadings, ohmReadings, roundReadings, voltageReadings } from './readings.js';

type RowName = keyof typeof texts.rows;

interface SymptomRow {
  readonly name: RowName;
  /** What of the site it is about; never empty, else the row does not apply. */
  readonly here: readonly Phrase[];
}

/** The most figures of the site in one row. */
const MOST_SHOWN = 8;

/** Empty where nothing of the table applies. */
export function symptomSection(site: Site): readonly Section[] {
  const rows = symptomRows(site).filter(({ here }) => here.length > 0);
  const { columns: headings } = texts;
  return rows.length === 0
    ? []
    : [
        {
          heading: texts.section,
          blocks: [
            paragraph(texts.about),
            tableOf<SymptomRow>(
              'commissioning-symptoms',
              '',
              [
                textColumn(headings.seen, ({ name }) => texts.rows[name].seen),
                textColumn(headings.causes, ({ name }) => texts.rows[name].causes),
                textColumn(headings.check, ({ name }) => texts.rows[name].check),
                textColumn(headings.here, ({ here }) => listed(here)),
              ],
              rows,
            ),
          ],
        },
      ];
}

function symptomRows(site: Site): readonly SymptomRow[] {
  const buses = [...site.buses.values()].sort((one, other) => compareNames(one.name, other.name));
  const signalling = buses.filter((bus) => site.busTypes.get(bus.busType)?.signal !== undefined);
  const talking = names(buses.filter((bus) => isTalking(site, bus)));
  const powered = buses.filter((bus) => site.busTypes.get(bus.busType)?.power !== undefined);
  const ohms = ohmReadings(site).flatMap(({ bus, expected }) =>
    expected.kind === 'quantity' ? [texts.expected.ohm(bus.name, expected)] : [],
  );
  const idle = idleReadings(site).flatMap(({ bus, expected }) =>
    expected.kind === 'quantity' ? [texts.expected.idle(bus.name, expected)] : [],
  );
  const terminated = ohms.length > 0 ? ohms : names(signalling);
  return [
    { name: 'busDead', here: ohms.length + idle.length > 0 ? [...ohms, ...idle] : talking },
    { name: 'deviceDead', here: idle.length > 0 ? idle : talking },
    { name: 'beyondDead', here: talking },
    { name: 'addressTwice', here: names(buses.filter((bus) => isAddressed(site, bus))) },
    { name: 'randomErrors', here: terminated.length === 0 ? [] : terminated },
    { name: 'slowOnly', here: names(signalling) },
    { name: 'resets', here: lowestVoltages(site, 'supply') },
    { name: 'secondTransformer', here: transformers(site) },
    { name: 'warm', here: extraLowDevices(site) },
    { name: 'stillLive', here: severalSources(site) },
    { name: 'lastUnits', here: powered.length === 0 ? [] : lowestVoltages(site, 'bus') },
    {
      name: 'tokenSlow',
      here: names(buses.filter((bus) => site.busTypes.get(bus.busType)?.scan?.by === 'token')),
    },
    { name: 'twiceOrMissing', here: names(controllersOf(site)) },
    { name: 'wrongUnit', here: names(controllersOf(site)) },
    {
      name: 'frozen',
      here: roundReadings(site).map(({ bus, alive, oneDead }) =>
        texts.expected.round(bus.name, alive, oneDead),
      ),
    },
    ...networkRows(site),
  ];
}

function networkRows(site: Site): readonly SymptomRow[] {
  const networks = [...site.networks.values()].sort((one, other) =>
    compareNames(one.name, other.name),
  );
  const pages = networks.flatMap((network) =>
    network.hosts.flatMap((host) => (host.page === undefined ? [] : [host.page])),
  );
  return [
    { name: 'noPing', here: names(networks) },
    { name: 'noPage', here: pages.map((page) => [page]) },
    {
      name: 'warning',
      here: pages.filter((page) => page.toLowerCase().startsWith('https')).map((page) => [page]),
    },
    { name: 'notFromOutside', here: names(networks.filter(({ routers }) => routers.length > 0)) },
  ];
}

/** A bus on which somebody talks, whatever its signal. */
function isTalking(site: Site, bus: Bus): boolean {
  return bus.landings.some(
    ({ device, member }) =>
      site.equipment
        .get(site.devices.get(device)?.equipment ?? '')
        ?.ports.find((port) => port.name === member)?.talksAs !== undefined,
  );
}

function isAddressed(site: Site, bus: Bus): boolean {
  return bus.landings.some(({ device }) => {
    const one = site.devices.get(device);
    return one !== undefined && addressedPortsOf(site, one).some((port) => port.bus === bus);
  });
}

/** The places with the least voltage above what they need, most in danger first. */
function lowestVoltages(site: Site, by: 'supply' | 'bus'): readonly Phrase[] {
  return voltageReadings(site)
    .flatMap((reading) =>
      reading.by === by &&
      !reading.mains &&
      reading.expected.kind === 'quantity' &&
      reading.least !== ''
        ? [{ at: reading.at, expected: reading.expected, least: reading.least }]
        : [],
    )
    .sort((one, other) => margin(one) - margin(other) || compareNames(one.at, other.at))
    .map(({ at, expected }) => texts.expected.voltage(at, expected));
}

function margin(reading: { readonly expected: Quantity; readonly least: Quantity }): number {
  return (reading.expected.value - reading.least.value) / Math.max(1e-9, reading.least.value);
}

/** Outlets of alternating extra-low voltage, where there are several. */
function transformers(site: Site): readonly Phrase[] {
  const outlets = walkingOrder(site).flatMap((device) =>
    (equipmentOf(site, device)?.outlets ?? [])
      .filter(({ voltage }) => voltage?.kind === 'ac' && bandOf(voltage) === 'extra-low')
      .map((outlet) => [memberKey(device.name, outlet.name)]),
  );
  return outlets.length < 2 ? [] : outlets;
}

/** Devices with an extra-low supply, on a site where something else could be put on it. */
function extraLowDevices(site: Site): readonly Phrase[] {
  const readings = voltageReadings(site).filter(({ by }) => by === 'supply');
  const kinds = new Set(readings.map(({ mains, direct }) => `${mains} ${direct}`));
  return kinds.size < 2 ? [] : readings.filter(({ mains }) => !mains).map(({ at }): Phrase => [at]);
}

function severalSources(site: Site): readonly Phrase[] {
  return walkingOrder(site).flatMap((device) => {
    const { points } = isolationOf(site, device);
    return points.length < 2
      ? []
      : [texts.expected.several(device.name, points.map(({ name }) => name).join(', '))];
  });
}

function names(items: readonly { readonly name: string }[]): readonly Phrase[] {
  return items.map(({ name }) => [name]);
}

function listed(here: readonly Phrase[]): Phrase {
  const shown = here.slice(0, MOST_SHOWN);
  const rest = here.length - shown.length;
  return [
    ...shown.flatMap((phrase, index) => (index === 0 ? phrase : ['; ', ...phrase])),
    ...(rest === 0 ? [] : texts.more(count(rest))),
  ];
}
