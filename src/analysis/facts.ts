/** Every computed value of a site as one flat list, and the look-up of one of them. */
import type { Fact } from '../model/finding.js';
import type { Board, Device } from '../model/records.js';
import { compareNames, equipmentOf } from '../model/site.js';
import type { Site } from '../model/site.js';
import type { Bus, Feed } from '../model/wiring.js';
import { factsOfBus } from './bus/facts.js';
import { segmentOf } from './bus/segment.js';
import { factsOfCable } from './cabling/facts.js';
import { factsOfAddress } from './graph/addresses.js';
import { factsOfController } from './graph/supervision.js';
import { memoised, memoisedOnce } from './memo.js';
import { factsOfNetwork } from './network/plan.js';
import {
  factsOfDevicePower,
  factsOfFeed,
  factsOfOutlet,
  factsOfPoweredBus,
  factsOfWay,
} from './power/facts.js';

/**
 * The facts of a site: by kind (buses, feeds, boards, devices, networks, cables), within a kind by
 * name, then in the fixed order of each collector. The order of declarations in the text plays no part.
 */
export const factsOfSite = memoisedOnce((site): readonly Fact[] => [
  ...inOrder(site.buses).flatMap((bus) => factsAboutBus(site, bus)),
  ...inOrder(site.feeds).flatMap((feed) => factsAboutFeed(site, feed)),
  ...inOrder(site.boards).flatMap((board) => factsAboutBoard(site, board)),
  ...inOrder(site.devices).flatMap((device) => factsAboutDevice(site, device)),
  ...inOrder(site.networks).flatMap((network) => factsOfNetwork(site, network)),
  ...inOrder(site.cables).flatMap((cable) => factsOfCable(site, cable)),
]);

/**
 * The facts of one subject (`field-1`, `ZC-1.supply`, `FC-1-03`, `controls`, `DB-1.W7`), in the order of
 * {@link factsOfSite}. Only what can speak of it is computed, since an editor asks for a few at a time.
 */
export function factsOf(site: Site, subject: string): readonly Fact[] {
  const owners = namesAround(subject);
  const of = <Value>(records: ReadonlyMap<string, Value>, also: readonly Value[] = []) =>
    new Set([...also, ...owners.flatMap((name) => records.get(name) ?? [])]);
  const buses = new Set(
    [
      ...of(
        site.buses,
        site.busLandings.get(subject)?.map(({ run }) => run),
      ),
    ].flatMap((bus) => segmentOf(site, bus).buses),
  );
  const feeds = of(
    site.feeds,
    site.feedLandings.get(subject)?.map(({ run }) => run),
  );
  return [
    ...byName(buses).flatMap((bus) => factsAboutBus(site, bus)),
    ...byName(feeds).flatMap((feed) => factsAboutFeed(site, feed)),
    ...byName(of(site.boards)).flatMap((board) => factsAboutBoard(site, board)),
    ...byName(of(site.devices)).flatMap((device) => factsAboutDevice(site, device)),
    ...byName(of(site.networks)).flatMap((network) => factsOfNetwork(site, network)),
    ...byName(of(site.cables)).flatMap((cable) => factsOfCable(site, cable)),
  ].filter((fact) => fact.subject === subject);
}

/** One fact of one subject; where several circuits reach an inlet, the first that is known. */
export function factOf(site: Site, subject: string, fact: string): Fact | undefined {
  const all = factsOf(site, subject).filter((one) => one.fact === fact);
  return all.find((one) => one.value !== null) ?? all[0];
}

/** A subject's own name, and the name of what it is a member of. */
function namesAround(subject: string): readonly string[] {
  const dot = subject.lastIndexOf('.');
  return dot < 0 ? [subject] : [subject, subject.slice(0, dot)];
}

const factsAboutBus = memoised((site, bus: Bus): readonly Fact[] => [
  ...factsOfBus(site, bus),
  ...factsOfPoweredBus(site, bus),
]);

const factsAboutFeed = memoised((site, feed: Feed) => factsOfFeed(site, feed));

const factsAboutBoard = memoised((site, board: Board): readonly Fact[] =>
  [...board.ways]
    .sort((one, other) => compareNames(one.name, other.name))
    .flatMap((way) => factsOfWay(site, board, way)),
);

const factsAboutDevice = memoised((site, device: Device): readonly Fact[] => [
  ...factsOfAddress(site, device),
  ...factsOfController(site, device),
  ...factsOfDevicePower(site, device),
  ...(equipmentOf(site, device)?.outlets ?? []).flatMap((outlet) =>
    factsOfOutlet(site, device, outlet),
  ),
]);

function inOrder<Value extends { readonly name: string }>(
  records: ReadonlyMap<string, Value>,
): readonly Value[] {
  return byName(records.values());
}

function byName<Value extends { readonly name: string }>(
  records: Iterable<Value>,
): readonly Value[] {
  return [...records].sort((one, other) => compareNames(one.name, other.name));
}
