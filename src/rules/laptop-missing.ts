import { freeLaptopAddress, networkPlan } from '../analysis/network/plan.js';
import { placeOf } from '../model/origin.js';
import { defineRule } from './rule.js';

/** A network with a fixed host and no address for the commissioning computer. */
export const laptopMissing = defineRule({
  name: 'laptop-missing',
  severity: 'error',
  of: 'network',
  acceptable: true,
  *check(site, network) {
    const fixed = network.hosts.filter((host) => host.address !== undefined);
    if (fixed.length === 0 || network.laptops.length > 0) {
      return;
    }
    const free = freeLaptopAddress(site, network);
    const first = fixed[0]!;
    yield {
      subject: network.name,
      at: placeOf(network.name, 'name'),
      what: `${network.name} has ${fixed.length === 1 ? 'a host' : `${fixed.length} hosts`} with a fixed address and no laptop line.`,
      why: 'Without an address of its own the commissioning computer reaches none of them, or takes an address that is in use.',
      remedy:
        networkPlan(site, network).subnet === undefined
          ? 'Add "laptop" with a free address.'
          : free === undefined
            ? 'No address is free: free one for the laptop, or plan a wider prefix.'
            : `Add "laptop ${free}", the highest free address.`,
      related: [
        {
          at: placeOf(network.name, `host/${first.index}`),
          message: `${first.device}.${first.lan} has a fixed address.`,
        },
      ],
    };
  },
  fixes(site, finding) {
    const network = site.networks.get(finding.at.declaration);
    const free = network && freeLaptopAddress(site, network);
    return network === undefined || free === undefined
      ? []
      : [
          {
            title: `Plan ${free} for the laptop`,
            kind: 'wiring',
            edits: [{ kind: 'set-laptop', network: network.name, address: free }],
          },
        ];
  },
});
