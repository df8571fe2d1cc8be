/**
 * Networks of a site against Python's `ipaddress`: which addresses are wrong and why, which prefixes
 * overlap, how many addresses are free, which come next.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { factOf } from '../../src/analysis/facts.js';
import { joinedWith } from '../../src/analysis/network/joined.js';
import { certificateCovers, readPage } from '../../src/analysis/network/page.js';
import { freeHostsOf, networkPlan, reservationsOf } from '../../src/analysis/network/plan.js';
import { isHostAddress, parseAddress, formatAddress } from '../../src/analysis/network/ipv4.js';
import { siteOf } from '../support/site.js';
import { PYTHON_INSTALL, pythonIsInstalled, runPython } from '../support/python.js';
import { randomFrom, seedOfThisRun } from '../support/random.js';
import type { Random } from '../support/random.js';
import vectors from '../reference/vectors.json' with { type: 'json' };

interface PlannedNetwork {
  readonly prefix: string;
  readonly router: string | null;
  readonly pools: readonly (readonly [string, string])[];
  readonly hosts: readonly string[];
  readonly laptop: string | null;
}

interface Expected {
  /** `rule holder`, such as `host-in-pool host 2`. */
  readonly findings: readonly string[];
  readonly free: number;
  readonly lowest: string | null;
  readonly highest: string | null;
  /** Numbers of the earlier networks that it shares addresses with. */
  readonly overlaps: readonly number[];
}

const reference = `
import ipaddress, json, sys
never = [ipaddress.ip_network(n) for n in ('0.0.0.0/8', '224.0.0.0/4', '240.0.0.0/4')]
plans = json.load(sys.stdin)
nets = [ipaddress.ip_network(p['prefix']) for p in plans]
out = []
for index, plan in enumerate(plans):
    net = nets[index]
    lines = []
    if plan['router'] is not None: lines.append(('router 0', plan['router']))
    lines += [('host %d' % i, a) for i, a in enumerate(plan['hosts'])]
    if plan['laptop'] is not None: lines.append(('laptop 0', plan['laptop']))
    pools = [(ipaddress.ip_address(a), ipaddress.ip_address(b)) for a, b in plan['pools']]
    seen, findings, taken = {}, [], set()
    for name, text in lines:
        address = ipaddress.ip_address(text)
        taken.add(address)
        kind = name.split()[0]
        ends = (net.network_address, net.broadcast_address) if net.prefixlen <= 30 else ()
        if any(address in n for n in never):
            findings.append('host-on-reserved-address ' + name)
        elif address not in net:
            findings.append(('router-outside-subnet ' if kind == 'router' else 'host-outside-subnet ') + name)
        elif address in ends:
            findings.append('host-on-reserved-address ' + name)
        if any(a <= address <= b for a, b in pools):
            findings.append('host-in-pool ' + name)
        if address in seen:
            findings.append(('laptop-address-taken ' if kind == 'laptop' else 'host-duplicate ') + name)
        else:
            seen[address] = name
    if plan['hosts'] and plan['laptop'] is None: findings.append('laptop-missing')
    hosts = list(net.hosts()) if net.prefixlen >= 20 else None
    for i, (a, b) in enumerate(pools):
        usable = [h for h in (a, b) if h in net and (net.prefixlen > 30 or h not in (net.network_address, net.broadcast_address))]
        if len(usable) < 2 or a > b: findings.append('pool-outside-subnet pool %d' % i)
    free = [h for h in hosts if h not in taken and not any(a <= h <= b for a, b in pools)]
    out.append({
        'findings': sorted(findings),
        'free': len(free),
        'lowest': str(free[0]) if free else None,
        'highest': str(free[-1]) if free else None,
        'overlaps': [o for o in range(index) if nets[o].overlaps(net)],
    })
json.dump(out, sys.stdout)
`;

describe('networks of a site', () => {
  const seed = seedOfThisRun();
  const title = `agree with Python's ipaddress (FERRULE_SEED=${seed})`;
  const test = pythonIsInstalled() ? it : it.skip;
  test(pythonIsInstalled() ? title : `${title}; needs ${PYTHON_INSTALL}`, () => {
    const random = randomFrom(seed);
    const plans = Array.from({ length: 400 }, () => plannedNetwork(random));
    const expected = runPython(reference, plans) as readonly Expected[];
    const { site, findings } = siteOf(textOf(plans));
    const rules = new Set([
      'host-on-reserved-address',
      'router-outside-subnet',
      'host-outside-subnet',
      'host-in-pool',
      'laptop-address-taken',
      'host-duplicate',
      'laptop-missing',
      'pool-outside-subnet',
    ]);
    const got = plans.map((_, index): Expected => {
      const name = `n${index}`;
      const network = site.networks.get(name)!;
      const own = findings
        .map(({ finding }) => finding)
        .filter((finding) => finding.at.declaration === name);
      const { lowest, laptop } = freeHostsOf(site, network);
      return {
        findings: own
          .filter(({ rule }) => rules.has(rule))
          .map(({ rule, at }) => `${rule} ${holderOf(at.part)}`.trim())
          .sort(),
        free: factOf(site, name, 'free')?.value as number,
        lowest: lowest ?? null,
        highest: laptop ?? null,
        overlaps: own
          .filter(({ rule }) => rule === 'subnet-overlap')
          .flatMap(({ related }) => related.map(({ at }) => Number(at.declaration.slice(1)))),
      };
    });
    expect(got).toEqual(expected);
    // The random plans must meet every rule, or the comparison would say little.
    const met = new Set(expected.flatMap((one) => one.findings.map((text) => text.split(' ')[0])));
    expect([...rules].filter((rule) => !met.has(rule))).toEqual([]);
    expect(expected.some((one) => one.overlaps.length > 1)).toBe(true);
    expect(expected.some((one) => one.free === 0)).toBe(true);
  });

  it.each(vectors.filter((vector) => vector.kind === 'laptop'))(
    'choose the laptop as in $id',
    ({ inputs, expect: wanted }) => {
      const { net, taken, pools, gateway } = inputs as unknown as {
        net: string;
        taken: readonly string[];
        pools: readonly (readonly [string, string])[];
        gateway: string | null;
      };
      const plan = { prefix: net, router: gateway, pools, hosts: taken, laptop: null };
      const { site } = siteOf(textOf([plan]));
      expect(freeHostsOf(site, site.networks.get('n0')!).laptop ?? null).toBe(
        (wanted as unknown as { address: string | null }).address,
      );
    },
  );

  it('offer addresses that are free, the lowest and the highest', () => {
    fc.assert(
      fc.property(fc.integer(), (seedOfCase) => {
        const { site } = siteOf(textOf([plannedNetwork(randomFrom(seedOfCase))]));
        const network = site.networks.get('n0')!;
        const plan = networkPlan(site, network);
        const { taken, pools } = reservationsOf(plan);
        const isFree = (address: number): boolean =>
          isHostAddress(plan.subnet!, address) &&
          !taken.includes(address) &&
          pools.every((pool) => address < pool.first || address > pool.last);
        const { lowest, laptop } = freeHostsOf(site, network);
        for (const text of [lowest, laptop]) {
          const read = text === undefined ? undefined : parseAddress(text);
          expect(read === undefined || (read.ok && isFree(read.value))).toBe(true);
        }
        expect(lowest === undefined).toBe(laptop === undefined);
      }),
      { numRuns: 1_000 },
    );
  });
});

describe('networks with one router', () => {
  it('are joined, through others too', () => {
    const { site } = siteOf(`
network a 10.1.0.0/24 { router R 10.1.0.1 }
network b 10.2.0.0/24 { router R 10.2.0.1  router Q 10.2.0.2 }
network c 10.3.0.0/24 { router Q 10.3.0.1 }
network d 10.4.0.0/24 { router 10.4.0.1 }
network e 10.5.0.0/24 { router 10.5.0.1 }
`);
    const names = (name: string) =>
      joinedWith(site, site.networks.get(name)!).networks.map((network) => network.name);
    expect(names('c')).toEqual(['a', 'b', 'c']);
    expect(names('d')).toEqual(['d']);
  });
});

describe('a web page', () => {
  it.each([
    ['https://10.40.8.20/', 'https', '10.40.8.20'],
    ['HTTP://Gateway.Example:8080/login?x=1', 'http', 'gateway.example'],
    ['https://user@host.example#top', 'https', 'host.example'],
    ['https://[2001:db8::20]:443/', 'https', '2001:db8::20'],
  ])('is read: %s', (text, scheme, host) => {
    expect(readPage(text)).toEqual({ scheme, host });
  });
  it.each(['10.40.8.20', '//10.40.8.20/', 'https://', 'see the label'])('is none: %s', (text) => {
    expect(readPage(text)).toBeUndefined();
  });
  it.each([
    // RFC 9525, section 6.3: a wildcard stands for the whole leftmost label and for one label only.
    ['*.mill.example', 'gw.mill.example', true],
    ['*.mill.example', 'a.gw.mill.example', false],
    ['*.mill.example', 'mill.example', false],
    ['GW.mill.example', 'gw.Mill.example', true],
    // RFC 9110, section 4.3.4: an address is compared as it is.
    ['10.40.8.20', '10.40.8.20', true],
    ['10.40.8.20', '10.40.8.2', false],
    ['*.40.8.20', '10.40.8.20', false],
  ])('a certificate for %s at %s: %s', (name, host, covers) => {
    expect(certificateCovers(name, host)).toBe(covers);
  });
});

function plannedNetwork(random: Random): PlannedNetwork {
  const length = random.pick([20, 22, 23, 24, 25, 26, 28, 29, 30, 30, 31, 31, 32]);
  const size = 2 ** (32 - length);
  const start = random.pick([0x0a000000, 0xc0a80000, 0xac100000, 0x0a002000, 0xe0000000]);
  const base = start + size * random.integer(0, Math.min(60, 2 ** (length - 16)));
  const near = (): string =>
    formatAddress(
      random.next() < 0.06
        ? random.pick([7, 0xf0000001, 0xe0000105, 0x0a636363])
        : base +
            random.integer(
              random.next() < 0.1 ? -2 : 0,
              Math.min(size - 1, 40) + (random.next() < 0.1 ? 3 : 0),
            ),
    );
  const maybe = <Value>(share: number, value: () => Value): Value | null =>
    random.next() < share ? value() : null;
  return {
    prefix: `${formatAddress(base)}/${length}`,
    router: maybe(0.7, near),
    pools: maybe(0.4, () => [[near(), near()] as const]) ?? [],
    hosts: Array.from({ length: random.integer(0, 6) }, near),
    laptop: maybe(0.7, near),
  };
}

function textOf(plans: readonly PlannedNetwork[]): string {
  const most = Math.max(...plans.map((plan) => plan.hosts.length));
  const devices = Array.from({ length: most }, (_, index) => `device G-${index} : Gateway`);
  const networks = plans.map(
    ({ prefix, router, pools, hosts, laptop }, index) => `network n${index} ${prefix} {
${router === null ? '' : `  router ${router}`}
${pools.map(([from, to]) => `  pool ${from} .. ${to}`).join('\n')}
${hosts.map((address, host) => `  host G-${host}.lan ${address}`).join('\n')}
${laptop === null ? '' : `  laptop ${laptop}`}
}`,
  );
  return ['equipment Gateway { role gateway  lan lan }', ...devices, ...networks].join('\n');
}

/** `host 2` for the place `host/2/address`; empty for the network's name. */
function holderOf(place: string): string {
  const [holder, index] = place.split('/');
  return index === undefined ? '' : `${holder} ${index}`;
}
