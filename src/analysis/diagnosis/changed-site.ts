/** The site as it is with faults in it: the same model, changed, so that the same analyses answer. */
import type { Equipment } from '../../model/equipment.js';
import type { Declaration, Device } from '../../model/records.js';
import { buildSite, equipmentOf, memberKey, nameOf } from '../../model/site.js';
import type { Site, SiteEntry } from '../../model/site.js';
import type { Bus, Feed } from '../../model/wiring.js';
import { cutBus, cutFeed } from './cut-run.js';
import type { Fault } from './fault.js';

/** A part of a site: what stands in it is changed, and the rest of the site is left out. */
export interface SitePart {
  readonly runs: readonly string[];
  readonly devices: readonly string[];
}

/**
 * Cables taken out, terminators put in or taken away, and what is dead giving and taking nothing. A
 * part is enough for a question about one circuit, and far quicker to build than a whole site.
 */
export function changedSite(
  site: Site,
  faults: readonly Fault[],
  dead: ReadonlySet<string>,
  { runs, devices }: SitePart,
): Site {
  const lifeless = new Map<string, Equipment>();
  const records: readonly (Declaration | undefined)[] = [
    site.settings,
    ...site.areas.values(),
    ...site.busTypes.values(),
    ...site.cables.values(),
    ...site.boards.values(),
    ...site.equipment.values(),
    ...[...new Set(devices)].map((name): Device | undefined => {
      const device = site.devices.get(name);
      const equipment = device && equipmentOf(site, device);
      if (equipment === undefined || device === undefined || !dead.has(name)) {
        return device;
      }
      const without = withoutLife(equipment);
      lifeless.set(without.name, without);
      return { ...device, equipment: without.name };
    }),
    ...runs.flatMap((name): readonly (Bus | Feed)[] => {
      const cuts = cutsIn(faults, name);
      const bus = site.buses.get(name);
      const feed = site.feeds.get(name);
      if (bus !== undefined) {
        const fitted = withTerminators(bus, faults);
        return cuts.size === 0 ? [fitted] : cutBus(site, fitted, cuts);
      }
      return feed === undefined ? [] : cuts.size === 0 ? [feed] : cutFeed(site, feed, cuts);
    }),
  ];
  const entries = [...records, ...lifeless.values()].flatMap((record): readonly SiteEntry[] =>
    record === undefined ? [] : [{ id: nameOf(record) ?? '', record }],
  );
  return buildSite(entries);
}

/** The positions of the cables of a run that are cut. */
function cutsIn(faults: readonly Fault[], run: string): ReadonlySet<number> {
  return new Set(
    faults.flatMap((fault) =>
      fault.kind === 'segment-cut' && fault.at.of === 'run' && fault.at.run === run
        ? [fault.at.position]
        : [],
    ),
  );
}

function withTerminators(bus: Bus, faults: readonly Fault[]): Bus {
  const landings = bus.landings.map((landing) => {
    const isHere = (fault: Fault): boolean =>
      (fault.kind === 'terminator-missing' || fault.kind === 'terminator-extra') &&
      fault.at.bus === bus.name &&
      fault.at.index === landing.index;
    const own = faults.findLast(isHere);
    return own === undefined
      ? landing
      : { ...landing, terminated: own.kind === 'terminator-extra' };
  });
  return { ...bus, landings };
}

/** No bias, no voltage on a bus and no current: what a device without power adds to a circuit. */
function withoutLife(equipment: Equipment): Equipment {
  return {
    ...equipment,
    name: `${equipment.name} without life`,
    ports: equipment.ports.map(({ bias: _bias, gives: _gives, takes, ...port }) => ({
      ...port,
      ...(takes === undefined ? {} : { takes: { currentA: 0 } }),
    })),
    inlets: equipment.inlets.map(({ powerVA: _va, powerW: _w, ...inlet }) => ({
      ...inlet,
      currentA: 0,
    })),
  };
}

/** A feed with those that share its outlets, and the devices at both ends. */
export function partAround(site: Site, feed: Feed): SitePart {
  const ends = [feed.from, ...(feed.and === undefined ? [] : [feed.and])];
  const feeds = new Set(
    ends.flatMap(({ owner, member }) => site.feedsFrom.get(memberKey(owner, member)) ?? []),
  );
  return {
    runs: [...feeds].map(({ name }) => name),
    devices: [
      ...ends.map(({ owner }) => owner),
      ...[...feeds].flatMap(({ from, and, landings }) => [
        from.owner,
        ...(and === undefined ? [] : [and.owner]),
        ...landings.map(({ device }) => device),
      ]),
    ],
  };
}
