/**
 * Assemblies and variants → what stands in the model: an instance becomes the devices and runs that are
 * in it, names that it offers become the names behind them, a variant gets what it takes over.
 *
 * A pure function of a declaration and of what it names. `site` has declarations as they are written.
 */
import { memoisedOnce } from '../analysis/memo.js';
import { isSameData } from '../analysis/sameness.js';
import type { PartPath, Place } from '../model/origin.js';
import { part as partOf, placeOf } from '../model/origin.js';
import type {
  AssemblyPart,
  Declaration,
  Device,
  Instance,
  ParameterValue,
} from '../model/records.js';
import { memberKey, type Site } from '../model/site.js';
import type { Bus, Feed } from '../model/wiring.js';
import { DEEPEST_NESTING, deviceIn, inward, throughInstances, type MemberMap } from './inward.js';
import { renamed, renamedDevice, renamedIsolator, renamedRun } from './renamed.js';
import { wholeVariant } from './variant.js';

/** One declaration of the model that comes from a text that says something else. */
export interface ExpandedPart {
  /** Its name in the site; undefined for the declaration itself. */
  readonly key?: string;
  readonly record: Declaration;
  /** Where in the templates it is written, the innermost place first. */
  readonly template: readonly Place[];
  /** Parts that are written elsewhere: an address that the instance states. */
  readonly stated: Readonly<Record<PartPath, Place>>;
}

/** More parts than this are not expanded: no building has them, and a slip can ask for billions. */
export const MOST_PARTS = 20_000;

/** What a declaration stands for; undefined where it stands for itself. `counts`: it is the first of its name. */
export function expanded(
  site: Site,
  record: Declaration,
  counts: boolean,
): readonly ExpandedPart[] | undefined {
  if (record.kind === 'equipment') {
    const whole = wholeVariant(site, record);
    return whole && [itself(whole)];
  }
  if (record.kind === 'device' && site.assemblies.has(record.equipment)) {
    return expandedInstance(site, record, counts);
  }
  const mapped = renamed(record, throughInstances(site));
  return isSameData(mapped, record) ? undefined : [itself(mapped)];
}

function itself(record: Declaration): ExpandedPart {
  return { record, template: [], stated: {} };
}

/** How many devices and runs an assembly comes to; infinite where it contains itself. */
export function partsIn(
  site: Site,
  name: string,
  open: readonly string[] = [],
  known = new Map<string, number>(),
): number {
  const counted = known.get(name);
  if (counted !== undefined) {
    return counted;
  }
  if (open.includes(name) || open.length > DEEPEST_NESTING) {
    return Number.POSITIVE_INFINITY;
  }
  const inner = [...open, name];
  const count = (site.assemblies.get(name)?.parts ?? []).reduce(
    (sum, part) =>
      sum +
      1 +
      (part.kind === 'device' && site.assemblies.has(part.equipment)
        ? partsIn(site, part.equipment, inner, known)
        : 0),
    0,
  );
  known.set(name, count);
  return count;
}

/** What all instances come to that are not too large by themselves. */
const partsOfInstances = memoisedOnce((site: Site): number => {
  let sum = 0;
  for (const name of site.assemblies.keys()) {
    const size = partsIn(site, name);
    sum += size > MOST_PARTS ? 0 : size * (site.devicesOf.get(name)?.length ?? 0);
  }
  return sum;
});

function expandedInstance(site: Site, device: Device, counts: boolean): ExpandedPart[] {
  const size = partsIn(site, device.equipment);
  const parts: ExpandedPart[] = [];
  const isExpanded = counts && size <= MOST_PARTS && partsOfInstances(site) <= MOST_PARTS;
  if (isExpanded) {
    const outer = throughInstances(site);
    const stated = statedIn(device, (path) => placeOf(device.name, path));
    addParts(site, { device: renamedDevice(device, outer), stated, template: [] }, outer, parts);
  }
  const own = instanceOf(
    device,
    parts.map(({ key }) => key!),
  );
  return [itself(isExpanded || !counts ? own : { ...own, unexpandedParts: size }), ...parts];
}

function instanceOf(device: Device, parts: readonly string[]): Instance {
  const { name, title, doc, equipment, room } = device;
  const unreached = unreachedIn(device);
  return {
    kind: 'instance',
    name,
    ...(title === undefined ? {} : { title }),
    ...(doc === undefined ? {} : { doc }),
    assembly: equipment,
    ...(room === undefined ? {} : { room }),
    parts,
    ...(unreached.length === 0 ? {} : { unreached }),
  };
}

/** An instance has no ports of its own, so that only a name of what it exposes leads to a device in it. */
function unreachedIn({ addresses, main }: Device): PartPath[] {
  return [
    ...addresses.filter(({ port }) => port === undefined).map(({ index }) => `address/${index}`),
    ...(main ? ['main'] : []),
  ];
}

/** An instance on the way inwards: `device` has its full name, and what the outer ones state for it. */
interface Opened {
  readonly device: Device;
  readonly stated: Readonly<Record<PartPath, Place>>;
  readonly template: readonly Place[];
}

function addParts(site: Site, opened: Opened, outer: MemberMap, into: ExpandedPart[]): void {
  const { device } = opened;
  const assembly = site.assemblies.get(device.equipment)!;
  const names = new Set(assembly.parts.map(({ name }) => name));
  const map: MemberMap = (written) => {
    const path = [...written.owner.split('.'), written.member];
    if (!names.has(path[0]!)) {
      return outer(written);
    }
    const part = deviceIn(assembly.parts, path[0]);
    const inner =
      part === undefined ? path : [part.name, ...inward(site, part.equipment, path.slice(1))];
    return {
      owner: memberKey(device.name, inner.slice(0, -1).join('.')),
      member: inner[inner.length - 1]!,
    };
  };
  const values = new Map(
    [...assembly.parameters, ...(device.sets ?? [])].map((one) => [one.name, one]),
  );
  const done = new Set<string>();
  for (const part of assembly.parts) {
    if (done.has(part.name)) {
      continue;
    }
    done.add(part.name);
    const name = memberKey(device.name, part.name);
    const template = [placeOf(assembly.name, partOf('part', part.name)), ...opened.template];
    if (part.kind === 'device') {
      const inner = stating(site, opened, part, name, map);
      if (site.assemblies.has(part.equipment)) {
        const from = into.length;
        into.push({ key: name, record: inner.device, template, stated: {} });
        addParts(site, { ...inner, template }, map, into);
        const within = into.slice(from + 1).map(({ key }) => key!);
        into[from] = { key: name, record: instanceOf(inner.device, within), template, stated: {} };
      } else {
        into.push({ key: name, record: inner.device, template, stated: inner.stated });
      }
    } else {
      const record = partRecord(part, device, name, values, map);
      into.push({ key: name, record, template, stated: {} });
    }
  }
}

function partRecord(
  part: Exclude<AssemblyPart, Device>,
  device: Device,
  name: string,
  values: ReadonlyMap<string, ParameterValue>,
  map: MemberMap,
): Declaration {
  const existing = part.existing || device.existing;
  if (part.kind === 'isolator') {
    const room = part.room ?? device.room;
    return {
      ...renamedIsolator(part, map),
      name,
      existing,
      ...(room === undefined ? {} : { room }),
    };
  }
  const run: Bus | Feed = renamedRun(part, map);
  return {
    ...run,
    name,
    existing,
    landings: run.landings.map(({ lengthParameter, ...landing }) => {
      const value = lengthParameter === undefined ? undefined : values.get(lengthParameter)?.value;
      return value === undefined ? landing : { ...landing, lengthM: value };
    }),
  } as Bus | Feed;
}

/** A device in an assembly with what the instance states for it: addresses, inlet lines, its room. */
function stating(
  site: Site,
  { device, stated }: Opened,
  part: Device,
  name: string,
  map: MemberMap,
): { readonly device: Device; readonly stated: Readonly<Record<PartPath, Place>> } {
  const own = renamedDevice(part, map);
  const behind = (member: string) => {
    const exposed = site.assemblies
      .get(device.equipment)
      ?.exposes.find((one) => one.name === member)?.path;
    const path = exposed ?? member.split('.');
    return path[0] === part.name && path.length > 1 ? path.slice(1).join('.') : undefined;
  };
  const places: Record<PartPath, Place> = {};
  const addresses = device.addresses.flatMap((line) => {
    const port = line.port === undefined ? undefined : behind(line.port);
    return port === undefined ? [] : [{ line, port }];
  });
  const inlets = device.inletLines.flatMap((line) => {
    const inlet = behind(line.inlet);
    return inlet === undefined ? [] : [{ line, inlet }];
  });
  const keptAddresses = own.addresses.filter(
    (line) => !addresses.some(({ port }) => port === line.port),
  );
  const keptInlets = own.inletLines.filter(
    (line) => !inlets.some(({ inlet }) => inlet === line.inlet),
  );
  addresses.forEach(({ line }, position) => {
    const place = stated[`address/${line.index}`];
    if (place !== undefined) {
      places[`address/${keptAddresses.length + position}`] = place;
    }
  });
  inlets.forEach(({ line }, position) => {
    const place = stated[`inlet/${line.index}`];
    if (place !== undefined) {
      places[`inlet/${keptInlets.length + position}`] = place;
    }
  });
  const room = part.room ?? device.room;
  return {
    device: {
      ...own,
      name,
      ...(room === undefined ? {} : { room }),
      existing: part.existing || device.existing,
      addresses: [...keptAddresses, ...addresses.map(({ line, port }) => ({ ...line, port }))].map(
        (line, index) => ({ ...line, index }),
      ),
      inletLines: [...keptInlets, ...inlets.map(({ line, inlet }) => ({ ...line, inlet }))].map(
        (line, index) => ({ ...line, index }),
      ),
    },
    stated: places,
  };
}

function statedIn(
  device: Device,
  at: (path: PartPath) => Place,
): Readonly<Record<PartPath, Place>> {
  const paths = [
    ...device.addresses.map(({ index }) => `address/${index}`),
    ...device.inletLines.map(({ index }) => `inlet/${index}`),
  ];
  return Object.fromEntries(paths.map((path) => [path, at(path)]));
}
