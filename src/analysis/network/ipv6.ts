/** IPv6 addresses as text: reading, the one canonical spelling, and what kind an address is. */

/** An address as eight groups of 16 bits. */
export type Ipv6Address = readonly number[];

/** What an address is for, as far as a plan of a building cares. */
export type Ipv6Kind =
  | 'unspecified'
  | 'loopback'
  | 'multicast'
  | 'link-local'
  | 'unique-local'
  | 'documentation'
  | 'other';

const GROUPS = 8;

/**
 * Reads an address by RFC 4291 section 2.2, a dotted quad at its end included; undefined where the
 * text is none. A zone (`%eth0`) and a prefix length belong to no host line and are refused.
 */
export function parseIpv6(text: string): Ipv6Address | undefined {
  const halves = text.split('::');
  if (halves.length > 2) {
    return undefined;
  }
  const [head, tail] = halves.map((half) => groupsOf(half));
  if (head === undefined) {
    return undefined;
  }
  if (halves.length === 1) {
    return head.length === GROUPS ? head : undefined;
  }
  if (tail === undefined || head.length + tail.length >= GROUPS || halves[0]!.includes('.')) {
    return undefined;
  }
  return [...head, ...Array<number>(GROUPS - head.length - tail.length).fill(0), ...tail];
}

/**
 * The canonical text by RFC 5952: lower case, no leading zeros, the longest run of two or more zero
 * groups (the first of equal ones) written as `::`.
 */
export function formatIpv6(address: Ipv6Address): string {
  const run = longestZeroRun(address);
  const texts = address.map((group) => group.toString(16));
  return run === undefined
    ? texts.join(':')
    : `${texts.slice(0, run.start).join(':')}::${texts.slice(run.start + run.length).join(':')}`;
}

/** The next address of the same /64; undefined behind the last. */
export function followingIpv6(address: Ipv6Address): Ipv6Address | undefined {
  const last = address.findLastIndex((group) => group < 0xffff);
  return last < GROUPS / 2
    ? undefined
    : address.map((group, index) => (index < last ? group : index === last ? group + 1 : 0));
}

/** The kind of an address: RFC 4291, RFC 4193 (unique local), RFC 3849 (documentation). */
export function ipv6Kind(address: Ipv6Address): Ipv6Kind {
  const [first = 0, second = 0] = address;
  if (address.every((group) => group === 0)) {
    return 'unspecified';
  }
  if (address.slice(0, -1).every((group) => group === 0) && address[GROUPS - 1] === 1) {
    return 'loopback';
  }
  if ((first & 0xff00) === 0xff00) {
    return 'multicast';
  }
  if ((first & 0xffc0) === 0xfe80) {
    return 'link-local';
  }
  if ((first & 0xfe00) === 0xfc00) {
    return 'unique-local';
  }
  return first === 0x2001 && second === 0x0db8 ? 'documentation' : 'other';
}

function groupsOf(half: string): number[] | undefined {
  if (half === '') {
    return [];
  }
  const groups: number[] = [];
  const parts = half.split(':');
  for (const [index, part] of parts.entries()) {
    if (index === parts.length - 1 && part.includes('.')) {
      const quad = dottedQuad(part);
      if (quad === undefined) {
        return undefined;
      }
      groups.push(...quad);
    } else if (/^[0-9a-f]{1,4}$/iu.test(part)) {
      groups.push(Number.parseInt(part, 16));
    } else {
      return undefined;
    }
  }
  return groups.length <= GROUPS ? groups : undefined;
}

function dottedQuad(text: string): [number, number] | undefined {
  const parts = text.split('.');
  const isQuad =
    parts.length === 4 &&
    parts.every((part) => /^(?:0|[1-9]\d{0,2})$/u.test(part) && Number(part) <= 255);
  if (!isQuad) {
    return undefined;
  }
  const [a = 0, b = 0, c = 0, d = 0] = parts.map(Number);
  return [a * 256 + b, c * 256 + d];
}

function longestZeroRun(address: Ipv6Address): { start: number; length: number } | undefined {
  let best: { start: number; length: number } | undefined;
  let start = 0;
  for (let index = 0; index <= address.length; index++) {
    if (address[index] === 0) {
      continue;
    }
    const length = index - start;
    if (length >= 2 && length > (best?.length ?? 0)) {
      best = { start, length };
    }
    start = index + 1;
  }
  return best;
}
