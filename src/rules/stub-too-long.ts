import { geometryOf } from '../analysis/bus/geometry.js';
import type { Stub } from '../analysis/bus/geometry.js';
import { isAbove } from '../analysis/bus/limits.js';
import type { BusPort } from '../analysis/bus/segment.js';
import { longestStubM } from '../analysis/electrical/signal.js';
import { part, placeOf } from '../model/origin.js';
import type { RelatedPlace } from '../model/finding.js';
import { formatNumber } from '../model/quantity.js';
import { defineRule } from './rule.js';
import type { Problem } from './rule.js';
import { busPlace, ledSegment, limitPlace, measured, metres } from './support/bus-wording.js';
import type { TypedSegment } from './support/bus-wording.js';
import { beyond } from './support/margin-wording.js';

/** A spur with one landing that is longer than its type, or the rise time of the signal, allows. */
export const stubTooLong = defineRule({
  name: 'stub-too-long',
  severity: 'error',
  of: 'bus',
  acceptable: true,
  *check(site, bus) {
    const segment = ledSegment(site, bus);
    if (segment === undefined) {
      return;
    }
    for (const stub of geometryOf(site, bus).stubs) {
      const limit = stubLimit(segment, stub);
      const { lengthM, basis } = stub.cable.segment;
      if (limit !== undefined && lengthM !== null && isAbove(lengthM, limit.limitM)) {
        yield problemOf(stub, lengthM, basis === 'estimated' ? ' (estimated)' : '', limit);
      }
    }
  },
});

interface StubLimit {
  readonly limitM: number;
  readonly says: string;
  readonly related: RelatedPlace;
  /** A limit by rise time alone is a rule of thumb: the failure is gradual. */
  readonly severity: 'error' | 'warning';
}

function problemOf(
  { cable, landing }: Stub,
  lengthM: number,
  certainty: string,
  { limitM, says, related, severity }: StubLimit,
): Problem {
  return {
    subject: landing.name,
    at: cable.segment.at,
    what: `The spur to ${landing.name} is ${metres(lengthM)} long${certainty}, and ${says} ${metres(limitM)}${beyond(lengthM, limitM)}.`,
    why: 'A signal runs into the spur and comes back as an echo that garbles the line.',
    remedy: `Shorten it to ${metres(limitM)}, or loop the line through the device: in and out, without a spur.`,
    related: [busPlace(landing.bus), related],
    facts: [measured('longest-stub', lengthM, 'm')],
    waivable: { value: lengthM, unit: 'm' },
    severity,
  };
}

/** The limit of the bus type; without one that of the fastest driver, where it and the cable state enough. */
function stubLimit({ busType, ports }: TypedSegment, { cable }: Stub): StubLimit | undefined {
  const statedM = busType.lengthLimitM.stub;
  if (statedM !== undefined) {
    return {
      limitM: statedM,
      says: `${busType.name} allows`,
      related: limitPlace(busType, 'length/stub', `${busType.name} allows ${metres(statedM)}.`),
      severity: 'error',
    };
  }
  const fastest = fastestDriver(ports);
  const velocityPercent = cable.segment.cable?.velocityPercent;
  if (fastest === undefined || velocityPercent === undefined) {
    return undefined;
  }
  const riseTimeS = fastest.resolved.port.riseTimeS!;
  const { equipment, port } = fastest.resolved;
  return {
    limitM: longestStubM(riseTimeS, velocityPercent / 100),
    says: `the rise time of ${formatNumber(riseTimeS * 1e9)} ns of ${fastest.name} allows`,
    related: {
      at: placeOf(equipment.name, part('port', port.name)),
      message: `${equipment.name}.${port.name} states its rise time.`,
    },
    severity: 'warning',
  };
}

function fastestDriver(ports: readonly BusPort[]): BusPort | undefined {
  return ports
    .filter(({ resolved }) => resolved.port.riseTimeS !== undefined)
    .reduce<BusPort | undefined>(
      (fastest, port) =>
        fastest === undefined || port.resolved.port.riseTimeS! < fastest.resolved.port.riseTimeS!
          ? port
          : fastest,
      undefined,
    );
}
