/**
 * The round of a token: how long it takes, how long a new manager waits until it is found, and which
 * manager is never found. Constants as coded in an open implementation of ASHRAE 135 clause 9.
 */
import { memberKey } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import type { Bus } from '../../model/wiring.js';
import { searchTimeS, tokenLoop } from '../electrical/timing.js';
import type { TokenLoop } from '../electrical/timing.js';
import { addressLineOf } from '../graph/addresses.js';
import { memoised } from '../memo.js';
import { talkDomainOf } from './segment.js';
import type { BusPort } from './segment.js';

/** Up to which address a manager searches where its port does not say. */
export const ASSUMED_MAX_MASTER = 127;

/** A port that holds the token, with its address. */
export interface Manager {
  readonly port: BusPort;
  /** Undefined where none is stated. */
  readonly address: number | undefined;
  /** Up to which address it searches; undefined where not stated. */
  readonly maxMaster: number | undefined;
}

/** The search for a new manager at its worst. */
export interface TokenSearch {
  /** Most addresses that one manager asks in vain, one after 50 tokens each. */
  readonly unusedAddresses: number;
  readonly by: Manager;
  readonly basis: 'computed' | 'assumed';
  /** In s, with the fastest and with the slowest empty rounds. */
  readonly fastestS: number;
  readonly slowestS: number;
}

/** A manager that another one never looks for. */
export interface UnfoundManager {
  readonly manager: Manager;
  /** The one that searches least far. */
  readonly by: Manager;
}

/** The ports that hold the token, repeaters crossed, in the order of their landings. */
export const managersOf: (site: Site, bus: Bus) => readonly Manager[] = memoised((site, bus) => {
  const domain = talkDomainOf(site, bus);
  if (domain.lead !== bus) {
    return managersOf(site, domain.lead);
  }
  return domain.segments
    .flatMap((segment) => segment.ports)
    .filter(({ resolved }) => resolved.port.talksAs === 'controller')
    .map((port) => ({
      port,
      address: addressLineOf(port.resolved.device, port.resolved.port.name)?.address,
      maxMaster: port.resolved.port.maxMaster,
    }));
});

/** The empty round of the managers at a rate in baud. */
export function tokenLoopOf(managers: readonly Manager[], rateBaud: number): TokenLoop {
  return tokenLoop(rateBaud, managers.length);
}

/**
 * The search at its worst: each manager asks the addresses between its own and the next manager's,
 * past its highest one on from 0. Undefined where a manager has no address.
 */
export function tokenSearchOf(
  managers: readonly Manager[],
  loop: TokenLoop,
): TokenSearch | undefined {
  const addresses = managers.flatMap(({ address }) => address ?? []);
  if (managers.length === 0 || addresses.length < managers.length) {
    return undefined;
  }
  const ascending = [...new Set(addresses)].sort((one, other) => one - other);
  const unused = managers.map((manager) => unusedAfter(manager, ascending));
  const most = Math.max(...unused);
  const by = managers[unused.indexOf(most)]!;
  return {
    unusedAddresses: most,
    by,
    basis: managers.some(({ maxMaster }) => maxMaster === undefined) ? 'assumed' : 'computed',
    fastestS: searchTimeS(loop.fastestS, most),
    slowestS: searchTimeS(loop.slowestS, most),
  };
}

/** Managers whose address lies above the one up to which another manager says that it searches. */
export function unfoundManagers(managers: readonly Manager[]): readonly UnfoundManager[] {
  return managers.flatMap((manager): readonly UnfoundManager[] => {
    const { address } = manager;
    const searching = managers.filter(
      (other) => other !== manager && other.maxMaster !== undefined,
    );
    const by = searching.reduce<Manager | undefined>(
      (least, other) =>
        least === undefined || other.maxMaster! < least.maxMaster! ? other : least,
      undefined,
    );
    return address !== undefined && by !== undefined && address > by.maxMaster!
      ? [{ manager, by }]
      : [];
  });
}

/** `device.port` of a manager. */
export function nameOfManager({ port: { resolved } }: Manager): string {
  return memberKey(resolved.device.name, resolved.port.name);
}

/** How many addresses a manager asks before it comes to the next one that is used. */
function unusedAfter({ address, maxMaster }: Manager, ascending: readonly number[]): number {
  const highest = maxMaster ?? ASSUMED_MAX_MASTER;
  const own = address!;
  const next = ascending.find((one) => one > own && one <= highest);
  if (next !== undefined) {
    return next - own - 1;
  }
  const first = ascending[0]!;
  return Math.max(0, highest - own) + first;
}
