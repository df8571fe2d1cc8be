/** What hangs on a way or outlet: inlets over feeds and lines, and boards. */
import type { Place } from '../../model/origin.js';
import { part, placeOf } from '../../model/origin.js';
import type { Board, InletLine } from '../../model/records.js';
import { memberKey, resolveInlet, resolvePowerPoint } from '../../model/site.js';
import type { PowerPoint, ResolvedInlet, Site } from '../../model/site.js';
import type { Feed, Landing } from '../../model/wiring.js';

/** How an inlet is connected: landed on a feed, or by a line in its device. */
export type InletConnection =
  | { readonly kind: 'landing'; readonly feed: Feed; readonly landing: Landing }
  | { readonly kind: 'line'; readonly device: string; readonly line: InletLine };

/** An inlet on a way or outlet. */
export interface InletConsumer {
  readonly kind: 'inlet';
  /** `device.inlet` as written. */
  readonly subject: string;
  readonly at: Place;
  readonly connection: InletConnection;
  /** Undefined where a name does not resolve. */
  readonly resolved: ResolvedInlet | undefined;
}

/** A board on a way. */
export interface BoardConsumer {
  readonly kind: 'board';
  readonly subject: string;
  readonly at: Place;
  readonly board: Board;
}

export type Consumer = InletConsumer | BoardConsumer;

/** What hangs on a way or outlet (`DB-1.W7`), in the order of the text. */
export function consumersOf(site: Site, pointKey: string): readonly Consumer[] {
  const found: Consumer[] = [
    ...(site.feedsFrom.get(pointKey) ?? []).flatMap((feed) =>
      feed.landings.map((landing) => consumerOfLanding(site, feed, landing)),
    ),
    ...(site.inletLinesFrom.get(pointKey) ?? []).map(({ device, line }) =>
      consumerOfLine(site, device.name, line),
    ),
    ...(site.boardsFrom.get(pointKey) ?? []).map((board): BoardConsumer => ({
      kind: 'board',
      subject: board.name,
      at: placeOf(board.name, 'from'),
      board,
    })),
  ];
  // Sorting is stable: what stands in one declaration keeps the order of its lines.
  return found.sort((one, other) => site.compareInText(one.at.declaration, other.at.declaration));
}

/** A landing of a feed as a consumer. */
export function consumerOfLanding(site: Site, feed: Feed, landing: Landing): InletConsumer {
  return {
    kind: 'inlet',
    subject: memberKey(landing.device, landing.member),
    at: placeOf(feed.name, part('land', landing.index)),
    connection: { kind: 'landing', feed, landing },
    resolved: resolveInlet(site, landing.device, landing.member),
  };
}

/** An inlet line of a device as a consumer. */
export function consumerOfLine(site: Site, device: string, line: InletLine): InletConsumer {
  return {
    kind: 'inlet',
    subject: memberKey(device, line.inlet),
    at: placeOf(device, part('inlet', line.index)),
    connection: { kind: 'line', device, line },
    resolved: resolveInlet(site, device, line.inlet),
  };
}

/** Where and how an inlet is connected, landings first; usually once. */
export function connectionsOf(site: Site, device: string, inlet: string): readonly InletConsumer[] {
  const key = memberKey(device, inlet);
  return [
    ...(site.feedLandings.get(key) ?? []).map(({ run, landing }) =>
      consumerOfLanding(site, run, landing),
    ),
    ...(site.inletLines.get(key) ?? []).map(({ line }) => consumerOfLine(site, device, line)),
  ];
}

/** The ways or outlets that feed a connection, as far as their names resolve; a feed may have two. */
export function pointsOf(site: Site, connection: InletConnection): readonly PowerPoint[] {
  const written = connection.kind === 'line' ? [connection.line.from] : feedEnds(connection.feed);
  return written.flatMap((from) => resolvePowerPoint(site, from) ?? []);
}

/** The way or outlet of a name such as `DB-1.W7`; undefined where it is not known. */
export function pointByKey(site: Site, key: string): PowerPoint | undefined {
  const cut = key.lastIndexOf('.');
  return resolvePowerPoint(site, { owner: key.slice(0, cut), member: key.slice(cut + 1) });
}

/** The outlets of a feed as written, one that stands twice once. */
export function feedEnds(feed: Feed): readonly { owner: string; member: string }[] {
  return feed.and === undefined ||
    memberKey(feed.and.owner, feed.and.member) === memberKey(feed.from.owner, feed.from.member)
    ? [feed.from]
    : [feed.from, feed.and];
}
