/** The addresses that a network's lines plan, read once, with what is left free. */
import type { Fact, Term } from '../../model/finding.js';
import { part, placeOf } from '../../model/origin.js';
import type { Place } from '../../model/origin.js';
import type { Network } from '../../model/records.js';
import { memberKey } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import { memoised, memoisedOnce } from '../memo.js';
import { freeHostCount, laptopAddress, lowestFreeHost } from './free-hosts.js';
import type { Ipv4Reservations } from './free-hosts.js';
import {
  formatAddress,
  formatSubnet,
  highestAddress,
  hostCount,
  overlaps,
  parseAddress,
  parseInterface,
} from './ipv4.js';
import type { Ipv4Address, Ipv4Range, Ipv4Subnet } from './ipv4.js';
import { specialRangeOf } from './special-ranges.js';

/** What a line gives an address to. */
export type AddressHolder = 'router' | 'host' | 'laptop';

/** One address line of a network. Lines whose address cannot be read are left out: the text is at fault. */
export interface PlannedAddress {
  readonly holder: AddressHolder;
  /** Counts the lines of its kind from 0. */
  readonly index: number;
  /** `SG-1.lan`, `R-1`, `router` or `laptop`, as people call it. */
  readonly name: string;
  /** The subject of findings: `SG-1.lan`; for a router or laptop its network. */
  readonly subject: string;
  readonly at: Place;
  readonly address: Ipv4Address;
}

/** A pool of addresses that are handed out. */
export interface PlannedPool {
  readonly index: number;
  readonly at: Place;
  /** As written: `first` may be above `last`. */
  readonly range: Ipv4Range;
}

/** A network's lines as numbers. */
export interface NetworkPlan {
  readonly network: Network;
  /** Undefined where the prefix is missing or cannot be read. */
  readonly subnet: Ipv4Subnet | undefined;
  /** Routers, then hosts, then laptops, each in text order. */
  readonly addresses: readonly PlannedAddress[];
  readonly pools: readonly PlannedPool[];
}

/** Reads the lines of a network. */
export const networkPlan = memoised((_site, network: Network): NetworkPlan => {
  const prefix = network.prefix === undefined ? undefined : parseInterface(network.prefix);
  return {
    network,
    subnet: prefix?.ok === true ? prefix.value.subnet : undefined,
    addresses: plannedAddresses(network),
    pools: network.pools.flatMap((pool) => {
      const first = parseAddress(pool.from);
      const last = parseAddress(pool.to);
      return first.ok && last.ok
        ? [
            {
              index: pool.index,
              at: placeOf(network.name, part('pool', pool.index)),
              range: { first: first.value, last: last.value },
            },
          ]
        : [];
    }),
  };
});

/** Two networks whose prefixes share addresses. */
export interface Overlap {
  readonly other: Network;
  readonly otherSubnet: Ipv4Subnet;
}

/** The networks declared before this one that share addresses with it, in text order. */
export function overlapsBefore(site: Site, network: Network): readonly Overlap[] {
  const subnet = networkPlan(site, network).subnet;
  return subnet === undefined ? [] : (allOverlaps(site).get(network) ?? []);
}

/** The lowest free host address as text, for a device. */
export function nextFreeHost(site: Site, network: Network): string | undefined {
  const plan = networkPlan(site, network);
  const free = plan.subnet && lowestFreeHost(plan.subnet, reservationsOf(plan));
  return free === undefined ? undefined : formatAddress(free);
}

/** The free address for the commissioning computer as text: the highest one, the same each time. */
export function freeLaptopAddress(site: Site, network: Network): string | undefined {
  const plan = networkPlan(site, network);
  const free = plan.subnet && laptopAddress(plan.subnet, reservationsOf(plan));
  return free === undefined ? undefined : formatAddress(free);
}

/** Both at once: what a device and what the laptop would get. */
export function freeHostsOf(
  site: Site,
  network: Network,
): { readonly lowest: string | undefined; readonly laptop: string | undefined } {
  return { lowest: nextFreeHost(site, network), laptop: freeLaptopAddress(site, network) };
}

/** What takes addresses in a network. */
export function reservationsOf(plan: NetworkPlan): Ipv4Reservations {
  return {
    taken: plan.addresses.map((one) => one.address),
    pools: plan.pools.map((pool) => pool.range),
  };
}

/** `hosts` and `free` of a network. */
export function factsOfNetwork(site: Site, network: Network): readonly Fact[] {
  const plan = networkPlan(site, network);
  const subject = network.name;
  const hosts = network.hosts.length;
  const counts = countTerms(network);
  if (plan.subnet === undefined) {
    return [
      { subject, fact: 'hosts', value: hosts, unit: '', basis: 'computed', source, terms: counts },
      {
        subject,
        fact: 'free',
        value: null,
        unit: '',
        basis: 'unknown',
        needs: `network ${network.name} a.b.c.d/n`,
        source,
        terms: [],
      },
    ];
  }
  const { subnet } = plan;
  const limit = hostCount(subnet);
  return [
    {
      subject,
      fact: 'hosts',
      value: hosts,
      unit: '',
      limit,
      margin: (limit - hosts) / limit,
      basis: 'computed',
      source,
      terms: counts,
    },
    {
      subject,
      fact: 'free',
      value: freeHostCount(subnet, reservationsOf(plan)),
      unit: '',
      basis: 'computed',
      source,
      terms: [
        term('prefix', formatSubnet(subnet)),
        term('host addresses', limit),
        ...plan.pools.map((pool) => term('pool', rangeText(pool.range))),
        ...plan.addresses.map((one) => term(one.name, formatAddress(one.address))),
        ...specialTerms(subnet),
      ],
    },
  ];
}

/** A range as the text states it. */
export function rangeText(range: Ipv4Range): string {
  return `${formatAddress(range.first)} .. ${formatAddress(range.last)}`;
}

const source = 'RFC 950 and RFC 4632; RFC 3021 for /31';

function plannedAddresses(network: Network): readonly PlannedAddress[] {
  const planned = (
    holder: AddressHolder,
    index: number,
    name: string,
    subject: string,
    text: string | undefined,
  ): PlannedAddress[] => {
    const address = text === undefined ? undefined : parseAddress(text);
    // A host's line holds more than its address, so the finding points at the address alone.
    const at = placeOf(
      network.name,
      holder === 'host' ? part(holder, index, 'address') : part(holder, index),
    );
    return address?.ok === true
      ? [{ holder, index, name, subject, at, address: address.value }]
      : [];
  };
  return [
    ...network.routers.flatMap(({ index, name, address }) =>
      planned('router', index, name ?? 'the router', network.name, address),
    ),
    ...network.hosts.flatMap(({ index, device, lan, address }) =>
      planned('host', index, memberKey(device, lan), memberKey(device, lan), address),
    ),
    ...network.laptops.flatMap(({ index, address }) =>
      planned('laptop', index, 'the laptop', network.name, address),
    ),
  ];
}

/**
 * Sorted by base address, wider networks first, a network can only lie in one that is still open:
 * two prefixes share addresses only where one holds the other.
 */
const allOverlaps = memoisedOnce((site): ReadonlyMap<Network, readonly Overlap[]> => {
  const order = new Map([...site.networks.values()].map((network, index) => [network, index]));
  const sorted = [...site.networks.values()]
    .flatMap((network) => {
      const subnet = networkPlan(site, network).subnet;
      return subnet === undefined ? [] : [{ network, subnet }];
    })
    .sort(
      (one, other) =>
        one.subnet.baseAddress - other.subnet.baseAddress ||
        one.subnet.prefixLength - other.subnet.prefixLength ||
        order.get(one.network)! - order.get(other.network)!,
    );
  const found = new Map<Network, Overlap[]>();
  let open: typeof sorted = [];
  for (const entry of sorted) {
    open = open.filter(({ subnet }) => highestAddress(subnet) >= entry.subnet.baseAddress);
    for (const outer of open) {
      if (overlaps(outer.subnet, entry.subnet)) {
        const [earlier, later] =
          order.get(outer.network)! < order.get(entry.network)! ? [outer, entry] : [entry, outer];
        const list = found.get(later.network) ?? [];
        list.push({ other: earlier.network, otherSubnet: earlier.subnet });
        found.set(later.network, list);
      }
    }
    open.push(entry);
  }
  for (const list of found.values()) {
    list.sort((one, other) => order.get(one.other)! - order.get(other.other)!);
  }
  return found;
});

function countTerms(network: Network): readonly Term[] {
  const fixed = network.hosts.filter((host) => !host.dhcp).length;
  return [term('static hosts', fixed), term('hosts by DHCP', network.hosts.length - fixed)];
}

/** A note where the whole network stands in a range with a meaning of its own. */
function specialTerms(subnet: Ipv4Subnet): readonly Term[] {
  const special = specialRangeOf(subnet.baseAddress);
  return special === undefined
    ? [term('range', 'public: it may be reached from outside the building')]
    : [term('range', `${special.use} (${special.source})`)];
}

function term(name: string, value: number | string): Term {
  return { name, value, unit: '', basis: 'stated' };
}
