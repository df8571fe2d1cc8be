/** Where devices meet to talk: buses, and IP networks that routers join. */
import type { Crossing, Equipment, LanPort, Port } from '../../model/equipment.js';
import type { Device, Network } from '../../model/records.js';
import { compareNames, memberKey, resolveLan, resolvePort } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import type { Bus, Landing } from '../../model/wiring.js';
import { memoised, memoisedShares } from '../memo.js';
import { joinedWith } from '../network/joined.js';

export type Medium =
  | { readonly kind: 'bus'; readonly key: string; readonly bus: Bus }
  | { readonly kind: 'networks'; readonly key: string; readonly networks: readonly Network[] };

/** A device on a medium, with the port or socket by which it is there. */
export interface Attachment {
  readonly device: Device;
  readonly equipment: Equipment;
  readonly member: string;
  readonly port?: Port;
  readonly lan?: LanPort;
  /** Where it is landed; missing on a network. */
  readonly bus?: Bus;
  readonly landing?: Landing;
  /** False for a port that is landed on a bus of another type: a mistake, not a connection. */
  readonly fits: boolean;
}

/** Which attachments count: those that fit, or mistaken ones too, so that a mistake is reported once. */
export type Strictness = 'fitting' | 'all';

/** The media that a port or socket is on, in the order of their names. */
export function mediaAt(
  site: Site,
  device: string,
  member: string,
  strictness: Strictness,
): readonly Medium[] {
  const key = memberKey(device, member);
  const media = new Map<string, Medium>();
  for (const { run } of site.busLandings.get(key) ?? []) {
    const port = resolvePort(site, device, member)?.port;
    if (port !== undefined && (strictness === 'all' || port.busType === run.busType)) {
      media.set(run.name, { kind: 'bus', key: `bus ${run.name}`, bus: run });
    }
  }
  for (const { network } of site.hosts.get(key) ?? []) {
    const joined = joinedWith(site, network);
    media.set(joined.key, {
      kind: 'networks',
      key: `networks ${joined.key}`,
      networks: joined.networks,
    });
  }
  return [...media.values()].sort((one, other) => compareNames(one.key, other.key));
}

/** Everything attached to a medium: in landing order on a bus, by network and host line on networks. */
export function attachmentsOn(
  site: Site,
  medium: Medium,
  strictness: Strictness,
): readonly Attachment[] {
  const all =
    medium.kind === 'bus'
      ? busAttachments(site, medium.bus)
      : medium.networks.flatMap((network) => networkAttachments(site, network));
  return strictness === 'all' ? all : all.filter((one) => one.fits);
}

/** A way on from a port: the crossing, and the port or socket on its other side. */
export interface Onward {
  readonly crossing: Crossing;
  readonly to: string;
}

/**
 * How a conversation that arrives at a port may go on through the device. Relays pass it one way,
 * from what is above to what is below; repeaters and junctions pass it both ways.
 */
export function onwardFrom(equipment: Equipment, member: string): readonly Onward[] {
  return equipment.crossings.flatMap((crossing) => {
    if (crossing.from === member) {
      return [{ crossing, to: crossing.to }];
    }
    return crossing.to === member && crossing.how !== 'relays'
      ? [{ crossing, to: crossing.from }]
      : [];
  });
}

/** The buses that a bus is connected with in any way, itself included: what happens there may matter here. */
export function busesAround(site: Site, bus: Bus): readonly Bus[] {
  const names = connectedBuses(site, bus.name);
  return names === undefined ? [bus] : names.flatMap((name) => site.buses.get(name) ?? []);
}

/** Whether a landing of a bus names something that is not known. */
export function hasUnknownLanding(site: Site, bus: Bus): boolean {
  return busAttachments(site, bus).length < bus.landings.length;
}

/** The bus types to which a device on this bus could pass a conversation on, by a port that is landed nowhere. */
export function typesLeftOpen(site: Site, bus: Bus): readonly string[] {
  return busAttachments(site, bus).flatMap(({ device, equipment, member }) =>
    equipment.crossings.flatMap(({ from, to }) => {
      const across = from === member ? to : to === member ? from : undefined;
      const port = equipment.ports.find((one) => one.name === across);
      return port === undefined || site.busLandings.has(memberKey(device.name, port.name))
        ? []
        : [port.busType];
    }),
  );
}

/** The names of the buses that each bus is connected with, its own among them. */
const connectedBuses = memoisedShares<string, readonly string[], string, readonly string[]>({
  parts: (site) => [...site.buses.keys()],
  share: (site, name) => {
    const bus = site.buses.get(name);
    return bus === undefined ? [] : neighboursOf(site, bus);
  },
  assemble: (neighbours) => {
    const groups = new Map<string, readonly string[]>();
    for (const start of neighbours.keys()) {
      if (groups.has(start)) {
        continue;
      }
      const members = new Set([start]);
      for (const name of members) {
        for (const next of neighbours.get(name) ?? []) {
          // A set may grow while it is walked, so this loop reaches everything that is connected.
          members.add(next);
        }
      }
      const group = [...members];
      group.forEach((name) => groups.set(name, group));
    }
    return groups;
  },
});

/** The names of the buses on the other side of the devices that join a bus with others. */
const neighboursOf = memoised((site, bus: Bus): readonly string[] =>
  busAttachments(site, bus).flatMap(({ device, equipment, member }) =>
    equipment.crossings.flatMap(({ from, to }) => {
      const across = from === member ? to : to === member ? from : undefined;
      const landings =
        across === undefined ? [] : (site.busLandings.get(memberKey(device.name, across)) ?? []);
      return landings.map(({ run }) => run.name);
    }),
  ),
);

const busAttachments = memoised((site, bus: Bus): readonly Attachment[] =>
  bus.landings.flatMap((landing) => {
    const resolved = resolvePort(site, landing.device, landing.member);
    if (resolved === undefined) {
      return [];
    }
    const fits = resolved.port.busType === bus.busType;
    return [{ ...resolved, member: landing.member, bus, landing, fits }];
  }),
);

const networkAttachments = memoised((site, network: Network): readonly Attachment[] =>
  network.hosts.flatMap((host) => {
    const resolved = resolveLan(site, host.device, host.lan);
    return resolved === undefined ? [] : [{ ...resolved, member: host.lan, fits: true }];
  }),
);
