/** A bus or feed with cables taken out: the pieces that are left, each as a run of its own. */
import type { Site } from '../../model/site.js';
import type { Bus, Feed, Landing } from '../../model/wiring.js';
import { segmentsOf } from '../run.js';
import type { SegmentEnd } from '../run.js';

/** The landings on each side of a cable; one set where a ring holds both sides together. */
export function landingsBehind(
  site: Site,
  run: Bus | Feed,
  position: number,
): readonly ReadonlySet<number>[] {
  return partsOf(run, linksOf(site, run, new Set([position]))).map(
    (part) => new Set(part.filter((end) => typeof end === 'number')),
  );
}

/**
 * The pieces of a bus: the one with its first landing keeps the name. Landings are counted anew, so
 * that a landing is found again by its device and member only.
 */
export function cutBus(site: Site, bus: Bus, positions: ReadonlySet<number>): readonly Bus[] {
  const links = linksOf(site, bus, positions);
  return partsOf(bus, links).map((part, index) => {
    const name = index === 0 ? bus.name : `${bus.name} part ${index + 1}`;
    const { ring, ...rest } = bus;
    return ring !== undefined && linksIn(part, links).length >= part.length
      ? { ...rest, name, ring, landings: keptLandings(bus, part) }
      : { ...rest, name, landings: landingsFrom(bus, part, links) };
  });
}

/** The pieces of a feed that still hang on an outlet. */
export function cutFeed(site: Site, feed: Feed, positions: ReadonlySet<number>): readonly Feed[] {
  const links = linksOf(site, feed, positions);
  return partsOf(feed, links).flatMap((part, index): readonly Feed[] => {
    const { and, lastM: _, ...rest } = feed;
    const name = index === 0 ? feed.name : `${feed.name} part ${index + 1}`;
    if (part.includes('outlet') && part.includes('second-outlet')) {
      return [{ ...feed, name, landings: keptLandings(feed, part) }];
    }
    const from = part[0] === 'outlet' ? feed.from : part[0] === 'second-outlet' ? and : undefined;
    return from === undefined
      ? []
      : [{ ...rest, name, from, landings: landingsFrom(feed, part, links) }];
  });
}

interface Link {
  readonly from: SegmentEnd;
  readonly to: SegmentEnd;
  /** Null where it is not known; undefined inside a device, where there is no cable. */
  readonly lengthM: number | null | undefined;
  readonly cable: string | undefined;
}

function linksOf(site: Site, run: Bus | Feed, without: ReadonlySet<number>): readonly Link[] {
  const cables = segmentsOf(site, run);
  const led = new Set(cables.filter(({ closesRing }) => !closesRing).map(({ to }) => to));
  const inside = run.landings.flatMap(({ index, from }): readonly Link[] =>
    from === undefined || led.has(index) || from >= index
      ? []
      : [{ from, to: index, lengthM: undefined, cable: undefined }],
  );
  return [
    ...cables
      .filter((_, position) => !without.has(position))
      .map(({ from, to, lengthM, cableName }) => ({ from, to, lengthM, cable: cableName })),
    ...inside,
  ];
}

/** Connected ends, each part from its head on in the order of the walk. */
function partsOf(run: Bus | Feed, links: readonly Link[]): readonly (readonly SegmentEnd[])[] {
  const heads: readonly SegmentEnd[] = [
    ...(run.kind === 'feed' ? (['outlet'] as const) : []),
    ...(run.kind === 'feed' && run.and !== undefined ? (['second-outlet'] as const) : []),
    ...run.landings.map(({ index }) => index),
  ];
  const seen = new Set<SegmentEnd>();
  return heads.flatMap((head) => {
    if (seen.has(head)) {
      return [];
    }
    const part = new Set([head]);
    for (const end of part) {
      for (const { from, to } of links) {
        // A set may grow while it is walked, so this loop reaches everything that is connected.
        if (from === end) {
          part.add(to);
        } else if (to === end) {
          part.add(from);
        }
      }
    }
    part.forEach((end) => seen.add(end));
    return [[...part]];
  });
}

function linksIn(part: readonly SegmentEnd[], links: readonly Link[]): readonly Link[] {
  return links.filter(({ from }) => part.includes(from));
}

/** The landings of a part as they stand; what they come from stands in the same part. */
function keptLandings(run: Bus | Feed, part: readonly SegmentEnd[]): readonly Landing[] {
  const kept = run.landings.filter(({ index }) => part.includes(index));
  const renumbered = new Map(kept.map(({ index }, position) => [index, position]));
  return kept.map(({ from, ...rest }, index) => {
    const before = from === undefined ? undefined : renumbered.get(from);
    return { ...rest, index, ...(before === undefined ? {} : { from: before }) };
  });
}

/** The landings of a part without a loop, walked from its head: each after the one it hangs on. */
function landingsFrom(
  run: Bus | Feed,
  part: readonly SegmentEnd[],
  links: readonly Link[],
): readonly Landing[] {
  const own = linksIn(part, links);
  const landings: Landing[] = [];
  const indexOf = new Map<SegmentEnd, number>();
  const ways = new Map<SegmentEnd, { readonly link: Link; readonly before: SegmentEnd }>();
  for (const end of part) {
    const way = ways.get(end);
    const landing = typeof end === 'number' ? run.landings[end] : undefined;
    if (landing !== undefined) {
      const from = way === undefined ? undefined : indexOf.get(way.before);
      indexOf.set(end, landings.length);
      landings.push(movedLanding(landing, landings.length, from, way?.link));
    }
    for (const link of own) {
      const next = link.from === end ? link.to : link.to === end ? link.from : undefined;
      if (next !== undefined && next !== part[0] && !ways.has(next)) {
        ways.set(next, { link, before: end });
      }
    }
  }
  return landings;
}

function movedLanding(
  landing: Landing,
  index: number,
  from: number | undefined,
  link: Link | undefined,
): Landing {
  const { from: _from, lengthM: _length, spur: _spur, cable: _cable, ...rest } = landing;
  return {
    ...rest,
    index,
    opensSpur: false,
    ...(from === undefined ? {} : { from }),
    ...(typeof link?.lengthM === 'number' ? { lengthM: link.lengthM } : {}),
    ...(link?.cable === undefined ? {} : { cable: link.cable }),
  };
}
