/** What a name means in a site. The one resolver behind findings, definitions, references and rename. */
import { nearNames } from '../analysis/near-names.js';
import { placeOf, type Place } from '../model/origin.js';
import type { AssemblyPart, Declaration, DeclarationKind } from '../model/records.js';
import { memberKey, type Site } from '../model/site.js';
import type { PathName } from '../model/wiring.js';
import { inward } from './inward.js';
import type { MemberKind, NameReference } from './reference.js';
import { list } from './texts.js';
import { NOTHING_UNREAD, type Unread } from './unread.js';

/** What became of a name. `hidden`: another finding already says what is wrong. */
export type Resolution =
  | { readonly kind: 'found'; readonly place: Place }
  | { readonly kind: 'hidden' }
  | {
      readonly kind: 'unknown';
      readonly what: string;
      readonly remedy: string;
      readonly meant?: string;
      /** True where nothing has the name; false where what has it does not fit. */
      readonly isMissing: boolean;
    };

const memberKinds = new Set<string>([
  'port',
  'inlet',
  'outlet',
  'lan',
  'way',
  'room',
  'router',
  'part',
  'parameter',
]);

const kindNames: Readonly<Record<string, string>> = {
  bustype: 'bus type',
  cable: 'cable',
  equipment: 'piece of equipment',
  assembly: 'assembly',
  area: 'area',
  board: 'board',
  isolator: 'isolator',
  device: 'device',
  instance: 'instance of an assembly',
  bus: 'bus',
  feed: 'feed',
  containment: 'containment',
  network: 'network',
  zone: 'zone',
  site: 'site',
  port: 'port',
  inlet: 'inlet',
  outlet: 'outlet',
  lan: 'network socket',
  way: 'way',
  room: 'room',
  router: 'router',
  part: 'part',
  parameter: 'parameter',
};

/** The kind's name for people, with "a" or "an". */
export function kindName(kind: string): string {
  const name = kindNames[kind] ?? kind;
  return `${/^[aeiou]/u.test(name) ? 'an' : 'a'} ${name}`;
}

export function resolveName(
  site: Site,
  reference: NameReference,
  unread: Unread = NOTHING_UNREAD,
): Resolution {
  return reference.owner === undefined
    ? (innerPart(site, reference) ?? resolveTop(site, reference, unread))
    : resolveMember(site, reference, reference.owner, unread);
}

/** A part of the assembly that the name stands in. */
function innerPart(site: Site, { scope, name, wants }: NameReference): Resolution | undefined {
  const part = scope === undefined ? undefined : partNamed(site, scope, name);
  return part !== undefined && (wants.length === 0 || wants.includes(part.kind))
    ? found(scope!, `part/${name}/name`)
    : undefined;
}

function partNamed(site: Site, assembly: string, name: string): AssemblyPart | undefined {
  return site.assemblies.get(assembly)?.parts.find((part) => part.name === name);
}

/** What the owner of a member is: a declaration of the site, or a part of an assembly. */
function ownerOf(site: Site, owner: string, scope: string | undefined): Declaration | undefined {
  const [first = '', ...others] = owner.split('.');
  if (scope === undefined || partNamed(site, scope, first) === undefined) {
    return site.byName.get(owner)?.record;
  }
  let record: Declaration | undefined = partNamed(site, scope, first);
  for (const step of others) {
    record = record?.kind === 'device' ? partNamed(site, record.equipment, step) : undefined;
  }
  return record;
}

/** Names that stand for nothing for one and the same reason have the same text here. */
export function causeOf(
  site: Site,
  { owner, name, scope }: NameReference,
  resolution: Resolution & { readonly kind: 'unknown' },
): string {
  if (!resolution.isMissing) {
    return resolution.what;
  }
  const record = owner === undefined ? undefined : ownerOf(site, owner, scope);
  return owner === undefined
    ? name
    : `${record?.kind === 'device' ? record.equipment : owner}.${name}`;
}

/** The members that a declaration's name can be followed by, with the place of each. */
export function membersOf(
  site: Site,
  owner: string,
  wants: readonly string[],
  scope?: string,
): Map<string, { kind: MemberKind; place: Place }> {
  const members = new Map<string, { kind: MemberKind; place: Place }>();
  const add = (
    kind: MemberKind,
    name: string,
    declaration: string,
    part = `${kind}/${name}/name`,
  ) => {
    if ((wants.length === 0 || wants.includes(kind)) && !members.has(name)) {
      members.set(name, { kind, place: placeOf(declaration, part) });
    }
  };
  const record = ownerOf(site, owner, scope);
  const assembly =
    record?.kind === 'instance'
      ? record.assembly
      : record?.kind === 'device'
        ? record.equipment
        : record?.kind === 'assembly'
          ? record.name
          : undefined;
  const template = assembly === undefined ? undefined : site.assemblies.get(assembly);
  if (template !== undefined) {
    for (const { name, path } of template.exposes) {
      const kind = exposedKind(site, template.name, path);
      if (kind !== undefined) {
        add(kind, name, template.name, `part/${name}/name`);
      }
    }
    template.parts.forEach(({ name }) => {
      add('part', name, template.name, `part/${name}/name`);
    });
    template.parameters.forEach(({ name }) => {
      add('parameter', name, template.name, `part/${name}/name`);
    });
  } else if (record?.kind === 'board') {
    record.ways.forEach((way) => add('way', way.name, record.name));
  } else if (record?.kind === 'area') {
    record.rooms.forEach((room) => add('room', room.name, record.name));
  } else if (record?.kind === 'network') {
    record.routers.forEach(
      (router) => router.name && add('router', router.name, record.name, `router/${router.index}`),
    );
  } else {
    const equipment = site.equipment.get(record?.kind === 'device' ? record.equipment : owner);
    equipment?.ports.forEach((port) => add('port', port.name, equipment.name));
    equipment?.inlets.forEach((inlet) => add('inlet', inlet.name, equipment.name));
    equipment?.outlets.forEach((outlet) => add('outlet', outlet.name, equipment.name));
    equipment?.lans.forEach((lan) => add('lan', lan.name, equipment.name));
  }
  return members;
}

/** What kind of member an assembly offers at the end of a path. */
function exposedKind(site: Site, assembly: string, path: PathName): MemberKind | undefined {
  const innermost = inward(site, assembly, path);
  let template = assembly;
  for (const step of innermost.slice(0, -1)) {
    const part = partNamed(site, template, step);
    if (part?.kind !== 'device') {
      return undefined;
    }
    template = part.equipment;
  }
  const equipment = site.equipment.get(template);
  const member = innermost[innermost.length - 1];
  const has = (parts: readonly { readonly name: string }[] | undefined) =>
    parts?.some(({ name }) => name === member) === true;
  return has(equipment?.ports)
    ? 'port'
    : has(equipment?.inlets)
      ? 'inlet'
      : has(equipment?.outlets)
        ? 'outlet'
        : has(equipment?.lans)
          ? 'lan'
          : undefined;
}

function resolveTop(site: Site, reference: NameReference, unread: Unread): Resolution {
  const { name, wants } = reference;
  if (wants.includes('room')) {
    const room = site.rooms.get(name);
    if (room !== undefined) {
      return found(room.area.name, `room/${room.room.name}/name`);
    }
    const several = site.ambiguousRooms.get(name);
    if (several !== undefined) {
      return {
        kind: 'unknown',
        what: `There are several rooms "${name}": ${list(several, 'and')}.`,
        remedy: `Write the area too, as in ${several[0]!}.`,
        isMissing: false,
      };
    }
  }
  const entry = site.byName.get(name);
  const isWayIn =
    entry?.record.kind === 'instance' && reference.then !== undefined && wants.includes('device');
  if (entry !== undefined && (wants.length === 0 || wants.includes(entry.record.kind) || isWayIn)) {
    return found(entry.id, 'name');
  }
  const mayBeUnread =
    unread.words.has(name) ||
    unread.hasMissingFile ||
    (wants.includes('room') && [...unread.partlyRead].some((id) => site.areas.has(id)));
  if (entry === undefined && mayBeUnread) {
    return { kind: 'hidden' };
  }
  const wanted =
    wants.length === 0
      ? 'declaration'
      : list(
          wants.map((kind) => kindName(kind).replace(/^an? /u, '')),
          'or',
        );
  if (entry !== undefined) {
    return {
      kind: 'unknown',
      what: `"${name}" is ${kindName(entry.record.kind)}, and ${kindName(wants[0]!)} is wanted here.`,
      remedy: candidatesText(site, wants),
      isMissing: false,
    };
  }
  const meant = nameMeant(site, reference);
  return {
    kind: 'unknown',
    what: `There is no ${wanted} "${name}" in this site.`,
    remedy:
      meant === undefined
        ? `Declare it, or add the "use" line of the file that does.`
        : `Did you mean "${meant}"?`,
    ...(meant === undefined ? {} : { meant }),
    isMissing: true,
  };
}

/** The name nearest to an unknown one: one that has the member behind it, and one that is still free there. */
function nameMeant(site: Site, { name, wants, then }: NameReference): string | undefined {
  const all = nearNames(name, candidates(site, wants), mostCompared);
  const near = all.filter((one) => !isSibling(name, one));
  if (then === undefined) {
    return near[0];
  }
  const isTaken = (owner: string) => {
    const key = memberKey(owner, then);
    return site.busLandings.has(key) || site.feedLandings.has(key) || site.hosts.has(key);
  };
  const fitting = all.filter((owner) => membersOf(site, owner, []).has(then));
  // Of several of a kind the one that is still free is meant; a source may have many loads.
  const isLanding = wants.every((kind) => kind === 'device');
  return (
    fitting.find((owner) => (isLanding ? !isTaken(owner) : !isSibling(name, owner))) ??
    (fitting.length > 0 ? undefined : near[0])
  );
}

/** Names that differ in their numbers alone stand for different things of a kind, and none is a misspelling. */
function isSibling(one: string, other: string): boolean {
  const stem = (name: string) => name.replaceAll(/\d+/gu, '#').toLowerCase();
  return one !== other && /\d/u.test(one) && stem(one) === stem(other);
}

/** How many near names are looked at for one that fits. */
const mostCompared = 12;

function resolveMember(
  site: Site,
  reference: NameReference,
  owner: string,
  unread: Unread,
): Resolution {
  const { scope } = reference;
  const record = ownerOf(site, owner, scope);
  if (record === undefined) {
    return { kind: 'hidden' };
  }
  // What cannot have such a member at all is said to be of the wrong kind.
  const canHave = reference.wants.length === 0 || reference.wants.some(isMemberOf(record.kind));
  if (!canHave) {
    return { kind: 'hidden' };
  }
  const members = membersOf(site, owner, reference.wants, scope);
  const member = members.get(reference.name);
  if (member !== undefined) {
    return { kind: 'found', place: member.place };
  }
  if (record.kind === 'device') {
    const equipment = site.equipment.get(record.equipment);
    const isInstance = site.assemblies.has(record.equipment);
    // A device that takes its power from the bus has no inlet to name: supply-redundant says so.
    const takesBusPower = equipment?.ports.some((port) => port.takes !== undefined) === true;
    if (
      (equipment === undefined && !isInstance) ||
      (takesBusPower && reference.wants.includes('inlet'))
    ) {
      return { kind: 'hidden' };
    }
  }
  if (
    record.kind === 'equipment' &&
    record.extends !== undefined &&
    !site.equipment.has(record.extends)
  ) {
    return { kind: 'hidden' };
  }
  const declaring =
    record.kind === 'device'
      ? record.equipment
      : record.kind === 'instance'
        ? record.assembly
        : owner;
  if (unread.partlyRead.has(declaring)) {
    return { kind: 'hidden' };
  }
  const kinds = reference.wants.filter((kind) => memberKinds.has(kind));
  const kind =
    record.kind === 'board' && kinds.includes('way')
      ? 'way'
      : record.kind === 'device' && kinds.includes('outlet')
        ? 'outlet'
        : kinds[0];
  const names = [...members.keys()];
  const meant = nearNames(reference.name, names, mostCompared).find(
    (name) => !isSibling(reference.name, name),
  );
  const wanted = kind === undefined ? 'a part' : kindName(kind);
  const other = membersOf(site, owner, [], scope).get(reference.name);
  const ownerText =
    record.kind === 'device' || record.kind === 'instance' ? `${owner} (${declaring})` : owner;
  return {
    kind: 'unknown',
    what:
      other === undefined
        ? `${ownerText} has no ${wanted.replace(/^an? /u, '')} "${reference.name}".`
        : `${owner}.${reference.name} is ${kindName(other.kind)}, and ${wanted} is wanted here.`,
    remedy:
      meant !== undefined
        ? `Did you mean "${meant}"?`
        : names.length === 0
          ? `${ownerText} has none.`
          : `It has ${list(names, 'and')}.`,
    ...(meant === undefined ? {} : { meant }),
    isMissing: other === undefined,
  };
}

function isMemberOf(owner: DeclarationKind): (kind: DeclarationKind | MemberKind) => boolean {
  const owners: Readonly<Partial<Record<string, readonly DeclarationKind[]>>> = {
    port: ['device', 'equipment', 'assembly', 'instance'],
    inlet: ['device', 'equipment', 'assembly', 'instance'],
    outlet: ['device', 'equipment', 'assembly', 'instance'],
    lan: ['device', 'equipment', 'assembly', 'instance'],
    part: ['device', 'assembly', 'instance'],
    parameter: ['device', 'assembly', 'instance'],
    way: ['board'],
    room: ['area'],
    router: ['network'],
  };
  return (kind) => owners[kind]?.includes(owner) === true;
}

function found(declaration: string, part: string): Resolution {
  return { kind: 'found', place: placeOf(declaration, part) };
}

/** The names that would fit, in text order. */
export function candidates(site: Site, wants: readonly (DeclarationKind | MemberKind)[]): string[] {
  if (wants.length === 0) {
    return [...site.byName.keys()];
  }
  return wants.flatMap((kind): string[] => {
    switch (kind) {
      case 'bustype':
        return [...site.busTypes.keys()];
      case 'cable':
        return [...site.cables.keys()];
      case 'equipment':
        return [...site.equipment.keys()];
      case 'assembly':
        return [...site.assemblies.keys()];
      case 'area':
        return [...site.areas.keys()];
      case 'board':
        return [...site.boards.keys()];
      case 'isolator':
        return [...site.isolators.keys()];
      case 'device':
        return [...site.devices.keys()];
      case 'bus':
        return [...site.buses.keys()];
      case 'feed':
        return [...site.feeds.keys()];
      case 'network':
        return [...site.networks.keys()];
      case 'zone':
        return [...site.zones.keys()];
      case 'room':
        return [...site.rooms.keys()];
      default:
        return [];
    }
  });
}

/** Lists what would fit where it is few. */
function candidatesText(site: Site, wants: readonly (DeclarationKind | MemberKind)[]): string {
  const names = candidates(site, wants);
  return names.length > 0 && names.length <= 6
    ? `There ${names.length === 1 ? 'is' : 'are'} ${list(names, 'and')}.`
    : 'Name one that fits.';
}
