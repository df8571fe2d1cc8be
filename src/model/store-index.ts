/** What declarations contribute to the index of a site that changes in place. */
import type { Declaration, DeclarationKind, DeclarationOf, SiteSettings } from './records.js';
import {
  compareNames,
  indexRooms,
  memberKey,
  nameOf,
  templatesUsedBy,
  type DeviceInletLine,
  type NetworkHost,
  type PlacedRoom,
  type RunLanding,
  type SiteEntry,
  type SiteObservation,
} from './site.js';
import { CountedNames, Lists, Records } from './store-tables.js';
import { Cell } from './tracking.js';
import type { Bus, Feed } from './wiring.js';

/** The tables of a site, by what they are asked for. */
export interface Tables {
  readonly byName: Records<SiteEntry>;
  readonly kinds: { readonly [Kind in NamedKind]: Records<DeclarationOf<Kind>> };
  readonly lists: SiteLists;
  readonly rooms: Records<PlacedRoom>;
  readonly ambiguousRooms: Records<readonly string[]>;
  readonly templatesUsed: CountedNames;
  readonly settings: SiteSettings | undefined;
  change(gone: readonly SiteEntry[], come: readonly SiteEntry[], isReordered: boolean): void;
}

type NamedKind = Exclude<DeclarationKind, 'use' | 'accept' | 'observed'>;

export function makeTables(
  compareIds: (one: string, other: string) => number,
  entriesInOrder: () => readonly SiteEntry[],
): Tables {
  const byName = new Records<SiteEntry>(compareIds);
  const records = <Kind extends NamedKind>() => new Records<DeclarationOf<Kind>>(compareIds);
  const kinds: Tables['kinds'] = {
    site: records<'site'>(),
    bustype: records<'bustype'>(),
    cable: records<'cable'>(),
    equipment: records<'equipment'>(),
    area: records<'area'>(),
    board: records<'board'>(),
    isolator: records<'isolator'>(),
    device: records<'device'>(),
    bus: records<'bus'>(),
    feed: records<'feed'>(),
    containment: records<'containment'>(),
    network: records<'network'>(),
    zone: records<'zone'>(),
    assembly: records<'assembly'>(),
    instance: records<'instance'>(),
  };
  const lists: SiteLists = makeLists(compareIds, (list) =>
    keysInOrder(lists, list, entriesInOrder()),
  );
  const rooms = new Records<PlacedRoom>();
  const ambiguousRooms = new Records<readonly string[]>();
  const templatesUsed = new CountedNames();
  const settingsCell = new Cell();
  let settings: SiteSettings | undefined;

  const changeRooms = (): void => {
    const indexed = indexRooms(kinds.area.inOrder());
    rooms.become(
      indexed.rooms,
      (one, other) => one.key === other.key && one.area === other.area && one.room === other.room,
    );
    ambiguousRooms.become(
      indexed.ambiguousRooms,
      (one, other) =>
        one.length === other.length && one.every((key, index) => key === other[index]),
    );
  };

  return {
    byName,
    kinds,
    lists,
    rooms,
    ambiguousRooms,
    templatesUsed,
    get settings() {
      settingsCell.read();
      return settings;
    },
    change(gone, come, isReordered) {
      const touched = new Set<Records<never>>([byName as unknown as Records<never>]);
      const tableOf = (record: Declaration): Records<Declaration> | undefined => {
        if (nameOf(record) === undefined) {
          return undefined;
        }
        const table = kinds[record.kind as NamedKind];
        touched.add(table as unknown as Records<never>);
        return table as unknown as Records<Declaration>;
      };
      for (const entry of gone) {
        const name = nameOf(entry.record);
        if (name !== undefined) {
          byName.remove(name);
          tableOf(entry.record)?.remove(name);
        }
        templatesUsedBy(entry.record).forEach((used) => {
          templatesUsed.remove(used);
        });
      }
      for (const entry of come) {
        const name = nameOf(entry.record);
        if (name !== undefined) {
          byName.put(name, entry);
          tableOf(entry.record)?.put(name, entry.record);
        }
        templatesUsedBy(entry.record).forEach((used) => {
          templatesUsed.add(used);
        });
      }
      contribute(lists, gone, 'leave');
      contribute(lists, come, 'join');
      touched.forEach((table) => {
        table.tell(isReordered);
      });
      Object.values(lists).forEach((list) => {
        list.tell(isReordered);
      });
      templatesUsed.tell();
      if (touched.has(kinds.area as unknown as Records<never>)) {
        changeRooms();
      }
      const [first] = kinds.site.inOrder().values();
      if (first !== settings) {
        settings = first;
        settingsCell.changed();
      }
    },
  };
}

/** The lists as declarations see them. */
type Joinable = {
  readonly [Name in ListName]: Pick<SiteLists[Name], 'join' | 'leave'>;
};

/** What stands in each list. */
interface ListItems {
  readonly busLandings: RunLanding<Bus>;
  readonly busLandingsOfDevice: RunLanding<Bus>;
  readonly feedLandings: RunLanding<Feed>;
  readonly feedLandingsOfDevice: RunLanding<Feed>;
  readonly inletLines: DeviceInletLine;
  readonly inletLinesFrom: DeviceInletLine;
  readonly feedsFrom: Feed;
  readonly boardsFrom: DeclarationOf<'board'>;
  readonly isolatorsOn: DeclarationOf<'isolator'>;
  readonly hosts: NetworkHost;
  readonly devicesOf: DeclarationOf<'device'>;
  readonly observationsOf: SiteObservation;
}

type ListName = keyof ListItems;
type SiteLists = { readonly [Name in ListName]: Lists<ListItems[Name]> };

function makeLists(
  compareIds: (one: string, other: string) => number,
  keysOf: (list: ListName) => Iterable<string>,
): SiteLists {
  const inText =
    <Item>(idOf: (item: Item) => string) =>
    (one: Item, other: Item) =>
      compareIds(idOf(one), idOf(other));
  const byName =
    <Item>(textOf: (item: Item) => string) =>
    (one: Item, other: Item) =>
      compareNames(textOf(one), textOf(other));
  const landings = <Run extends Bus | Feed>(name: ListName) =>
    new Lists<RunLanding<Run>>(
      () => keysOf(name),
      ({ run }) => run,
      inText(({ run }) => run.name),
      (one, other) => one.run === other.run && one.landing === other.landing,
    );
  const isSameLine = (one: DeviceInletLine, other: DeviceInletLine) =>
    one.device === other.device && one.line === other.line;
  const itself = <Item extends object>(
    name: ListName,
    compare: (one: Item, other: Item) => number,
  ) =>
    new Lists<Item>(
      () => keysOf(name),
      (item) => item,
      compare,
      Object.is,
    );
  return {
    busLandings: landings<Bus>('busLandings'),
    busLandingsOfDevice: landings<Bus>('busLandingsOfDevice'),
    feedLandings: landings<Feed>('feedLandings'),
    feedLandingsOfDevice: landings<Feed>('feedLandingsOfDevice'),
    inletLines: new Lists<DeviceInletLine>(
      () => keysOf('inletLines'),
      ({ device }) => device,
      inText(({ device }) => device.name),
      isSameLine,
    ),
    inletLinesFrom: new Lists<DeviceInletLine>(
      () => keysOf('inletLinesFrom'),
      ({ device }) => device,
      byName(({ device, line }) => `${device.name} ${line.index}`),
      isSameLine,
    ),
    feedsFrom: itself<Feed>(
      'feedsFrom',
      byName((feed) => feed.name),
    ),
    boardsFrom: itself<DeclarationOf<'board'>>(
      'boardsFrom',
      byName((board) => board.name),
    ),
    isolatorsOn: itself<DeclarationOf<'isolator'>>(
      'isolatorsOn',
      byName((isolator) => isolator.name),
    ),
    hosts: new Lists<NetworkHost>(
      () => keysOf('hosts'),
      ({ network }) => network,
      inText(({ network }) => network.name),
      (one, other) => one.network === other.network && one.host === other.host,
    ),
    devicesOf: itself<DeclarationOf<'device'>>(
      'devicesOf',
      byName((device) => device.name),
    ),
    observationsOf: itself<SiteObservation>(
      'observationsOf',
      inText(({ id }) => id),
    ),
  };
}

/** The keys of a list in the order in which the text first gives them. */
function keysInOrder(
  lists: SiteLists,
  name: ListName,
  entries: readonly SiteEntry[],
): Iterable<string> {
  const keys = new Set<string>();
  const ignored = { join: () => {}, leave: () => {} };
  const collectors = Object.fromEntries(Object.keys(lists).map((one) => [one, ignored]));
  contribute(
    {
      ...collectors,
      [name]: { ...ignored, join: (key: string) => keys.add(key) },
    } as unknown as Joinable,
    entries,
    'join',
  );
  return keys;
}

/** What declarations put into the lists, in the order in which `buildSite` puts it there. */
function contribute(lists: Joinable, entries: readonly SiteEntry[], how: 'join' | 'leave'): void {
  for (const entry of entries) {
    const { record } = entry;
    switch (record.kind) {
      case 'bus':
        for (const landing of record.landings) {
          const item = { run: record, landing };
          lists.busLandings[how](memberKey(landing.device, landing.member), item);
          lists.busLandingsOfDevice[how](landing.device, item);
        }
        break;
      case 'feed':
        contributeFeed(lists, record, how);
        break;
      case 'device':
        lists.devicesOf[how](record.equipment, record);
        for (const line of record.inletLines) {
          const item = { device: record, line };
          lists.inletLines[how](memberKey(record.name, line.inlet), item);
          lists.inletLinesFrom[how](memberKey(line.from.owner, line.from.member), item);
        }
        break;
      case 'board':
        if (record.from !== undefined) {
          lists.boardsFrom[how](memberKey(record.from.owner, record.from.member), record);
        }
        break;
      case 'isolator':
        lists.isolatorsOn[how](memberKey(record.on.owner, record.on.member), record);
        break;
      case 'network':
        for (const host of record.hosts) {
          lists.hosts[how](memberKey(host.device, host.lan), { network: record, host });
        }
        break;
      case 'observed':
        // The entry itself is what joins and leaves: two observations can be one record.
        lists.observationsOf[how](record.subject, entry as SiteObservation);
        break;
      default:
        break;
    }
  }
}

function contributeFeed(lists: Joinable, feed: Feed, how: 'join' | 'leave'): void {
  for (const landing of feed.landings) {
    const item = { run: feed, landing };
    lists.feedLandings[how](memberKey(landing.device, landing.member), item);
    lists.feedLandingsOfDevice[how](landing.device, item);
  }
  const first = memberKey(feed.from.owner, feed.from.member);
  lists.feedsFrom[how](first, feed);
  if (feed.and !== undefined && memberKey(feed.and.owner, feed.and.member) !== first) {
    lists.feedsFrom[how](memberKey(feed.and.owner, feed.and.member), feed);
  }
}
