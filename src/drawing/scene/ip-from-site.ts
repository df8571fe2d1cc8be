/** The site model → IP scene. */
import { freeHostCount, freeHostRanges } from '../../analysis/network/free-hosts.js';
import {
  formatAddress,
  highestAddress,
  hostCount,
  hostRange,
  isHostAddress,
} from '../../analysis/network/ipv4.js';
import { networkPlan, reservationsOf, type PlannedAddress } from '../../analysis/network/plan.js';
import type { Finding } from '../../model/finding.js';
import { part, placeOf } from '../../model/origin.js';
import type { Network } from '../../model/records.js';
import { compareNames, equipmentOf, memberKey, type Site } from '../../model/site.js';
import { TEXTS } from '../texts.js';
import { sceneFindings, sheetOf } from './from-site.js';
import type { IpHolder, IpNetwork, IpScene } from './ip-scene.js';
import { markOf, placeOfMark } from './places.js';
import type { SceneFinding } from './scene.js';

export function ipSceneOf(site: Site, findings: readonly Finding[]): IpScene {
  const networks = [...site.networks.values()]
    .sort((one, other) => compareNames(one.name, other.name))
    .map((network) => ipNetwork(site, network));
  return {
    view: 'ip',
    sheet: sheetOf(site, [TEXTS.addressMap, TEXTS.counts.networks(networks.length)].join(' · ')),
    networks,
    findings: sceneFindings(site, [], findings).flatMap((finding) => placed(networks, finding)),
  };
}

function ipNetwork(site: Site, network: Network): IpNetwork {
  const plan = networkPlan(site, network);
  const { subnet } = plan;
  const reserved = reservationsOf(plan);
  const free = subnet === undefined ? 0 : freeHostCount(subnet, reserved);
  const used =
    subnet === undefined
      ? 0
      : new Set(
          plan.addresses.map(({ address }) => address).filter((one) => isHostAddress(subnet, one)),
        ).size;
  const leased = network.hosts
    .filter(({ dhcp }) => dhcp)
    .map(({ index, device, lan }): IpHolder => {
      const name = memberKey(device, lan);
      return {
        id: `${network.name} dhcp ${index}`,
        kind: 'dhcp',
        name,
        address: undefined,
        text: TEXTS.ip.dhcp,
        about: deviceTitle(site, device),
        mark: markOf(name, placeOf(network.name, part('host', index))),
      };
    });
  return {
    id: `network ${network.name}`,
    name: network.name,
    title: network.title ?? network.name,
    prefix: network.prefix ?? '',
    vlan: network.vlan,
    subnet: subnet && {
      first: subnet.baseAddress,
      last: highestAddress(subnet),
      hosts: hostRange(subnet),
    },
    holders: [
      ...plan.addresses
        .map((address) => holderOf(site, network, address))
        .sort((one, other) => one.address! - other.address! || compareNames(one.name, other.name)),
      ...leased.sort((one, other) => compareNames(one.name, other.name)),
    ],
    pools: plan.pools
      .map(({ range }) => range)
      .filter(({ first, last }) => first <= last)
      .sort((one, other) => one.first - other.first),
    free: subnet === undefined ? [] : freeHostRanges(subnet, reserved),
    counts: {
      used,
      pool: subnet === undefined ? 0 : hostCount(subnet) - used - free,
      free,
    },
    mark: markOf(network.name, placeOf(network.name)),
  };
}

function holderOf(site: Site, network: Network, planned: PlannedAddress): IpHolder {
  const { holder, index, name, address } = planned;
  const device = holder === 'host' ? network.hosts[index]?.device : undefined;
  return {
    id: `${network.name} ${holder} ${index}`,
    kind: holder,
    name,
    address,
    text: formatAddress(address),
    about: holder === 'host' ? deviceTitle(site, device ?? '') : TEXTS.ip[holder],
    mark: markOf(name, placeOf(network.name, part(holder, index))),
  };
}

function deviceTitle(site: Site, name: string): string {
  const device = site.devices.get(name);
  return device === undefined ? '' : (device.title ?? equipmentOf(site, device)?.title ?? '');
}

/** By the line of the network at which a finding stands; others are not shown here. */
function placed(networks: readonly IpNetwork[], finding: SceneFinding): SceneFinding[] {
  const { declaration, part: line } = placeOfMark(finding.mark.place);
  const network = networks.find(({ name }) => name === declaration);
  if (network === undefined) return [];
  const holder = network.holders.find(({ mark }) => {
    const own = placeOfMark(mark.place).part;
    return line === own || line.startsWith(`${own}/`);
  });
  return [{ ...finding, at: { kind: 'node', id: holder?.id ?? network.id } }];
}
