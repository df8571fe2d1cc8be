/** Whether the addresses of a computer fit the networks of a site, and what to set where none does. */
import { laptopAddress } from '../analysis/network/free-hosts.js';
import {
  broadcastAddress,
  contains,
  formatAddress,
  formatSubnet,
  inRange,
  isHostAddress,
  maskOf,
  networkAddress,
  parseAddress,
  parseInterface,
} from '../analysis/network/ipv4.js';
import type { Ipv4Interface } from '../analysis/network/ipv4.js';
import { networkPlan, reservationsOf } from '../analysis/network/plan.js';
import type { NetworkPlan } from '../analysis/network/plan.js';
import { laptopCommands } from '../documents/addressing/laptop-commands.js';
import { ipTexts } from '../documents/texts/addressing.js';
import type { Network } from '../model/records.js';
import { compareNames } from '../model/site.js';
import type { OpenSite } from './open-site.js';

/** An IPv4 address of this computer: `Ethernet`, `10.40.8.50/24`. */
export interface OwnAddress {
  readonly name: string;
  /** With its prefix length. */
  readonly cidr: string;
}

export type LaptopVerdict =
  | { readonly kind: 'fits' }
  | { readonly kind: 'other-subnet' | 'network-address' | 'broadcast-address' | 'in-pool' }
  | { readonly kind: 'taken'; readonly by: string }
  | { readonly kind: 'mask-differs'; readonly mask: string };

export interface JudgedAddress extends OwnAddress {
  readonly verdict: LaptopVerdict;
}

export interface LaptopAdvice {
  readonly network: string;
  /** `10.40.8.0/24`; undefined where the prefix is missing or cannot be read. */
  readonly subnet: string | undefined;
  readonly own: readonly JudgedAddress[];
  /** Whether an address of this computer fits. */
  readonly fits: boolean;
  /** The address to set; undefined where one fits, or none is free. */
  readonly set: LaptopSetting | undefined;
}

export interface LaptopSetting {
  readonly address: string;
  readonly mask: string;
  /** True where the site states it for the laptop. */
  readonly stated: boolean;
  /** What to do, in the words of the IP plan. */
  readonly about: readonly string[];
  readonly commands: readonly { readonly label: string; readonly lines: readonly string[] }[];
  readonly back: string;
}

/** Judges the addresses of a computer for each network of a site, or for one, by name. */
export function laptopAdvice(
  { site }: OpenSite,
  own: readonly OwnAddress[],
  only?: string,
): readonly LaptopAdvice[] {
  return [...site.networks.values()]
    .filter((network) => only === undefined || network.name === only)
    .sort((one, other) => compareNames(one.name, other.name))
    .map((network) => adviceFor(networkPlan(site, network), network, own));
}

/** The names of a site's networks. */
export function networkNames({ site }: OpenSite): readonly string[] {
  return [...site.networks.keys()].sort(compareNames);
}

function adviceFor(plan: NetworkPlan, network: Network, own: readonly OwnAddress[]): LaptopAdvice {
  const judged = own.flatMap((one): readonly JudgedAddress[] => {
    const read = parseInterface(one.cidr);
    return read.ok ? [{ ...one, verdict: verdictOn(plan, read.value) }] : [];
  });
  const fits = judged.some(({ verdict }) => verdict.kind === 'fits');
  return {
    network: network.name,
    subnet: plan.subnet && formatSubnet(plan.subnet),
    own: judged,
    fits,
    set: fits ? undefined : settingFor(plan, network),
  };
}

function verdictOn(plan: NetworkPlan, { address, subnet }: Ipv4Interface): LaptopVerdict {
  const wanted = plan.subnet;
  if (wanted === undefined || !contains(wanted, address)) {
    return { kind: 'other-subnet' };
  }
  if (address === networkAddress(wanted)) {
    return { kind: 'network-address' };
  }
  if (address === broadcastAddress(wanted)) {
    return { kind: 'broadcast-address' };
  }
  // The laptop may have the address that the site states for it, and no other that is stated.
  const holder = plan.addresses.find((one) => one.address === address && one.holder !== 'laptop');
  if (holder !== undefined) {
    return { kind: 'taken', by: holder.name };
  }
  if (plan.pools.some(({ range }) => inRange(range, address))) {
    return { kind: 'in-pool' };
  }
  return subnet.prefixLength === wanted.prefixLength
    ? { kind: 'fits' }
    : { kind: 'mask-differs', mask: formatAddress(maskOf(wanted.prefixLength)) };
}

function settingFor(plan: NetworkPlan, network: Network): LaptopSetting | undefined {
  const { subnet } = plan;
  if (subnet === undefined) {
    return undefined;
  }
  const stated = network.laptops
    .flatMap(({ address }) => {
      const read = parseAddress(address);
      return read.ok ? [read.value] : [];
    })
    .find(
      (address) =>
        isHostAddress(subnet, address) && verdictOn(plan, { address, subnet }).kind === 'fits',
    );
  const address = stated ?? laptopAddress(subnet, reservationsOf(plan));
  if (address === undefined) {
    return undefined;
  }
  const commands = laptopCommands({ address, subnet });
  const text = formatAddress(address);
  const mask = formatAddress(maskOf(subnet.prefixLength));
  return {
    address: text,
    mask,
    stated: stated !== undefined,
    about: [
      ...(stated === undefined ? [ipTexts.laptopSuggested(text)] : []),
      ipTexts.laptopAbout(text, mask),
      ...(network.vlan === undefined ? [] : [ipTexts.laptopVlan(network.vlan)]),
    ],
    commands: (['windows', 'macos', 'linux'] as const).map((system) => ({
      label: ipTexts.commands[system],
      lines: commands[system],
    })),
    back: ipTexts.back,
  };
}
