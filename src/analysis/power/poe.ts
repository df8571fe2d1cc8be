/** Devices that live on the power of a network socket: classes, the switch's budget, the voltage at the far end. */
import { part, placeOf } from '../../model/origin.js';
import type { Place } from '../../model/origin.js';
import type { Device, Host, Network } from '../../model/records.js';
import { equipmentOf, memberKey, resolveLan, roomOf } from '../../model/site.js';
import type { ResolvedLan, Site } from '../../model/site.js';
import { conductorResistance } from '../electrical/conductors.js';
import { poeClassOf, poeLoopOhm, suffices } from '../electrical/poe-classes.js';
import type { PoeClass } from '../electrical/poe-classes.js';
import { solveNetwork } from '../electrical/solve-network.js';
import { memoised, memoisedOnce, memoisedTable } from '../memo.js';
import { estimatedLength, estimateSettings } from '../run.js';
import type { LengthBasis } from '../run.js';
import type { Gap } from './bus-load.js';
import { isAmount } from './demand.js';
import { judgedTemperature } from './temperature.js';
import { powerTexts } from './texts.js';

/** A powered device on the socket that its host line names. */
export interface PoeLink {
  readonly network: Network;
  readonly host: Host;
  /** `GW-1.eth`. */
  readonly subject: string;
  /** The name of the powered device in its host line. */
  readonly at: Place;
  readonly device: Device;
  readonly taken: PoeClass;
  /** As written, where the line names a socket. */
  readonly from: string | undefined;
  /** The socket, where its name is known. */
  readonly giver: ResolvedLan | undefined;
  /** Undefined where the socket gives none. */
  readonly given: PoeClass | undefined;
}

/** The powered links of a device's own sockets, in the order of the text. */
export const poeLinksInto: (site: Site, device: Device) => readonly PoeLink[] = memoised(
  (site, device) =>
    (equipmentOf(site, device)?.lans ?? [])
      .filter((lan) => lan.takesPoeClass !== undefined)
      .flatMap((lan) => site.hosts.get(memberKey(device.name, lan.name)) ?? [])
      .flatMap(({ network, host }) => linkOf(site, network, host)),
);

/** What a switch powers, in the order of the text. */
export function poeLinksFrom(site: Site, device: Device): readonly PoeLink[] {
  return (hostsBySwitch(site, device.name) ?? []).flatMap(({ network, host }) =>
    linkOf(site, network, host).filter(({ given }) => given !== undefined),
  );
}

/** What one powered device adds to the budget of its switch. */
export interface PoePart {
  readonly link: PoeLink;
  readonly powerW: number;
}

/** What a switch has to hold ready for the devices on its sockets. */
export interface PoeBudget {
  readonly budgetW: number | undefined;
  readonly parts: readonly PoePart[];
  readonly loadW: number;
}

/** The budget of a device; undefined where none of its sockets gives power. */
export const poeBudgetOf: (site: Site, device: Device) => PoeBudget | undefined = memoised(
  (site, device) => {
    const equipment = equipmentOf(site, device);
    if (equipment?.lans.every((lan) => lan.givesPoeClass === undefined) ?? true) {
      return undefined;
    }
    const parts = poeLinksFrom(site, device).map((link): PoePart => ({
      link,
      // A socket never holds more ready than its own class.
      powerW: Math.min(link.taken.sourceW, link.given!.sourceW),
    }));
    return {
      budgetW: isAmount(equipment?.poeBudgetW) ? equipment.poeBudgetW : undefined,
      parts,
      loadW: parts.reduce((sum, { powerW }) => sum + powerW, 0),
    };
  },
);

/** What the cable leaves of the socket's voltage at the powered device. */
export type PoeVoltage =
  | {
      readonly kind: 'operating';
      readonly voltageV: number;
      readonly currentA: number;
      readonly channel: PoeChannel;
    }
  | { readonly kind: 'collapsed'; readonly channel: PoeChannel }
  | { readonly kind: 'unknown'; readonly gap: Gap };

/** The cable from socket to device. */
export interface PoeChannel {
  readonly lengthM: number;
  readonly basis: LengthBasis;
  readonly ohmPerKm: number;
  readonly loopOhm: number;
}

/**
 * The voltage at a powered device that takes the power of its class, with the socket at its least
 * voltage; undefined where the socket does not suffice, which is another finding's business.
 */
export const poeVoltageOf: (site: Site, link: PoeLink) => PoeVoltage | undefined = memoised(
  (site, link) => {
    const { given, taken } = link;
    if (given === undefined || !suffices(given, taken)) {
      return undefined;
    }
    const channel = channelOf(site, link);
    return 'needs' in channel
      ? { kind: 'unknown', gap: channel }
      : voltageBehind(channel, given.sourceMinimumV, taken.deviceW);
  },
);

/** The longest cable of the same kind with which the device still has its least voltage, in m. */
export function longestPoeRunM(link: PoeLink, channel: PoeChannel): number | undefined {
  const { given, taken } = link;
  if (given === undefined || !(channel.ohmPerKm > 0)) {
    return undefined;
  }
  const { deviceMinimumV, deviceW, pairs } = taken;
  const mostOhm = ((given.sourceMinimumV - deviceMinimumV) * deviceMinimumV) / deviceW;
  return mostOhm / poeLoopOhm(pairs, channel.ohmPerKm, 1);
}

function voltageBehind(channel: PoeChannel, sourceV: number, powerW: number): PoeVoltage {
  const solution = solveNetwork({
    nodes: [
      { id: 'socket', loads: [] },
      { id: 'device', loads: [{ kind: 'constant-power', powerW }] },
    ],
    branches: [{ id: 'cable', from: 'socket', to: 'device', loopResistanceOhm: channel.loopOhm }],
    sources: [{ id: 'source', node: 'socket', voltageV: sourceV, resistanceOhm: 0 }],
  });
  return solution.kind === 'operating-point'
    ? {
        kind: 'operating',
        voltageV: solution.nodes[1]!.voltageV,
        currentA: solution.branches[0]!.currentA,
        channel,
      }
    : { kind: 'collapsed', channel };
}

function channelOf(
  site: Site,
  { host, subject, device, giver, taken, from }: PoeLink,
): PoeChannel | Gap {
  const needs = powerTexts.needsHostCable(subject, from ?? '');
  const length = isAmount(host.lengthM)
    ? { lengthM: host.lengthM, basis: 'stated' as const }
    : estimate(site, giver?.device, device);
  if (length === undefined) {
    return { subject, needs, reason: powerTexts.lengthUnknown(subject) };
  }
  if (host.cable === undefined) {
    return { subject, needs, reason: powerTexts.cableUnstated(subject) };
  }
  const cable = site.cables.get(host.cable);
  if (cable === undefined) {
    return {
      subject,
      needs: powerTexts.needsName(host.cable),
      reason: powerTexts.nameUnknown(host.cable),
    };
  }
  const coreCount = Math.max(2 * taken.pairs, cable.cores?.count ?? 0);
  if (cable.cores === undefined || cable.cores.count < coreCount) {
    return {
      subject,
      needs: powerTexts.needsDataCores(cable, coreCount),
      reason: powerTexts.coresUnstated(cable.name),
    };
  }
  const { size, conductorClass } = cable.cores;
  const perKm = conductorResistance(
    conductorClass === undefined ? { size } : { size, conductorClass },
    judgedTemperature(site).temperatureC,
  );
  return perKm.known
    ? {
        ...length,
        ohmPerKm: perKm.value,
        loopOhm: poeLoopOhm(taken.pairs, perKm.value, length.lengthM),
      }
    : { subject, needs: powerTexts.needsDataCores(cable, coreCount), reason: perKm.reason };
}

function estimate(
  site: Site,
  giver: Device | undefined,
  device: Device,
): { readonly lengthM: number; readonly basis: 'estimated' } | undefined {
  const found = estimatedLength(
    estimateSettings(site),
    giver && roomOf(site, giver),
    roomOf(site, device),
  );
  return found && { lengthM: found.lengthM, basis: 'estimated' };
}

function linkOf(site: Site, network: Network, host: Host): readonly PoeLink[] {
  const taker = resolveLan(site, host.device, host.lan);
  const taken = poeClassOf(taker?.lan.takesPoeClass ?? Number.NaN);
  if (taker === undefined || taken === undefined) {
    return [];
  }
  const giver = host.from && resolveLan(site, host.from.owner, host.from.member);
  return [
    {
      network,
      host,
      subject: memberKey(host.device, host.lan),
      at: placeOf(network.name, part('host', host.index, 'target')),
      device: taker.device,
      taken,
      from: host.from && memberKey(host.from.owner, host.from.member),
      giver,
      given: poeClassOf(giver?.lan.givesPoeClass ?? Number.NaN),
    },
  ];
}

/** Every socket that a host line names, at either end. */
export const usedSockets: (site: Site) => ReadonlySet<string> = memoisedOnce(
  (site) =>
    new Set(
      [...site.networks.values()].flatMap((network) =>
        network.hosts.flatMap(({ device, lan, from }) => [
          memberKey(device, lan),
          ...(from === undefined ? [] : [memberKey(from.owner, from.member)]),
        ]),
      ),
    ),
);

interface NetworkHostLine {
  readonly network: Network;
  readonly host: Host;
}

/** Host lines by the device that they are plugged into, in the order of the text. */
const hostsBySwitch = memoisedTable((site): ReadonlyMap<string, readonly NetworkHostLine[]> => {
  const found = new Map<string, NetworkHostLine[]>();
  for (const network of site.networks.values()) {
    for (const host of network.hosts) {
      if (host.from !== undefined) {
        const list = found.get(host.from.owner);
        if (list === undefined) {
          found.set(host.from.owner, [{ network, host }]);
        } else {
          list.push({ network, host });
        }
      }
    }
  }
  return found;
});
