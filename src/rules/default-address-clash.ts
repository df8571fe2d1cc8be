import { parseInterface } from '../analysis/network/ipv4.js';
import { part, placeOf } from '../model/origin.js';
import type { Host, Network } from '../model/records.js';
import { memberKey, resolveLan } from '../model/site.js';
import type { Site } from '../model/site.js';
import { defineRule } from './rule.js';
import { listed } from './support/bus-wording.js';

/** Two devices that leave the factory with one address, on one network. */
export const defaultAddressClash = defineRule({
  name: 'default-address-clash',
  severity: 'warning',
  of: 'network',
  acceptable: true,
  *check(site, network) {
    for (const [address, hosts] of hostsByDefault(site, network)) {
      const second = hosts[1];
      if (second === undefined) {
        continue;
      }
      const names = hosts.map((host) => memberKey(host.device, host.lan));
      yield {
        subject: network.name,
        at: placeOf(network.name, part('host', second.index, 'target')),
        what: `${listed(names)} ${names.length === 2 ? 'both' : 'all'} come from the factory with ${address}.`,
        why: 'Powered together while unconfigured, they clash and the wrong one is set up.',
        remedy:
          'Connect and set them up one at a time; accept this with the reason once that is agreed.',
        related: hosts
          .filter((host) => host !== second)
          .map((host) => ({
            at: placeOf(network.name, part('host', host.index, 'target')),
            message: `${memberKey(host.device, host.lan)} has the same factory address.`,
          })),
        facts: [{ fact: 'factory-address', value: address, unit: '' }],
        waivable: { value: hosts.length, unit: '' },
      };
    }
  },
});

/** New devices only: what was there before the work has been set up already. */
function hostsByDefault(site: Site, network: Network): ReadonlyMap<string, readonly Host[]> {
  const hosts = new Map<string, Host[]>();
  for (const host of network.hosts) {
    const lan = resolveLan(site, host.device, host.lan);
    const address = lan?.lan.defaultAddress;
    const isSetUp = host.existing || lan?.device.existing === true;
    if (address === undefined || isSetUp || !parseInterface(address).ok) {
      continue;
    }
    const bare = address.slice(0, address.indexOf('/'));
    hosts.set(bare, [...(hosts.get(bare) ?? []), host]);
  }
  return hosts;
}
