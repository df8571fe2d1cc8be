/** Every single fault that a site can have, in a fixed order. */
import { compareNames, equipmentOf, memberKey, resolvePort } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import type { Bus, Feed } from '../../model/wiring.js';
import { EXTRA_LOW_LIMIT_V } from '../cabling/cables.js';
import { segmentOf, talkDomainOf } from '../bus/segment.js';
import { terminationOf } from '../bus/termination.js';
import { addressedPortsOf } from '../graph/addresses.js';
import { segmentsOf } from '../run.js';
import { poweredSegmentOf } from '../power/bus-load.js';
import { landingsBehind } from './cut-run.js';
import type { Fault, LandingAt, PortAt } from './fault.js';

export function possibleFaults(site: Site): readonly Fault[] {
  const buses = byName(site.buses.values());
  const feeds = byName(site.feeds.values());
  return [
    ...[...buses, ...feeds].flatMap((run) => cutsOf(site, run)),
    ...byName(site.devices.values()).flatMap(({ name, inletLines }) =>
      inletLines.map(({ index }): Fault => ({
        kind: 'segment-cut',
        at: { of: 'line', device: name, index },
      })),
    ),
    ...byName(site.boards.values()).flatMap((board) =>
      board.ways
        .map((way) => memberKey(board.name, way.name))
        .filter((way) => isUsed(site, way))
        .map((way): Fault => ({ kind: 'way-dead', way })),
    ),
    ...usedOutlets(site).map(({ key }): Fault => ({ kind: 'supply-dead', outlet: key })),
    ...byName(site.devices.values()).map(({ name }): Fault => ({
      kind: 'device-dead',
      device: name,
    })),
    ...lowVoltages(site, buses, feeds),
    ...buses.flatMap((bus) => terminatorFaults(site, bus)),
    ...buses.flatMap((bus) => swapsOf(site, bus)),
    ...addressFaults(site, buses),
    ...subnetFaults(site),
  ];
}

function cutsOf(site: Site, run: Bus | Feed): readonly Fault[] {
  return segmentsOf(site, run).map((_, position) => ({
    kind: 'segment-cut',
    at: { of: 'run', run: run.name, position },
  }));
}

function isUsed(site: Site, point: string): boolean {
  return site.feedsFrom.has(point) || site.inletLinesFrom.has(point) || site.boardsFrom.has(point);
}

function usedOutlets(site: Site): readonly { readonly key: string; readonly isLow: boolean }[] {
  return byName(site.devices.values()).flatMap((device) =>
    (equipmentOf(site, device)?.outlets ?? []).flatMap(({ name, voltage }) => {
      const key = memberKey(device.name, name);
      const isLow = voltage !== undefined && voltage.volts <= EXTRA_LOW_LIMIT_V.ac;
      return isUsed(site, key) ? [{ key, isLow }] : [];
    }),
  );
}

/** Too low a voltage is a matter of long, thin cables and loaded supplies: of extra-low voltage. */
function lowVoltages(site: Site, buses: readonly Bus[], feeds: readonly Feed[]): readonly Fault[] {
  const outlets = usedOutlets(site).filter(({ isLow }) => isLow);
  const keys = new Set(outlets.map(({ key }) => key));
  const cables = feeds
    .filter(({ from }) => keys.has(memberKey(from.owner, from.member)))
    .flatMap((feed) =>
      segmentsOf(site, feed).map((_, position): Fault => ({
        kind: 'voltage-low',
        behind: { of: 'cable', at: { of: 'run', run: feed.name, position } },
      })),
    );
  return [
    ...outlets.map(({ key }): Fault => ({
      kind: 'voltage-low',
      behind: { of: 'outlet', outlet: key },
    })),
    ...cables,
    ...buses.flatMap((bus) => lowOnBus(site, bus)),
  ];
}

function lowOnBus(site: Site, bus: Bus): readonly Fault[] {
  const powered = poweredSegmentOf(site, bus);
  if (powered === undefined) {
    return [];
  }
  const givers = powered.givers.map(({ port }) => ({
    bus: port.bus.name,
    index: port.landing.index,
  }));
  return segmentsOf(site, bus).flatMap((_, position): Fault[] => {
    const sides = landingsBehind(site, bus, position);
    const dark = sides.filter(
      (side) => !givers.some((giver) => giver.bus === bus.name && side.has(giver.index)),
    );
    const takers = powered.takers
      .filter(({ port }) => port.bus === bus)
      .map(({ port }) => port.landing.index)
      .filter((index) => dark.some((side) => side.has(index)));
    return sides.length < 2 || takers.length === 0
      ? []
      : [
          {
            kind: 'voltage-low',
            behind: {
              of: 'bus-cable',
              at: { of: 'run', run: bus.name, position },
              takers: takers.map((index) => ({ bus: bus.name, index })),
            },
          },
        ];
  });
}

/** One too many is looked for where none is; what is built in cannot be forgotten. */
function terminatorFaults(site: Site, bus: Bus): readonly Fault[] {
  if (segmentOf(site, bus).busType?.terminate === undefined) {
    return [];
  }
  const { terminators } = terminationOf(site, bus);
  const here = terminators.filter(({ landing }) => landing.bus === bus);
  return bus.landings.flatMap(({ index, terminated }): Fault[] => {
    const at: LandingAt = { bus: bus.name, index };
    if (terminated) {
      return [{ kind: 'terminator-missing', at }];
    }
    return here.some(({ landing }) => landing.landing.index === index)
      ? []
      : [{ kind: 'terminator-extra', at }];
  });
}

function swapsOf(site: Site, bus: Bus): readonly Fault[] {
  return site.busTypes.get(bus.busType)?.polarised !== true
    ? []
    : bus.landings
        .filter(({ device, member }) => resolvePort(site, device, member) !== undefined)
        .map(({ index }) => ({ kind: 'pair-swapped', at: { bus: bus.name, index } }));
}

function addressFaults(site: Site, buses: readonly Bus[]): readonly Fault[] {
  const seen = new Set<string>();
  const domains = buses.filter((bus) => talkDomainOf(site, bus).lead === bus);
  const portsOf = domains.map((bus): readonly PortAt[] =>
    talkDomainOf(site, bus)
      .segments.flatMap((segment) => segment.ports)
      .filter(({ bus: on, landing: { device, member } }) => {
        const record = site.devices.get(device);
        return (
          record !== undefined &&
          addressedPortsOf(site, record).some(
            (port) => port.bus === on && port.port.name === member && port.line !== undefined,
          )
        );
      })
      .map(({ landing: { device, member } }) => ({ device, port: member })),
  );
  const outside = portsOf.flat().flatMap((at): Fault[] => {
    const key = memberKey(at.device, at.port);
    if (seen.has(key)) {
      return [];
    }
    seen.add(key);
    return [{ kind: 'address-out-of-range', at }];
  });
  const twice = portsOf.flatMap((ports) =>
    ports.flatMap((one, index) =>
      ports.slice(index + 1).map((other): Fault => ({ kind: 'address-duplicate', one, other })),
    ),
  );
  return [...outside, ...twice];
}

function subnetFaults(site: Site): readonly Fault[] {
  return byName(site.networks.values()).flatMap(({ name, hosts, laptops }): readonly Fault[] => [
    ...hosts
      .filter(({ address }) => address !== undefined)
      .map(({ index }): Fault => ({ kind: 'subnet-wrong', network: name, host: index })),
    ...(laptops.length === 0
      ? []
      : [{ kind: 'subnet-wrong', network: name, host: 'laptop' } as const]),
  ]);
}

function byName<Value extends { readonly name: string }>(all: Iterable<Value>): readonly Value[] {
  return [...all].sort((one, other) => compareNames(one.name, other.name));
}
