import { describe, expect, it } from 'vitest';
import { followingIpv6, formatIpv6, ipv6Kind, parseIpv6 } from '../../src/analysis/network/ipv6.js';
import { PYTHON_INSTALL, pythonIsInstalled, runPython } from '../support/python.js';
import { randomFrom, seedOfThisRun, type Random } from '../support/random.js';

const canonical = (text: string) => {
  const address = parseIpv6(text);
  return address === undefined ? undefined : formatIpv6(address);
};

describe('IPv6 text', () => {
  // RFC 5952 section 4 and its examples, as used in the project's reference values.
  it.each([
    ['2001:0DB8:0:0:1:0:0:1', '2001:db8::1:0:0:1'],
    ['2001:db8:0:1:1:1:1:1', '2001:db8:0:1:1:1:1:1'],
    ['FD00::ABCD', 'fd00::abcd'],
    ['::', '::'],
    ['::1', '::1'],
    ['2001:db8::192.0.2.33', '2001:db8::c000:221'],
  ])('%s is written %s', (text, expected) => {
    expect(canonical(text)).toBe(expected);
  });

  it.each([
    '',
    ':',
    '1:2',
    '1::2::3',
    '12345::',
    'g::',
    '1:2:3:4:5:6:7:8:9',
    '::1%eth0',
    '::1/64',
    '1.2.3.4',
    '::1.2.3',
    '::01.2.3.4',
    '1:2:3:4:5:6:7::8:9',
  ])('refuses "%s"', (text) => {
    expect(parseIpv6(text)).toBeUndefined();
  });

  it.each([
    ['::', 'unspecified'],
    ['::1', 'loopback'],
    ['ff02::1', 'multicast'],
    ['fe80::1', 'link-local'],
    ['fd12:3456::1', 'unique-local'],
    ['2001:db8::20', 'documentation'],
    ['2a00::1', 'other'],
  ])('%s is %s', (text, kind) => {
    expect(ipv6Kind(parseIpv6(text)!)).toBe(kind);
  });

  it.each([
    ['2001:db8::20', '2001:db8::21'],
    ['2001:db8::ffff', '2001:db8::1:0'],
    ['2001:db8::ffff:ffff:ffff:ffff', undefined],
  ])('behind %s comes %s', (text, next) => {
    const following = followingIpv6(parseIpv6(text)!);
    expect(following && formatIpv6(following)).toBe(next);
  });

  const seed = seedOfThisRun();
  it.skipIf(!pythonIsInstalled())(
    `reads and writes as Python's ipaddress does, seed ${seed} (needs python3: ${PYTHON_INSTALL})`,
    () => {
      const random = randomFrom(seed);
      const texts = Array.from({ length: 3000 }, () => randomText(random));
      const expected = runPython(
        `import ipaddress, json, sys
def read(text):
    try:
        return str(ipaddress.IPv6Address(text)) if "%" not in text else None
    except ValueError:
        return None
json.dump([read(text) for text in json.load(sys.stdin)], sys.stdout)`,
        texts,
      ) as (string | null)[];
      expect(texts.map((text) => canonical(text) ?? null)).toEqual(expected);
      expect(expected.filter((one) => one !== null).length).toBeGreaterThan(1000);
      expect(expected.filter((one) => one === null).length).toBeGreaterThan(100);
    },
  );
});

/** Right addresses with many zero groups, some of them damaged. */
function randomText(random: Random): string {
  const below = (limit: number) => random.integer(0, limit - 1);
  const groups = Array.from({ length: 8 }, () => (below(2) === 0 ? 0 : below(65536)));
  const texts = groups.map((group) => {
    const text = group.toString(16);
    const padded = below(4) === 0 ? text.padStart(4, '0') : text;
    return below(4) === 0 ? padded.toUpperCase() : padded;
  });
  let text = texts.join(':');
  if (below(2) === 0) {
    const start = below(8);
    const length = 1 + below(8 - start);
    if (groups.slice(start, start + length).every((group) => group === 0)) {
      text = `${texts.slice(0, start).join(':')}::${texts.slice(start + length).join(':')}`;
    }
  }
  if (below(3) === 0) {
    const at = below(text.length + 1);
    text =
      text.slice(0, at) +
      (['', ':', '0', 'g', '.', '12345'][below(6)] ?? '') +
      text.slice(at + below(2));
  }
  return text;
}
