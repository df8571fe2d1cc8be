/**
 * IPv4 arithmetic on unsigned 32-bit numbers.
 *
 * Text is strict: four decimal parts without leading zeros, because common readers take
 * `192.168.010.5` as octal and others do not. RFC 791, 950, 4632; /31 after RFC 3021.
 */

/** An address as an unsigned 32-bit number. */
export type Ipv4Address = number;

/** A network: its base address (host bits zero) and prefix length 0 to 32. */
export interface Ipv4Subnet {
  readonly baseAddress: Ipv4Address;
  readonly prefixLength: number;
}

/** An address together with the network that it stands in, as `10.1.2.3/24` says both. */
export interface Ipv4Interface {
  readonly address: Ipv4Address;
  readonly subnet: Ipv4Subnet;
}

/** An inclusive range of addresses. */
export interface Ipv4Range {
  readonly first: Ipv4Address;
  readonly last: Ipv4Address;
}

/** Why a text is no address, mask or prefix. */
export type Ipv4Problem =
  | 'parts' // not four parts with a dot between them
  | 'digits' // a part that is not made of decimal digits
  | 'leading-zero'
  | 'part-above-255'
  | 'prefix-missing'
  | 'prefix' // not a whole number from 0 to 32
  | 'mask-gap'; // a mask whose one bits are not all in front

/** A read text, or what is wrong with it. */
export type Ipv4Read<T> =
  { readonly ok: true; readonly value: T } | { readonly ok: false; readonly problem: Ipv4Problem };

/** Reads `d.d.d.d`. */
export function parseAddress(text: string): Ipv4Read<Ipv4Address> {
  const parts = text.split('.');
  if (parts.length !== 4) {
    return { ok: false, problem: 'parts' };
  }
  let address = 0;
  for (const part of parts) {
    const problem = partProblem(part);
    if (problem !== undefined) {
      return { ok: false, problem };
    }
    address = address * 256 + Number(part);
  }
  return { ok: true, value: address };
}

/** Reads `d.d.d.d/n`; the address may have host bits. A mask after the slash is not accepted. */
export function parseInterface(text: string): Ipv4Read<Ipv4Interface> {
  const slash = text.indexOf('/');
  if (slash < 0) {
    const address = parseAddress(text);
    return { ok: false, problem: address.ok ? 'prefix-missing' : address.problem };
  }
  const address = parseAddress(text.slice(0, slash));
  if (!address.ok) {
    return address;
  }
  const prefixText = text.slice(slash + 1);
  if (!/^(?:0|[1-9]\d?)$/u.test(prefixText) || Number(prefixText) > 32) {
    return { ok: false, problem: 'prefix' };
  }
  const subnet = subnetOf(address.value, Number(prefixText));
  return { ok: true, value: { address: address.value, subnet } };
}

/** Reads a mask such as `255.255.255.0` and gives its prefix length. */
export function parseMask(text: string): Ipv4Read<number> {
  const mask = parseAddress(text);
  if (!mask.ok) {
    return mask;
  }
  const prefixLength = Math.clz32(~mask.value);
  return maskOf(prefixLength) === mask.value
    ? { ok: true, value: prefixLength }
    : { ok: false, problem: 'mask-gap' };
}

/** Writes an address as `d.d.d.d`. */
export function formatAddress(address: Ipv4Address): string {
  return [24, 16, 8, 0].map((shift) => (address >>> shift) & 255).join('.');
}

/** Writes a network as `d.d.d.d/n`. */
export function formatSubnet(subnet: Ipv4Subnet): string {
  return `${formatAddress(subnet.baseAddress)}/${subnet.prefixLength}`;
}

/** The mask of a prefix length, as a number. A shift by 32 does nothing in JavaScript, hence /0 apart. */
export function maskOf(prefixLength: number): number {
  return prefixLength === 0 ? 0 : (0xffffffff << (32 - prefixLength)) >>> 0;
}

/** The network of a prefix length that an address stands in. */
export function subnetOf(address: Ipv4Address, prefixLength: number): Ipv4Subnet {
  return { baseAddress: (address & maskOf(prefixLength)) >>> 0, prefixLength };
}

/** How many addresses a network has, 1 to 4294967296, network and broadcast address included. */
export function addressCount(subnet: Ipv4Subnet): number {
  return 2 ** (32 - subnet.prefixLength);
}

/** The highest address of a network, whatever it is used for. */
export function highestAddress(subnet: Ipv4Subnet): Ipv4Address {
  return subnet.baseAddress + addressCount(subnet) - 1;
}

/** The broadcast address; undefined for /31 (RFC 3021) and /32, which have none. */
export function broadcastAddress(subnet: Ipv4Subnet): Ipv4Address | undefined {
  return subnet.prefixLength <= 30 ? highestAddress(subnet) : undefined;
}

/** The network address where it may not be a host; undefined for /31 and /32. */
export function networkAddress(subnet: Ipv4Subnet): Ipv4Address | undefined {
  return subnet.prefixLength <= 30 ? subnet.baseAddress : undefined;
}

/** First and last host address: all but network and broadcast; both of a /31, the one of a /32. */
export function hostRange(subnet: Ipv4Subnet): Ipv4Range {
  const inset = subnet.prefixLength <= 30 ? 1 : 0;
  return { first: subnet.baseAddress + inset, last: highestAddress(subnet) - inset };
}

/** How many hosts a network can have. */
export function hostCount(subnet: Ipv4Subnet): number {
  const { first, last } = hostRange(subnet);
  return last - first + 1;
}

/** Whether an address stands in a network. */
export function contains(subnet: Ipv4Subnet, address: Ipv4Address): boolean {
  return address >= subnet.baseAddress && address <= highestAddress(subnet);
}

/** Whether a host may have this address in this network. */
export function isHostAddress(subnet: Ipv4Subnet, address: Ipv4Address): boolean {
  return inRange(hostRange(subnet), address);
}

/** Whether the first network holds every address of the second. */
export function containsSubnet(outer: Ipv4Subnet, inner: Ipv4Subnet): boolean {
  return outer.prefixLength <= inner.prefixLength && contains(outer, inner.baseAddress);
}

/** Whether two networks share an address; then one of them contains the other. */
export function overlaps(one: Ipv4Subnet, other: Ipv4Subnet): boolean {
  return containsSubnet(one, other) || containsSubnet(other, one);
}

/** Whether an address lies in an inclusive range. */
export function inRange(range: Ipv4Range, address: Ipv4Address): boolean {
  return address >= range.first && address <= range.last;
}

function partProblem(part: string): Ipv4Problem | undefined {
  if (!/^\d+$/u.test(part)) {
    return 'digits';
  }
  if (part.length > 1 && part.startsWith('0')) {
    return 'leading-zero';
  }
  return Number(part) > 255 ? 'part-above-255' : undefined;
}
