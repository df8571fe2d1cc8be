/**
 * A site as it would be after a change of its supplies: what a fix promises is computed on it
 * before the fix is offered.
 */
import type { DeclarationId } from '../../model/origin.js';
import type { Declaration, Device } from '../../model/records.js';
import { buildSite, nameOf } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import type { Bus, Feed, Landing } from '../../model/wiring.js';

/** A feed with one more landing at its end. */
export function withLanding(
  feed: Feed,
  landing: { readonly device: string; readonly member: string; readonly covered: boolean },
): Feed {
  return { ...feed, landings: [...feed.landings, landingAtEnd(feed, landing)] };
}

/** A bus with one more port at the end of its main line. */
export function withLandingAtEnd(bus: Bus, device: string, member: string): Bus {
  const landing = landingAtEnd(bus, { device, member, covered: false });
  return { ...bus, landings: [...bus.landings, landing] };
}

/** Behind the last landing of the main line. */
function landingAtEnd(
  { landings }: Bus | Feed,
  landing: { readonly device: string; readonly member: string; readonly covered: boolean },
): Landing {
  const before = landings.findLast((one) => one.spur === undefined);
  return {
    ...landing,
    index: landings.length,
    ...(before === undefined ? {} : { from: before.index }),
    opensSpur: false,
    terminated: false,
    bonded: false,
    existing: false,
  };
}

/** A landing is taken off its feed; what came behind it is joined to what came before. */
export function withoutLanding(site: Site, feed: string, index: number): Site {
  return withChanged(site, feed, (record) => {
    if (record.kind !== 'feed') {
      return record;
    }
    const removed = record.landings.find((one) => one.index === index);
    const renumbered = (number: number): number => (number > index ? number - 1 : number);
    const landings = record.landings
      .filter((one) => one.index !== index)
      .map(({ from, ...one }): Landing => {
        const before = from === index ? removed?.from : from;
        return {
          ...one,
          index: renumbered(one.index),
          ...(before === undefined ? {} : { from: renumbered(before) }),
        };
      });
    return { ...record, landings };
  });
}

/** A bus is written anew, under its name. */
export function withBus(site: Site, bus: Bus): Site {
  return withChanged(site, bus.name, (record) => (record.kind === 'bus' ? bus : record));
}

/** A bus or feed gets another cable. */
export function withRunCable(site: Site, run: string, cable: string): Site {
  return withRun(site, run, (record) => ({ ...record, cable }));
}

/** The cables that landings of a run state for themselves are replaced. */
export function withLandingCables(
  site: Site,
  run: string,
  landings: ReadonlySet<number>,
  cable: string,
): Site {
  return withRun(site, run, (record) => ({
    ...record,
    landings: record.landings.map((landing) =>
      landings.has(landing.index) ? { ...landing, cable } : landing,
    ),
  }));
}

/** The cores of a landing as they would be landed. */
export function withLandingCores(
  site: Site,
  run: string,
  landing: number,
  cores: readonly string[],
): Site {
  return withRun(site, run, (record) => ({
    ...record,
    landings: record.landings.map((one) => (one.index === landing ? { ...one, cores } : one)),
  }));
}

/** The cable of an inlet line is replaced. */
export function withLineCable(site: Site, device: string, line: number, cable: string): Site {
  return withDevice(site, device, (record) => ({
    ...record,
    inletLines: record.inletLines.map((one) => (one.index === line ? { ...one, cable } : one)),
  }));
}

/** The cable of a host line is replaced. */
export function withHostCable(site: Site, network: string, host: number, cable: string): Site {
  return withChanged(site, network, (record) =>
    record.kind === 'network'
      ? {
          ...record,
          hosts: record.hosts.map((one) => (one.index === host ? { ...one, cable } : one)),
        }
      : record,
  );
}

function withDevice(site: Site, name: string, change: (device: Device) => Device): Site {
  return withChanged(site, name, (record) => (record.kind === 'device' ? change(record) : record));
}

function withRun(
  site: Site,
  name: string,
  change: <Run extends Bus | Feed>(run: Run) => Run,
): Site {
  return withChanged(site, name, (record) =>
    record.kind === 'bus' || record.kind === 'feed' ? change(record) : record,
  );
}

function withChanged(
  site: Site,
  name: DeclarationId,
  change: (record: Declaration) => Declaration,
): Site {
  return buildSite(
    site.entries.map((entry) =>
      nameOf(entry.record) === name ? { ...entry, record: change(entry.record) } : entry,
    ),
  );
}
