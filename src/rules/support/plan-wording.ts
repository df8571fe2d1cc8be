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
import type { Finding, Fix, Measured, RelatedPlace } from '../../model/finding.js';
import type { ModelEdit } from '../../model/edit.js';
import { part, placeKey, placeOf } from '../../model/origin.js';
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
