/** Which host addresses of a network are still free, found on ranges so that a /8 costs nothing. */
import { hostRange } from './ipv4.js';
import type { Ipv4Address, Ipv4Range, Ipv4Subnet } from './ipv4.js';

/** What already has its place in a network. */
export interface Ipv4Reservations {
  /** Hosts, routers, laptops. Addresses elsewhere do no harm. */
  readonly taken: readonly Ipv4Address[];
  /** Pools that hand addresses out, both ends included. */
  readonly pools: readonly Ipv4Range[];
}

/** The free host addresses as ascending ranges that do not touch. */
export function freeHostRanges(
  subnet: Ipv4Subnet,
  reservations: Ipv4Reservations,
): readonly Ipv4Range[] {
  const hosts = hostRange(subnet);
  const blocked = [
    ...reservations.taken.map((address) => ({ first: address, last: address })),
    ...reservations.pools.filter((pool) => pool.first <= pool.last),
  ].sort((a, b) => a.first - b.first);
  const free: Ipv4Range[] = [];
  let next = hosts.first;
  for (const range of blocked) {
    if (range.first > hosts.last) {
      break;
    }
    if (range.first > next) {
      free.push({ first: next, last: range.first - 1 });
    }
    next = Math.max(next, range.last + 1);
  }
  if (next <= hosts.last) {
    free.push({ first: next, last: hosts.last });
  }
  return free;
}

/** How many host addresses are free. */
export function freeHostCount(subnet: Ipv4Subnet, reservations: Ipv4Reservations): number {
  return freeHostRanges(subnet, reservations).reduce(
    (sum, range) => sum + range.last - range.first + 1,
    0,
  );
}

/** The lowest free host address, or undefined where none is free. */
export function lowestFreeHost(
  subnet: Ipv4Subnet,
  reservations: Ipv4Reservations,
): Ipv4Address | undefined {
  return freeHostRanges(subnet, reservations)[0]?.first;
}

/**
 * The address for the commissioning computer: the highest free one, far from where devices are
 * usually numbered, and the same each time. Undefined where none is free.
 */
export function laptopAddress(
  subnet: Ipv4Subnet,
  reservations: Ipv4Reservations,
): Ipv4Address | undefined {
  return freeHostRanges(subnet, reservations).at(-1)?.last;
}
