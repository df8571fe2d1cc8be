/** IPv4 arithmetic against Python's ipaddress, on new random prefixes and texts in every run. */
import { describe, expect, it } from 'vitest';
import {
  addressCount,
  contains,
  containsSubnet,
  formatAddress,
  formatSubnet,
  highestAddress,
  hostRange,
  maskOf,
  overlaps,
  parseAddress,
  parseInterface,
} from '../../src/analysis/network/ipv4.js';
import { specialRangeOf } from '../../src/analysis/network/special-ranges.js';
import { PYTHON_INSTALL, pythonIsInstalled, runPython } from '../support/python.js';
import { randomFrom, seedOfThisRun } from '../support/random.js';
import type { Random } from '../support/random.js';

const PREFIXES = 3000;
const TEXTS = 3000;

const PREFIX_SCRIPT = `
import ipaddress, json, sys
answers = []
for first, second, host in json.load(sys.stdin):
    net = ipaddress.ip_interface(first).network
    other = ipaddress.ip_interface(second).network
    address = ipaddress.ip_address(host)
    usual = net.prefixlen <= 30
    hosts = [net[1], net[-2]] if usual else [net[0], net[-1]]
    answers.append({
        'network': str(net), 'mask': str(net.netmask), 'highest': str(net.broadcast_address),
        'first': str(hosts[0]), 'last': str(hosts[1]), 'count': net.num_addresses,
        'overlaps': net.overlaps(other), 'contains': other.subnet_of(net), 'holds': address in net,
        'loopback': address.is_loopback, 'multicast': address.is_multicast,
        'link-local': address.is_link_local, 'reserved': address.is_reserved,
    })
json.dump(answers, sys.stdout)
`;

const TEXT_SCRIPT = `
import ipaddress, json, sys
def read(text):
    try:
        return int(ipaddress.IPv4Address(text))
    except ipaddress.AddressValueError:
        return None
json.dump([read(text) for text in json.load(sys.stdin)], sys.stdout)
`;

const installed = pythonIsInstalled();
const name = (text: string): string =>
  installed ? text : `${text} (skipped: python3 is missing, type: ${PYTHON_INSTALL})`;

describe('IPv4', () => {
  const seed = seedOfThisRun();
  console.log(`random prefixes for ipaddress: FERRULE_SEED=${seed}`);

  it.skipIf(!installed)(name(`agrees with ipaddress on ${PREFIXES} prefixes, seed ${seed}`), () => {
    const random = randomFrom(seed);
    const questions = Array.from({ length: PREFIXES }, () => randomQuestion(random));
    const answers = runPython(PREFIX_SCRIPT, questions) as readonly unknown[];
    expect(answers).toHaveLength(PREFIXES);
    questions.forEach((question, index) => {
      expect(answerTo(question), question.join(' ')).toEqual(answers[index]);
    });
  });

  it.skipIf(!installed)(
    name(`reads the same texts as ipaddress, ${TEXTS} of them, seed ${seed}`),
    () => {
      const random = randomFrom(seed + 1);
      const texts = Array.from({ length: TEXTS }, () => randomText(random));
      const answers = runPython(TEXT_SCRIPT, texts) as readonly (number | null)[];
      const read = texts.map((text) => {
        const result = parseAddress(text);
        return result.ok ? result.value : null;
      });
      expect(read.filter((value) => value === null).length).toBeGreaterThan(TEXTS / 10);
      expect(read.filter((value) => value !== null).length).toBeGreaterThan(TEXTS / 10);
      texts.forEach((text, index) => {
        expect(read[index], JSON.stringify(text)).toBe(answers[index]);
      });
    },
  );
});

type Question = readonly [first: string, second: string, host: string];

/** Two prefixes and a host, often close to each other, so that overlaps and borders occur. */
function randomQuestion(random: Random): Question {
  const base = random.pick([
    random.integer(0, 0xffffffff),
    random.pick([0, 0x0a000000, 0x7f000000, 0xa9fe0000, 0xc0a80000, 0xe0000000, 0xf0000000]),
    0xffffffff,
  ]);
  const near = (): number =>
    (base ^ (random.integer(0, 0xffffffff) >>> random.integer(0, 31))) >>> 0;
  return [
    `${formatAddress(near())}/${random.integer(0, 32)}`,
    `${formatAddress(near())}/${random.integer(0, 32)}`,
    formatAddress(near()),
  ];
}

function answerTo([first, second, host]: Question): unknown {
  const net = subnetIn(first);
  const other = subnetIn(second);
  const read = parseAddress(host);
  const address = read.ok ? read.value : Number.NaN;
  const hosts = hostRange(net);
  const use = specialRangeOf(address)?.use;
  return {
    network: formatSubnet(net),
    mask: formatAddress(maskOf(net.prefixLength)),
    highest: formatAddress(highestAddress(net)),
    first: formatAddress(hosts.first),
    last: formatAddress(hosts.last),
    count: addressCount(net),
    overlaps: overlaps(net, other),
    contains: containsSubnet(net, other),
    holds: contains(net, address),
    loopback: use === 'loopback',
    multicast: use === 'multicast',
    'link-local': use === 'link-local',
    reserved: use === 'reserved' || use === 'limited-broadcast',
  };
}

function subnetIn(text: string) {
  const read = parseInterface(text);
  if (!read.ok) {
    throw new Error(`${text}: ${read.problem}`);
  }
  return read.value.subnet;
}

/** An address, often spoilt in a place or two. */
function randomText(random: Random): string {
  const parts = Array.from({ length: random.pick([3, 4, 4, 4, 4, 4, 4, 5]) }, () =>
    String(random.integer(0, random.pick([9, 99, 255, 255, 255, 999]))),
  );
  const text = parts.join(random.next() < 0.02 ? ',' : '.');
  if (random.next() < 0.6) {
    return text;
  }
  const at = random.integer(0, text.length);
  const spoilt = random.pick(['0', ' ', '.', '+', '-', 'a', 'x', '\n', '٣', '/']);
  return text.slice(0, at) + spoilt + text.slice(at + random.integer(0, 1));
}
