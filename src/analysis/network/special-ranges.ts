/** Ranges of IPv4 with a meaning of their own. */
import { contains } from './ipv4.js';
import type { Ipv4Address, Ipv4Subnet } from './ipv4.js';

/** What a range is for. */
export type SpecialUse =
  | 'limited-broadcast'
  | 'this-network'
  | 'private'
  | 'shared'
  | 'loopback'
  | 'link-local'
  | 'protocol-assignments'
  | 'documentation'
  | 'benchmarking'
  | 'multicast'
  | 'reserved';

/** A range with its use and the text that sets it apart. */
export interface SpecialRange {
  readonly subnet: Ipv4Subnet;
  readonly use: SpecialUse;
  readonly source: string;
}

/** The ranges, narrower ones before those that contain them (RFC 6890; numbers from memory, common knowledge). */
export const SPECIAL_RANGES: readonly SpecialRange[] = [
  range(255, 255, 255, 255, 32, 'limited-broadcast', 'RFC 919'),
  range(0, 0, 0, 0, 8, 'this-network', 'RFC 1122'),
  range(10, 0, 0, 0, 8, 'private', 'RFC 1918'),
  range(172, 16, 0, 0, 12, 'private', 'RFC 1918'),
  range(192, 168, 0, 0, 16, 'private', 'RFC 1918'),
  range(100, 64, 0, 0, 10, 'shared', 'RFC 6598'),
  range(127, 0, 0, 0, 8, 'loopback', 'RFC 1122'),
  range(169, 254, 0, 0, 16, 'link-local', 'RFC 3927'),
  range(192, 0, 0, 0, 24, 'protocol-assignments', 'RFC 6890'),
  range(192, 0, 2, 0, 24, 'documentation', 'RFC 5737'),
  range(198, 51, 100, 0, 24, 'documentation', 'RFC 5737'),
  range(203, 0, 113, 0, 24, 'documentation', 'RFC 5737'),
  range(198, 18, 0, 0, 15, 'benchmarking', 'RFC 2544'),
  range(224, 0, 0, 0, 4, 'multicast', 'RFC 5771'),
  range(240, 0, 0, 0, 4, 'reserved', 'RFC 1112'),
];

/** The special range that an address stands in, or undefined for an ordinary public address. */
export function specialRangeOf(address: Ipv4Address): SpecialRange | undefined {
  return SPECIAL_RANGES.find((special) => contains(special.subnet, address));
}

/** Whether an address is private in the sense of RFC 1918, which is narrower than some libraries take it. */
export function isPrivate(address: Ipv4Address): boolean {
  return specialRangeOf(address)?.use === 'private';
}

/** Whether no host on any network can have this address: 0/8, 224/4, 240/4 with 255.255.255.255. */
export function isNeverHost(address: Ipv4Address): boolean {
  const use = specialRangeOf(address)?.use;
  return (
    use === 'this-network' ||
    use === 'multicast' ||
    use === 'reserved' ||
    use === 'limited-broadcast'
  );
}

function range(
  a: number,
  b: number,
  c: number,
  d: number,
  prefixLength: number,
  use: SpecialUse,
  source: string,
): SpecialRange {
  const baseAddress = ((a * 256 + b) * 256 + c) * 256 + d;
  return { subnet: { baseAddress, prefixLength }, use, source };
}
