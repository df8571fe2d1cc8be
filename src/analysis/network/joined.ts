/** Which IP networks of a site a packet can cross between: those that routers of one name join. */
import type { Network } from '../../model/records.js';
import { compareNames } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import { memoisedOnce } from '../memo.js';

/** Networks that are joined, ordered by name; a network without a shared router stands alone. */
export interface JoinedNetworks {
  /** The first network's name: the same for the same networks, whatever their order in the text. */
  readonly key: string;
  readonly networks: readonly Network[];
}

/** The networks that a network is joined with, itself included. */
export function joinedWith(site: Site, network: Network): JoinedNetworks {
  return groups(site).get(network.name) ?? { key: network.name, networks: [network] };
}

/** The names of the routers that stand in both networks. */
export function sharedRouters(one: Network, other: Network): readonly string[] {
  const names = new Set(one.routers.map((router) => router.name));
  return other.routers
    .flatMap((router) => router.name ?? [])
    .filter((name) => names.has(name))
    .sort(compareNames);
}

const groups = memoisedOnce((site): ReadonlyMap<string, JoinedNetworks> => {
  const networksOfRouter = new Map<string, Network[]>();
  for (const network of site.networks.values()) {
    for (const name of new Set(network.routers.flatMap((router) => router.name ?? []))) {
      networksOfRouter.set(name, [...(networksOfRouter.get(name) ?? []), network]);
    }
  }
  const found = new Map<string, JoinedNetworks>();
  for (const start of site.networks.values()) {
    if (found.has(start.name)) {
      continue;
    }
    const members = new Set([start]);
    for (const network of members) {
      for (const router of network.routers) {
        for (const next of networksOfRouter.get(router.name ?? '') ?? []) {
          // A set may grow while it is walked, so this loop reaches everything that is joined.
          members.add(next);
        }
      }
    }
    const networks = [...members].sort((one, other) => compareNames(one.name, other.name));
    for (const network of networks) {
      found.set(network.name, { key: networks[0]!.name, networks });
    }
  }
  return found;
});
