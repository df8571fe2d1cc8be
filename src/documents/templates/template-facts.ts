/** What a template says, for people: one wording for its page and for a hover. */
import type {
  BusType,
  Cable,
  Equipment,
  Inlet,
  Outlet,
  Port,
  Voltage,
} from '../../model/equipment.js';
import { formatNumber, sizeText } from '../../model/quantity.js';
import type { Assembly, Declaration } from '../../model/records.js';

export type Template = BusType | Cable | Equipment | Assembly;

export function isTemplateRecord(record: Declaration): record is Template {
  return ['bustype', 'cable', 'equipment', 'assembly'].includes(record.kind);
}

/** Something of equipment that is connected, with its terminals in their order. */
export interface Connection {
  readonly name: string;
  readonly kind: 'inlet' | 'outlet' | 'port' | 'network socket';
  readonly terminals: readonly string[];
  readonly says: string;
}

/** A limit or property with its value in words. */
export interface Property {
  readonly name: string;
  readonly value: string;
}

/** Inlets, outlets, ports and sockets, in that order. */
export function connectionsOf(equipment: Equipment): readonly Connection[] {
  return [
    ...equipment.inlets.map((inlet) => connection('inlet', inlet, inletText(inlet))),
    ...equipment.outlets.map((outlet) => connection('outlet', outlet, outletText(outlet))),
    ...equipment.ports.map((port) => ({
      ...connection('port', port, portText(port)),
      terminals: [
        ...port.terminals,
        ...(port.screenTerminal === undefined ? [] : [`${port.screenTerminal} (screen)`]),
      ],
    })),
    ...equipment.lans.map((lan) =>
      connection(
        'network socket',
        { name: lan.name, terminals: [] },
        listed([
          lan.defaultAddress && `${lan.defaultAddress} as delivered`,
          lan.httpsOnly && 'https only',
          lan.certificate && `certificate ${lan.certificate}`,
          lan.takesPoeClass !== undefined && `is powered by it, class ${lan.takesPoeClass}`,
          lan.givesPoeClass !== undefined && `powers what hangs on it, class ${lan.givesPoeClass}`,
        ]),
      ),
    ),
  ];
}

/** Limits and parameters, in the order in which the language writes them. */
export function propertiesOf(template: Template): readonly Property[] {
  switch (template.kind) {
    case 'bustype':
      return busTypeProperties(template);
    case 'cable':
      return cableProperties(template);
    case 'equipment':
      return equipmentProperties(template);
    case 'assembly':
      return [];
  }
}

function equipmentProperties(equipment: Equipment): readonly Property[] {
  return [
    { name: 'role', value: equipment.role.replaceAll('-', ' ') },
    ...some('is a variant of', equipment.extends),
    ...equipment.supervises.map(({ role, port, upTo }) => ({
      name: 'supervises',
      value: `${role.replaceAll('-', ' ')} via ${port}${upTo === undefined ? '' : `, up to ${upTo}`}`,
    })),
    ...equipment.crossings.map(({ how, from, to, renumbered }) => ({
      name: how,
      value: `${from} to ${to}${renumbered ? ', addresses count anew below' : ''}`,
    })),
    ...quantity('power for its sockets', equipment.poeBudgetW, 'W'),
    ...some(
      'deprecated',
      equipment.deprecated &&
        `${equipment.deprecated.why}${equipment.deprecated.replacedBy === undefined ? '' : `; use ${equipment.deprecated.replacedBy}`}`,
    ),
  ];
}

function busTypeProperties(type: BusType): readonly Property[] {
  const { addresses, cable, signal, terminate, scan, power } = type;
  return [
    ...some(
      'conductors',
      type.conductors && `${type.conductors}${type.polarised ? ', polarised' : ''}`,
    ),
    ...some('shape', type.shape),
    ...quantity('most ports on a segment', type.drops, ''),
    ...Object.entries(type.lengthLimitM).flatMap(([which, limit]) =>
      quantity(`longest ${which}`, limit, 'm'),
    ),
    ...some(
      'addresses',
      addresses &&
        `${addresses.from} to ${addresses.to}${addresses.except.length === 0 ? '' : `, without ${addresses.except.join(', ')}`}`,
    ),
    ...quantity('most controllers', type.controllers ?? 1, ''),
    ...quantity('most sources', type.sources ?? 1, ''),
    ...some(
      'cable',
      cable &&
        listed([
          `${sizeText(cable.from)} to ${sizeText(cable.to)}`,
          cable.screened && 'screened',
          cable.twisted && 'twisted',
        ]),
    ),
    ...some(
      'terminators',
      terminate && `${terminate.ohm} ohm, ${terminate.where.replaceAll('-', ' ')}`,
    ),
    ...some(
      'signal',
      signal &&
        listed([
          signal.kind,
          signal.rateBaud !== undefined && `${signal.rateBaud} baud`,
          signal.unitLoads !== undefined && `${signal.unitLoads} unit loads`,
        ]),
    ),
    ...some('scan', scan && `within ${formatNumber(scan.withinS)} s by ${scan.by}`),
    ...some(
      'power',
      power &&
        listed([
          voltageText(power.nominal),
          power.minimumVolts !== undefined && `at least ${formatNumber(power.minimumVolts)} V`,
        ]),
    ),
    ...some('screen', type.screenBonded && `bonded at ${type.screenBonded.replaceAll('-', ' ')}`),
  ];
}

function cableProperties(cable: Cable): readonly Property[] {
  const { cores } = cable;
  return [
    ...some(
      'cores',
      cores &&
        `${cores.count} x ${sizeText(cores.size)}${cores.conductorClass === undefined ? '' : `, IEC 60228 class ${cores.conductorClass}`}`,
    ),
    ...some('colours', cable.colours.length > 0 && cable.colours.join(', ')),
    ...some('construction', listed([cable.screened && 'screened', cable.twisted && 'twisted'])),
    ...quantity('impedance', cable.impedanceOhm, 'ohm'),
    ...quantity('velocity', cable.velocityPercent, '%'),
    ...quantity('rated', cable.ratedVolts, 'V'),
    ...quantity('reel', cable.reelM, 'm'),
    ...quantity('ampacity', cable.ampacityA, 'A'),
  ];
}

function inletText(inlet: Inlet): string {
  return listed([
    supplyText(inlet),
    inlet.powerFactor !== undefined && `power factor ${formatNumber(inlet.powerFactor)}`,
    inlet.tolerancePercent !== undefined && `± ${formatNumber(inlet.tolerancePercent)} %`,
    inlet.draws?.replaceAll('-', ' '),
    inlet.dedicated && 'a supply of its own',
    inlet.exposed && 'bare live terminals: fit the cover',
    inlet.optional && 'optional',
    inlet.isolates && 'a local switch cuts what is behind it',
    inlet.doubleInsulated && 'double insulated',
  ]);
}

function outletText(outlet: Outlet): string {
  return listed([
    supplyText(outlet),
    outlet.class2 && 'class 2',
    outlet.selv && 'SELV',
    outlet.pelv && 'PELV',
    outlet.fromInlet && `from ${outlet.fromInlet}`,
    outlet.regulationPercent !== undefined &&
      `regulation ${formatNumber(outlet.regulationPercent)} %`,
    outlet.resistanceOhm !== undefined && `${formatNumber(outlet.resistanceOhm)} ohm inside`,
    outlet.protection && `protected by ${formatNumber(outlet.protection.ratedA)} A`,
    outlet.stored && 'live without its inlet',
    outlet.decoupled && 'may share a feed',
  ]);
}

function portText(port: Port): string {
  const { gives, takes, bias } = port;
  return listed([
    `${port.busType}${port.talksAs === undefined ? '' : ` as ${port.talksAs}`}`,
    port.unitLoad !== undefined && `unit load ${formatNumber(port.unitLoad)}`,
    gives &&
      `gives ${voltageText(gives.voltage)}${gives.limitA === undefined ? '' : ` up to ${formatNumber(gives.limitA * 1000)} mA`}${gives.limitW === undefined ? '' : ` up to ${formatNumber(gives.limitW)} W`}`,
    takes?.currentA !== undefined && `takes ${formatNumber(takes.currentA * 1000)} mA`,
    takes?.powerW !== undefined && `takes ${formatNumber(takes.powerW)} W`,
    bias && `bias ${formatNumber(bias.ohm)} ohm at ${formatNumber(bias.volts)} V`,
    port.terminatorOhm !== undefined &&
      `built-in terminator ${formatNumber(port.terminatorOhm)} ohm`,
    port.addressedBy === 'none' && 'has no address',
    port.capacity !== undefined && `${port.capacity} conductors a terminal`,
  ]);
}

function supplyText(supply: Inlet | Outlet): string {
  const amount =
    supply.currentA !== undefined
      ? ` ${formatNumber(supply.currentA)} A`
      : supply.powerVA !== undefined
        ? ` ${formatNumber(supply.powerVA)} VA`
        : supply.powerW !== undefined
          ? ` ${formatNumber(supply.powerW)} W`
          : '';
  const voltage = supply.voltage === undefined ? 'no voltage stated' : voltageText(supply.voltage);
  return `${voltage}${supply.threePhase ? ' three-phase' : ''}${amount}`;
}

function voltageText({ volts, kind }: Voltage): string {
  return `${formatNumber(volts)} ${kind === undefined ? 'V' : kind === 'ac' ? 'VAC' : 'VDC'}`;
}

function connection(
  kind: Connection['kind'],
  { name, terminals }: { readonly name: string; readonly terminals: readonly string[] },
  says: string,
): Connection {
  return { name, kind, terminals, says };
}

function listed(parts: readonly (string | false | undefined)[]): string {
  return parts.filter((part) => part !== false && part !== undefined && part !== '').join(', ');
}

function some(name: string, value: string | number | false | undefined): readonly Property[] {
  return value === undefined || value === false || value === '' || value === 0
    ? []
    : [{ name, value: String(value) }];
}

function quantity(name: string, value: number | undefined, unit: string): readonly Property[] {
  return value === undefined
    ? []
    : [{ name, value: `${formatNumber(value)}${unit === '' ? '' : ` ${unit}`}` }];
}
