/** How long the controllers of a bus take to hear every device once. */
import { memberKey } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import type { Bus } from '../../model/wiring.js';
import {
  TOKEN_FRAME_BITS,
  USAGE_DELAY_S,
  characterTimeS,
  interFrameTimeS,
  pollTimeS,
} from '../electrical/timing.js';
import { memoised } from '../memo.js';
import { term } from '../working.js';
import type { Figure, KnownFigure } from './figure.js';
import { needs } from './needs.js';
import { talkDomainOf } from './segment.js';
import type { BusPort } from './segment.js';
import { managersOf, nameOfManager, tokenLoopOf, tokenSearchOf } from './token.js';
import type { TokenSearch } from './token.js';

/** The part of a scan that one port takes. */
export interface ScanShare {
  readonly port: BusPort;
  readonly durationS: number;
}

/** A scan time in s with its parts in the order of the landings. */
export type ScanTime =
  (KnownFigure & { readonly shares: readonly ScanShare[] }) | Extract<Figure, { known: false }>;

/**
 * Scan time in s of everything that hears each other, repeaters crossed; the same for all its buses.
 * Where the bus type says nothing else, one port asks each responder in turn.
 */
export const scanTimeOf: (site: Site, bus: Bus) => ScanTime = memoised((site, bus) => {
  const domain = talkDomainOf(site, bus);
  if (domain.lead !== bus) {
    return scanTimeOf(site, domain.lead);
  }
  const busType = domain.segments[0]!.busType;
  const rateBaud = busType?.signal?.rateBaud;
  if (rateBaud === undefined || !(rateBaud > 0)) {
    return { known: false, needs: needs.rate(bus.busType) };
  }
  const ports = domain.segments.flatMap((segment) => segment.ports);
  return busType?.scan?.by === 'token'
    ? tokenRound(site, bus, rateBaud)
    : pollRound(bus, rateBaud, ports);
});

function pollRound(bus: Bus, rateBaud: number, ports: readonly BusPort[]): ScanTime {
  const responders = ports.filter(isResponder);
  const silent = responders.find((port) => pollOf(port) === undefined);
  if (silent !== undefined) {
    const { equipment, port } = silent.resolved;
    return { known: false, needs: needs.poll(equipment.name, port.name) };
  }
  if (responders.length === 0) {
    return { known: false, needs: needs.talker(bus.name, 'responder') };
  }
  const isAssumed = responders.some(({ resolved }) => resolved.port.processS === undefined);
  const shares = responders.map((port) => ({
    port,
    durationS: pollTimeS(rateBaud, pollOf(port)!),
  }));
  return {
    known: true,
    value: shares.reduce((sum, { durationS }) => sum + durationS, 0),
    shares,
    basis: isAssumed ? 'assumed' : 'computed',
    terms: [
      term('rate', rateBaud, 'baud'),
      term('time of a character of 11 bits', characterTimeS(rateBaud), 's', 'computed'),
      term('t3.5', interFrameTimeS(rateBaud), 's', 'computed'),
      ...responders.flatMap((port) => pollTerms(port)),
    ],
  };
}

function tokenRound(site: Site, bus: Bus, rateBaud: number): ScanTime {
  const managers = managersOf(site, bus);
  if (managers.length === 0) {
    return { known: false, needs: needs.talker(bus.name, 'controller') };
  }
  const loop = tokenLoopOf(managers, rateBaud);
  const search = tokenSearchOf(managers, loop);
  return {
    known: true,
    value: loop.slowestS,
    shares: managers.map(({ port }) => ({ port, durationS: loop.slowestS / managers.length })),
    basis: 'computed',
    terms: [
      term('rate', rateBaud, 'baud'),
      term('ports that hold the token', managers.length, '', 'computed'),
      term('bits of a token', TOKEN_FRAME_BITS, '', 'stated'),
      term('longest wait before a port uses the token', USAGE_DELAY_S, 's', 'stated'),
      term('fastest empty round', loop.fastestS, 's', 'computed'),
      term('slowest empty round', loop.slowestS, 's', 'computed'),
      ...(search === undefined ? [] : searchTerms(search)),
    ],
  };
}

function searchTerms(search: TokenSearch): KnownFigure['terms'] {
  const { unusedAddresses, by, basis, fastestS, slowestS } = search;
  return [
    term(`addresses that ${nameOfManager(by)} asks in vain`, unusedAddresses, '', basis),
    term('a new port is found within, fastest rounds', fastestS, 's', basis),
    term('a new port is found within, slowest rounds', slowestS, 's', basis),
  ];
}

function isResponder({ resolved }: BusPort): boolean {
  return resolved.port.talksAs === 'responder';
}

function pollOf({ resolved: { port } }: BusPort) {
  return port.pollBytes === undefined || port.replyBytes === undefined
    ? undefined
    : { requestBytes: port.pollBytes, replyBytes: port.replyBytes, processS: port.processS ?? 0 };
}

function pollTerms({ resolved: { device, port } }: BusPort): KnownFigure['terms'] {
  const name = memberKey(device.name, port.name);
  return [
    term(`poll and reply of ${name}`, port.pollBytes! + port.replyBytes!, 'bytes'),
    term(
      `process time of ${name}`,
      port.processS ?? 0,
      's',
      port.processS === undefined ? 'assumed' : 'stated',
    ),
  ];
}
