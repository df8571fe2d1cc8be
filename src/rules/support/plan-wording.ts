/** How rules about IP networks name things, and the fixes that they share. */
import { formatAddress, formatSubnet } from '../../analysis/network/ipv4.js';
import {
  freeLaptopAddress,
  networkPlan,
  nextFreeHost,
  rangeText,
} from '../../analysis/network/plan.js';
import type { NetworkPlan, PlannedAddress, PlannedPool } from '../../analysis/network/plan.js';
import { isNeverHost } from '../../analysis/network/special-ranges.js';
import type { Ipv4Address, Ipv4Subnet } from '../../analysis/network/ipv4.js';
import { parseAddress } from '../../analysis/network/ipv4.js';
import { followingIpv6, formatIpv6, ipv6Kind, parseIpv6 } from '../../analysis/network/ipv6.js';
import type { Ipv6Address, Ipv6Kind } from '../../analysis/network/ipv6.js';
import type { Finding, Fix, Measured, RelatedPlace } from '../../model/finding.js';
import type { ModelEdit } from '../../model/edit.js';
import { part, placeKey, placeOf } from '../../model/origin.js';
import type { Place } from '../../model/origin.js';
import type { Host, Network } from '../../model/records.js';
import type { Site } from '../../model/site.js';

/** `SG-1.lan has 10.40.9.20`. */
export function holds(planned: PlannedAddress): string {
  return `${capital(planned.name)} has ${formatAddress(planned.address)}`;
}

/** `controls (10.40.8.0/24)`. */
export function named(plan: NetworkPlan & { readonly subnet: Ipv4Subnet }): string {
  return `${plan.network.name} (${formatSubnet(plan.subnet)})`;
}

/** The network as a related place. */
export function networkPlace(plan: NetworkPlan & { readonly subnet: Ipv4Subnet }): RelatedPlace {
  return {
    at: placeOf(plan.network.name, 'prefix'),
    message: `${plan.network.name} is ${formatSubnet(plan.subnet)}.`,
  };
}

/** A pool as people write it. */
export function poolText(pool: PlannedPool): string {
  return rangeText(pool.range);
}

/** The address as a fact of a finding. */
export function addressFact(address: Ipv4Address): Measured {
  return { fact: 'address', value: formatAddress(address), unit: '' };
}

/** What to write instead, as a sentence. */
export function freeAdvice(site: Site, plan: NetworkPlan, planned: PlannedAddress): string {
  const free = freeFor(site, plan, planned);
  if (planned.holder === 'router') {
    return 'Ask whoever runs the network for its address and write that.';
  }
  return free === undefined
    ? `${plan.network.name} has no free address left: free one, or plan a wider prefix.`
    : `Give it a free address such as ${free}.`;
}

/** Gives a host the lowest free address, a laptop the highest; a router's address is not ours to choose. */
export function freeAddressFixes(site: Site, finding: Finding): readonly Fix[] {
  const network = site.networks.get(finding.at.declaration);
  const plan = network && networkPlan(site, network);
  const key = placeKey(finding.at);
  const planned = plan?.addresses.find((one) => placeKey(one.at) === key);
  if (plan === undefined || planned === undefined) {
    return [];
  }
  const address = freeFor(site, plan, planned);
  if (address === undefined) {
    return [];
  }
  const title = `Give ${planned.name} the free address ${address}`;
  const name = plan.network.name;
  const edit: ModelEdit =
    planned.holder === 'host'
      ? { kind: 'set-host-address', network: name, host: planned.index, address }
      : {
          kind: 'replace-value',
          at: placeOf(name, part('laptop', planned.index, 'address')),
          text: address,
        };
  return [{ title, kind: 'wiring', edits: [edit] }];
}

/** Whether a plan's prefix can be read, so that its addresses can be judged. */
export function hasSubnet(
  plan: NetworkPlan,
): plan is NetworkPlan & { readonly subnet: Ipv4Subnet } {
  return plan.subnet !== undefined;
}

export function capital(text: string): string {
  // Names as written stay as they are; only our own words for nameless lines begin small.
  return text.startsWith('the ') ? `T${text.slice(1)}` : text;
}

function freeFor(site: Site, plan: NetworkPlan, planned: PlannedAddress): string | undefined {
  const free =
    planned.holder === 'router'
      ? undefined
      : planned.holder === 'laptop'
        ? freeLaptopAddress(site, plan.network)
        : nextFreeHost(site, plan.network);
  const read = free === undefined ? undefined : parseAddress(free);
  return read?.ok === true && !isNeverHost(read.value) ? free : undefined;
}

/** The line of a host's IPv6 address. */
export function ipv6Place(network: Network, host: Host): Place {
  return placeOf(network.name, part('host', host.index, 'ipv6'));
}

/** Another IPv6 address for the host of a finding: the next one of the network that nobody has. */
export function freeIpv6Fixes(site: Site, { at, subject }: Finding): readonly Fix[] {
  const network = site.networks.get(at.declaration);
  const host = network?.hosts.find((one) => placeKey(ipv6Place(network, one)) === placeKey(at));
  const free = network && host && nextFreeIpv6(network.hosts, host);
  return free === undefined
    ? []
    : [
        {
          title: `Give ${subject} the IPv6 address ${free}: it must be set on the device`,
          kind: 'wiring',
          edits: [{ kind: 'replace-value', at, text: `"${free}"` }],
        },
      ];
}

/** The next address behind the host's own, or behind the last of the others where its own is none for a host. */
function nextFreeIpv6(hosts: readonly Host[], host: Host): string | undefined {
  const usable = (one: Host) => {
    const address = one.ipv6 === undefined ? undefined : parseIpv6(one.ipv6);
    return address !== undefined && reservedIpv6Use(address) === undefined ? address : undefined;
  };
  const taken = new Set(hosts.map((one) => one.ipv6));
  const others = hosts.flatMap((one) => (one === host ? [] : [usable(one)]));
  let next = usable(host) ?? others.findLast((address) => address !== undefined);
  while (next !== undefined && taken.has(formatIpv6(next))) {
    next = followingIpv6(next);
  }
  return next && formatIpv6(next);
}

/** RFC 4291 sections 2.5.2, 2.5.3 and 2.7. */
const RESERVED_IPV6: Readonly<Partial<Record<Ipv6Kind, string>>> = {
  unspecified: 'the unspecified address (RFC 4291, 2.5.2)',
  loopback: 'the loopback address (RFC 4291, 2.5.3)',
  multicast: 'in ff00::/8, set apart as multicast (RFC 4291, 2.7)',
};

/** What an IPv6 address is that no single device can have. */
export function reservedIpv6Use(address: Ipv6Address): string | undefined {
  return RESERVED_IPV6[ipv6Kind(address)];
}
