import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  freeHostCount,
  freeHostRanges,
  laptopAddress,
  lowestFreeHost,
} from '../../src/analysis/network/free-hosts.js';
import {
  addressCount,
  broadcastAddress,
  contains,
  containsSubnet,
  formatAddress,
  hostCount,
  hostRange,
  inRange,
  isHostAddress,
  networkAddress,
  overlaps,
  parseAddress,
  parseInterface,
  parseMask,
  subnetOf,
} from '../../src/analysis/network/ipv4.js';
import type { Ipv4Subnet } from '../../src/analysis/network/ipv4.js';
import {
  isNeverHost,
  isPrivate,
  specialRangeOf,
} from '../../src/analysis/network/special-ranges.js';

const address = (text: string): number => {
  const read = parseAddress(text);
  if (!read.ok) {
    throw new Error(`${text}: ${read.problem}`);
  }
  return read.value;
};
const subnet = (text: string): Ipv4Subnet => {
  const read = parseInterface(text);
  if (!read.ok) {
    throw new Error(`${text}: ${read.problem}`);
  }
  return read.value.subnet;
};

describe('text', () => {
  it.each([
    ['192.168.010.5', 'leading-zero'],
    ['192.168.10', 'parts'],
    ['192.168.10.5.1', 'parts'],
    ['192.168.10.', 'digits'],
    ['192.168.10.256', 'part-above-255'],
    ['192.168.10.1 ', 'digits'],
    ['0x7f.0.0.1', 'digits'],
    ['-1.0.0.1', 'digits'],
    ['', 'parts'],
  ])('%s is no address: %s', (text, problem) => {
    expect(parseAddress(text)).toEqual({ ok: false, problem });
  });

  it.each([
    ['10.0.0.1', 'prefix-missing'],
    ['10.0.0.1/33', 'prefix'],
    ['10.0.0.1/', 'prefix'],
    ['10.0.0.1/08', 'prefix'],
    ['10.0.0.1/255.255.255.0', 'prefix'],
    ['10.0.0.01/8', 'leading-zero'],
    ['10.0.0/8', 'parts'],
    ['10.0', 'parts'],
  ])('%s is no address with prefix: %s', (text, problem) => {
    expect(parseInterface(text)).toEqual({ ok: false, problem });
  });

  it('of masks is read where the ones are all in front; a host mask is none', () => {
    expect(parseMask('255.255.252.0')).toEqual({ ok: true, value: 22 });
    expect(parseMask('0.0.0.0')).toEqual({ ok: true, value: 0 });
    expect(parseMask('255.255.255.255')).toEqual({ ok: true, value: 32 });
    expect(parseMask('255.255.0.255')).toEqual({ ok: false, problem: 'mask-gap' });
    expect(parseMask('0.0.0.255')).toEqual({ ok: false, problem: 'mask-gap' });
    expect(parseMask('255.255.0')).toEqual({ ok: false, problem: 'parts' });
  });

  it('round-trips every address', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 0xffffffff }), (value) => {
        expect(parseAddress(formatAddress(value))).toEqual({ ok: true, value });
      }),
      { numRuns: 2000 },
    );
  });
});

describe('networks', () => {
  it('of /31 have two hosts and no broadcast (RFC 3021), of /32 one host', () => {
    const pair = subnet('192.168.1.10/31');
    expect([networkAddress(pair), broadcastAddress(pair)]).toEqual([undefined, undefined]);
    expect(hostCount(pair)).toBe(2);
    expect(isHostAddress(pair, address('192.168.1.12'))).toBe(false);
    const one = subnet('255.255.255.255/32');
    expect([broadcastAddress(one), hostCount(one), addressCount(one)]).toEqual([undefined, 1, 1]);
  });

  it('of /0 hold everything', () => {
    expect(hostCount(subnet('0.0.0.0/0'))).toBe(2 ** 32 - 2);
    expect(contains(subnet('0.0.0.0/0'), address('255.255.255.255'))).toBe(true);
  });

  it('may have hosts that end in .0 or .255 (192.168.0.0/23)', () => {
    const wide = subnet('192.168.0.0/23');
    expect(isHostAddress(wide, address('192.168.0.255'))).toBe(true);
    expect(isHostAddress(wide, address('192.168.1.0'))).toBe(true);
    expect(isHostAddress(wide, address('192.168.0.0'))).toBe(false);
    expect(isHostAddress(wide, address('192.168.1.255'))).toBe(false);
  });

  it.each([
    ['192.168.0.0/16', '192.168.10.0/24', true],
    ['192.168.10.0/25', '192.168.10.128/25', false],
    ['10.0.0.0/9', '10.128.0.0/9', false],
    ['192.168.0.0/23', '192.168.1.0/24', true],
    ['192.168.2.0/23', '192.168.1.0/24', false],
    ['0.0.0.0/0', '255.255.255.255/32', true],
  ])('%s and %s overlap: %s (E3)', (one, other, expected) => {
    expect(overlaps(subnet(one), subnet(other))).toBe(expected);
    expect(overlaps(subnet(other), subnet(one))).toBe(expected);
  });

  it('overlap exactly where one contains the other', () => {
    fc.assert(
      fc.property(anySubnet(), anySubnet(), (one, other) => {
        expect(overlaps(one, other)).toBe(
          contains(one, other.baseAddress) || contains(other, one.baseAddress),
        );
        expect(containsSubnet(one, other) && containsSubnet(other, one)).toBe(
          one.baseAddress === other.baseAddress && one.prefixLength === other.prefixLength,
        );
      }),
      { numRuns: 2000 },
    );
  });
});

describe('special ranges', () => {
  it.each([
    ['10.255.255.255', 'private'],
    ['172.31.255.255', 'private'],
    ['172.32.0.1', undefined],
    ['192.168.10.1', 'private'],
    ['169.254.7.9', 'link-local'],
    ['100.64.0.1', 'shared'],
    ['100.128.0.1', undefined],
    ['127.0.0.1', 'loopback'],
    ['0.0.0.0', 'this-network'],
    ['192.0.2.5', 'documentation'],
    ['198.51.100.5', 'documentation'],
    ['203.0.113.5', 'documentation'],
    ['198.19.255.255', 'benchmarking'],
    ['239.1.1.1', 'multicast'],
    ['240.0.0.1', 'reserved'],
    ['255.255.255.255', 'limited-broadcast'],
    ['8.8.8.8', undefined],
  ])('%s: %s', (text, use) => {
    expect(specialRangeOf(address(text))?.use).toBe(use);
    expect(isPrivate(address(text))).toBe(use === 'private');
  });

  it('name the addresses that no host can have', () => {
    expect(
      ['0.1.2.3', '224.0.0.1', '250.0.0.1', '255.255.255.255'].every((text) =>
        isNeverHost(address(text)),
      ),
    ).toBe(true);
    expect(
      ['10.0.0.1', '127.0.0.1', '169.254.0.1'].some((text) => isNeverHost(address(text))),
    ).toBe(false);
  });
});

describe('free hosts', () => {
  it('cost nothing on a /8', () => {
    const none = { taken: [], pools: [] };
    expect(freeHostCount(subnet('10.0.0.0/8'), none)).toBe(2 ** 24 - 2);
    expect(formatAddress(laptopAddress(subnet('10.0.0.0/8'), none)!)).toBe('10.255.255.254');
  });

  it('are the hosts outside everything that is reserved, as counting one by one shows', () => {
    const near = fc.integer({ min: -3, max: 70 });
    fc.assert(
      fc.property(
        fc.integer({ min: 26, max: 32 }),
        fc.integer({ min: 64, max: 0xffffff00 }),
        fc.array(near, { maxLength: 12 }),
        fc.array(fc.tuple(near, near), { maxLength: 3 }),
        (prefixLength, somewhere, takenOffsets, poolOffsets) => {
          const net = subnetOf(somewhere, prefixLength);
          const at = (offset: number): number => net.baseAddress + offset;
          const taken = takenOffsets.map(at);
          const pools = poolOffsets.map(([a, b]) => ({ first: at(a), last: at(b) }));
          const { first, last } = hostRange(net);
          const expected: number[] = [];
          for (let host = first; host <= last; host += 1) {
            if (!taken.includes(host) && !pools.some((pool) => inRange(pool, host))) {
              expected.push(host);
            }
          }
          const found = freeHostRanges(net, { taken, pools }).flatMap((range) =>
            Array.from({ length: range.last - range.first + 1 }, (_, index) => range.first + index),
          );
          expect(found).toEqual(expected);
          expect(freeHostCount(net, { taken, pools })).toBe(expected.length);
          expect(lowestFreeHost(net, { taken, pools })).toBe(expected[0]);
          expect(laptopAddress(net, { taken, pools })).toBe(expected.at(-1));
        },
      ),
      { numRuns: 2000 },
    );
  });
});

function anySubnet(): fc.Arbitrary<Ipv4Subnet> {
  return fc
    .tuple(
      // Few high bits, so that networks meet each other often enough.
      fc.integer({ min: 0, max: 7 }),
      fc.integer({ min: 0, max: 0x1fffffff }),
      fc.integer({ min: 0, max: 32 }),
    )
    .map(([high, low, prefixLength]) => subnetOf(high * 2 ** 29 + low, prefixLength));
}
