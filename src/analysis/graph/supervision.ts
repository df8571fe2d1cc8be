/** Who finds whom: what each controller must see on site, through buses, junctions, repeaters and relays. */
import type { Supervises } from '../../model/equipment.js';
import type { Fact, Term } from '../../model/finding.js';
import type { Device } from '../../model/records.js';
import { equipmentOf } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import { memoised, memoisedOnce, memoisedShares } from '../memo.js';
import { attachmentsOn, mediaAt, onwardFrom } from './media.js';
import type { Attachment, Medium, Strictness } from './media.js';

/** A unit as one controller finds it. */
export interface FoundUnit extends Attachment {
  /** The devices that relay it, from the controller downwards; empty where both are on one bus. */
  readonly relays: readonly string[];
  /** Those of them that renumber: the controller knows the unit as `relay/unit`. */
  readonly renumberedBy: readonly string[];
  /** The address space it is found in, seen from the controller: two units of one number clash in it. */
  readonly space: string;
}

/** What one `supervises` line of a controller finds. */
export interface SupervisionLine {
  readonly supervises: Supervises;
  /** Each unit once, in bus order; units below a relay follow the relay's landing. */
  readonly units: readonly FoundUnit[];
}

/** What a controller finds. */
export interface Supervision {
  readonly controller: Device;
  readonly lines: readonly SupervisionLine[];
  /** Each unit of all lines once. */
  readonly units: readonly FoundUnit[];
  /** Every way in which units are found, one entry for each address space. */
  readonly sightings: readonly FoundUnit[];
}

/** What a device finds; undefined where its equipment supervises nothing or is not known. */
export function supervisionOf(
  site: Site,
  device: Device,
  strictness: Strictness = 'fitting',
): Supervision | undefined {
  return strictness === 'fitting' ? fitting(site, device) : withMistakes(site, device);
}

const fitting = memoised((site, device: Device) => walk(site, device, 'fitting'));
const withMistakes = memoised((site, device: Device) => walk(site, device, 'all'));

/** The devices that supervise something, in text order. */
export const controllersOf = memoisedOnce((site): readonly Device[] =>
  inTextOrder(site, supervisingDevices(site).flat()),
);

/** Whether anything in the site supervises. */
export const hasControllers = memoisedOnce((site) => supervisingDevices(site).length > 0);

/** The controllers that are marked as main, in text order. */
export const mainControllersOf = memoisedOnce((site): readonly Device[] =>
  inTextOrder(
    site,
    supervisingDevices(site).flatMap((devices) => devices.filter((device) => device.main)),
  ),
);

/** The devices of each piece of equipment that supervises something; none without devices. */
function supervisingDevices(site: Site): readonly (readonly Device[])[] {
  return [...site.equipment.values()].flatMap(({ name, supervises }) => {
    const devices = supervises.length > 0 ? site.devicesOf.get(name) : undefined;
    return devices === undefined ? [] : [devices];
  });
}

function inTextOrder(site: Site, devices: readonly Device[]): readonly Device[] {
  return [...devices].sort((one, other) => site.compareInText(one.name, other.name));
}

/** The controllers that find a device, in text order. */
export function controllersFinding(
  site: Site,
  device: string,
  strictness: Strictness = 'fitting',
): readonly Device[] {
  const names =
    strictness === 'fitting' ? fittingFinders(site, device) : mistakenFinders(site, device);
  return (names ?? []).flatMap((name) => site.devices.get(name) ?? []);
}

const fittingFinders = findersBy('fitting');
const mistakenFinders = findersBy('all');

/** The names of the controllers that find each device, kept up as what single controllers find changes. */
function findersBy(strictness: Strictness) {
  return memoisedShares<string, readonly string[], string, readonly string[]>({
    parts: (site) => controllersOf(site).map(({ name }) => name),
    share: (site, name) => {
      const controller = site.devices.get(name);
      return controller === undefined ? [] : namesFound(site, controller, strictness);
    },
    names: (found) => found,
    assemble: (foundBy, isWanted) => {
      const finders = new Map<string, string[]>();
      for (const [controller, found] of foundBy) {
        for (const name of found) {
          if (isWanted(name)) {
            const list = finders.get(name);
            if (list === undefined) {
              finders.set(name, [controller]);
            } else {
              list.push(controller);
            }
          }
        }
      }
      return finders;
    },
  });
}

/** `finds` and `found-units` of a controller; none for other devices. */
export function factsOfController(site: Site, device: Device): readonly Fact[] {
  const supervision = supervisionOf(site, device);
  if (supervision === undefined) {
    return [];
  }
  const { lines, units } = supervision;
  const only = lines.length === 1 ? lines[0]!.supervises.upTo : undefined;
  return [
    {
      subject: device.name,
      fact: 'finds',
      value: units.length,
      unit: '',
      ...(only === undefined
        ? {}
        : { limit: only, ...(only === 0 ? {} : { margin: (only - units.length) / only }) }),
      basis: 'computed',
      source,
      terms: lines.map(termOfLine),
    },
    {
      subject: device.name,
      fact: 'found-units',
      value: units.map((unit) => unit.device.name),
      unit: '',
      basis: 'computed',
      source,
      terms: units.map(termOfUnit),
    },
  ];
}

/** How a controller knows a unit: its name, behind the relays that renumber it. */
export function knownAs(unit: FoundUnit): string {
  return [...unit.renumberedBy, unit.device.name].join('/');
}

const source = 'common practice: a controller finds what is connected to its port';

function termOfLine({ supervises, units }: SupervisionLine): Term {
  return {
    name: `${supervises.role} via ${supervises.port}`,
    value: units.length,
    unit: '',
    basis: 'computed',
  };
}

function termOfUnit(unit: FoundUnit): Term {
  const way = unit.relays.length === 0 ? '' : ` through ${unit.relays.join(', ')}`;
  return { name: knownAs(unit), value: `on ${placeOf(unit)}${way}`, unit: '', basis: 'stated' };
}

function placeOf(unit: FoundUnit): string {
  return unit.bus?.name ?? unit.member;
}

function namesFound(site: Site, device: Device, strictness: Strictness): readonly string[] {
  return (supervisionOf(site, device, strictness)?.units ?? []).map((unit) => unit.device.name);
}

function walk(site: Site, controller: Device, strictness: Strictness): Supervision | undefined {
  const equipment = equipmentOf(site, controller);
  if (equipment === undefined || equipment.supervises.length === 0) {
    return undefined;
  }
  const sightingsOfPort = new Map<string, readonly FoundUnit[]>();
  for (const { port } of equipment.supervises) {
    if (!sightingsOfPort.has(port)) {
      sightingsOfPort.set(port, everythingBehind(site, controller, port, strictness));
    }
  }
  const seen: FoundUnit[] = [];
  const lines = equipment.supervises.map((supervises): SupervisionLine => {
    const sightings = (sightingsOfPort.get(supervises.port) ?? []).filter(
      (one) => one.equipment.role === supervises.role,
    );
    seen.push(...sightings);
    return { supervises, units: onceEach(sightings, (one) => one.device.name) };
  });
  return {
    controller,
    lines,
    units: onceEach(
      lines.flatMap((line) => line.units),
      (one) => one.device.name,
    ),
    sightings: onceEach(seen, (one) => `${one.space}\u0001${one.device.name}.${one.member}`),
  };
}

/** Every device that can be reached from a port, in the order of the walk; the controller itself excepted. */
function everythingBehind(
  site: Site,
  controller: Device,
  port: string,
  strictness: Strictness,
): readonly FoundUnit[] {
  const found: FoundUnit[] = [];
  const visited = new Set<string>();
  const enter = (
    medium: Medium,
    way: Pick<FoundUnit, 'relays' | 'renumberedBy' | 'space'>,
  ): void => {
    const key = `${medium.key}\u0001${way.space}`;
    if (visited.has(key)) {
      return;
    }
    visited.add(key);
    for (const attachment of attachmentsOn(site, medium, strictness)) {
      const isSelf = attachment.device.name === controller.name;
      if (!isSelf && attachment.port?.talksAs !== 'neither') {
        found.push({ ...attachment, ...way });
      }
      for (const { crossing, to } of onwardFrom(attachment.equipment, attachment.member)) {
        const name = attachment.device.name;
        const onward =
          crossing.how !== 'relays'
            ? way
            : {
                relays: [...way.relays, name],
                renumberedBy: crossing.renumbered ? [...way.renumberedBy, name] : way.renumberedBy,
                // A renumbering relay starts one space, by whatever way it is reached, so that relays
                // in a circle come to an end.
                space: crossing.renumbered ? `${name}.${to}` : way.space,
              };
        for (const next of mediaAt(site, name, to, strictness)) {
          enter(next, onward);
        }
      }
    }
  };
  for (const medium of mediaAt(site, controller.name, port, strictness)) {
    enter(medium, { relays: [], renumberedBy: [], space: `${controller.name}.${port}` });
  }
  return found;
}

function onceEach<Value>(values: readonly Value[], key: (value: Value) => string): Value[] {
  const kept = new Map<string, Value>();
  for (const value of values) {
    if (!kept.has(key(value))) {
      kept.set(key(value), value);
    }
  }
  return [...kept.values()];
}
