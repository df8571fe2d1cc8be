/** The facts of a bus: values of its segment, each with its working. */
import type { Fact, Term } from '../../model/finding.js';
import type { Site } from '../../model/site.js';
import type { Bus } from '../../model/wiring.js';
import { RECEIVER_THRESHOLD_V } from '../electrical/signal.js';
import { turningTemperatureC } from '../power/temperature.js';
import { ESTIMATE_SOURCE } from '../run.js';
import { term } from '../working.js';
import { deadRoundsOf } from './dead-devices.js';
import { cablesBetween } from './distances.js';
import type { Figure } from './figure.js';
import { geometryOf, landingAt, sumLengths } from './geometry.js';
import type { BusGeometry, LengthSum } from './geometry.js';
import type { BusCable } from './graph.js';
import { isAbove, withoutRounding } from './limits.js';
import { needs } from './needs.js';
import { scanTimeOf } from './scan.js';
import { talkingPorts } from './segment.js';
import { farSignalAt, idleAt, signalOf } from './signal.js';
import type { PlacedFigure } from './signal.js';
import { BUS_SOURCES } from './sources.js';

/** Everything that is known about a bus but what power it carries; a fixed order. */
export function factsOfBus(site: Site, bus: Bus): readonly Fact[] {
  const geometry = geometryOf(site, bus);
  return [
    dropsFact(bus, geometry),
    totalFact(bus, geometry),
    farthestFact(bus, geometry),
    stubFact(bus, geometry),
    ...signalFacts(site, bus),
    ...scanFacts(site, bus, geometry),
  ];
}

function dropsFact(bus: Bus, { segment }: BusGeometry): Fact {
  const ports = talkingPorts(segment);
  return {
    subject: bus.name,
    fact: 'drops',
    value: ports.length,
    unit: '',
    ...judged(ports.length, segment.busType?.drops, 'most'),
    basis: 'computed',
    source: BUS_SOURCES.counted,
    terms: ports.map((port) => term(port.name, port.resolved.port.talksAs ?? '', '')),
  };
}

function totalFact(bus: Bus, { segment, graph, total }: BusGeometry): Fact {
  return lengthFact(bus, 'total-length', total, {
    limit: segment.busType?.lengthLimitM.total,
    terms: graph.cables.map(cableTerm),
  });
}

function farthestFact(bus: Bus, geometry: BusGeometry): Fact {
  const { farthest, segment, total } = geometry;
  if (farthest === undefined) {
    const missing =
      segment.landings.length === 0 ? needs.secondLanding(bus.name) : needs.oneLoop(bus.name);
    return unknownFact(bus, 'farthest-length', 'm', missing);
  }
  return lengthFact(
    bus,
    'farthest-length',
    { ...total, knownM: farthest.lengthM },
    {
      limit: segment.busType?.lengthLimitM.farthest,
      terms: [
        term('from', landingAt(geometry, farthest.one).name, ''),
        term('to', landingAt(geometry, farthest.other).name, ''),
        ...cablesBetween(geometry.graph, farthest).map(cableTerm),
      ],
    },
  );
}

function stubFact(bus: Bus, { segment, stubs }: BusGeometry): Fact {
  const sum = sumLengths(stubs.map(({ cable }) => cable));
  const longestM = Math.max(0, ...stubs.map(({ cable }) => cable.segment.lengthM ?? 0));
  return lengthFact(
    bus,
    'longest-stub',
    { ...sum, knownM: longestM },
    {
      limit: segment.busType?.lengthLimitM.stub,
      terms: stubs.map(({ cable }) => cableTerm(cable)),
    },
  );
}

function signalFacts(site: Site, bus: Bus): readonly Fact[] {
  const signal = signalOf(site, bus);
  if (signal === undefined) {
    return [];
  }
  const { busType } = geometryOf(site, bus).segment;
  const least = { limit: RECEIVER_THRESHOLD_V, bound: 'least' } as const;
  return [
    figureFact(bus, 'unit-loads', '', signal.unitLoads, BUS_SOURCES.unitLoads, {
      limit: busType?.signal?.unitLoads,
      bound: 'most',
    }),
    figureFact(
      bus,
      'idle-voltage',
      'V',
      withTurning(site, bus, signal.idle, idleAt),
      BUS_SOURCES.idle,
      least,
    ),
    figureFact(
      bus,
      'far-signal',
      'V',
      withTurning(site, bus, signal.farSignal, farSignalAt),
      BUS_SOURCES.farSignal,
      least,
    ),
    figureFact(bus, 'head-resistance', 'ohm', signal.headResistance, BUS_SOURCES.headResistance),
  ];
}

/** Adds the temperature at which the verdict turns, where it hangs on it. */
function withTurning(
  site: Site,
  bus: Bus,
  figure: PlacedFigure,
  at: (site: Site, bus: Bus, temperatureC: number) => PlacedFigure,
): PlacedFigure {
  if (!figure.known) {
    return figure;
  }
  const turningC = turningTemperatureC((temperatureC) => {
    const there = at(site, bus, temperatureC);
    return there.known && !isAbove(RECEIVER_THRESHOLD_V, there.value);
  });
  return turningC === undefined
    ? figure
    : {
        ...figure,
        terms: [...figure.terms, term('the verdict turns at', turningC, 'C', 'computed')],
      };
}

function scanFacts(site: Site, bus: Bus, { segment }: BusGeometry): readonly Fact[] {
  const { busType } = segment;
  if (busType?.scan === undefined && busType?.signal === undefined) {
    return [];
  }
  const source = busType.scan?.by === 'token' ? BUS_SOURCES.token : BUS_SOURCES.poll;
  return [
    figureFact(bus, 'scan-time', 's', withDeadDevices(site, bus), source, {
      limit: busType.scan?.withinS,
      bound: 'most',
    }),
  ];
}

/** The scan time with what a silent device would make of it, where the controller's patience is stated. */
function withDeadDevices(site: Site, bus: Bus): Figure {
  const scan = scanTimeOf(site, bus);
  const dead = deadRoundsOf(site, bus);
  if (!scan.known || !dead.known) {
    return scan;
  }
  const twoDead =
    dead.twoDeadS === undefined
      ? []
      : [term('round with two dead devices', dead.twoDeadS, 's', 'computed')];
  return {
    ...scan,
    terms: [
      ...scan.terms,
      term('timeout', dead.timeoutS, 's'),
      term('retries', dead.retries, ''),
      term('round with one dead device', dead.oneDeadS, 's', 'computed'),
      ...twoDead,
    ],
  };
}

interface Limit {
  readonly limit: number | undefined;
  readonly bound: 'most' | 'least';
}

function figureFact(
  bus: Bus,
  fact: string,
  unit: string,
  figure: Figure,
  source: string,
  limit?: Limit,
): Fact {
  if (!figure.known) {
    return unknownFact(bus, fact, unit, figure.needs);
  }
  return {
    subject: bus.name,
    fact,
    value: withoutRounding(figure.value),
    unit,
    ...judged(figure.value, limit?.limit, limit?.bound ?? 'most'),
    basis: figure.basis,
    source,
    terms: figure.terms,
  };
}

function lengthFact(
  bus: Bus,
  fact: string,
  sum: LengthSum,
  { limit, terms }: { readonly limit: number | undefined; readonly terms: readonly Term[] },
): Fact {
  const unknown = sum.unknown[0];
  if (unknown !== undefined) {
    const missing = unknown.segment.closesRing
      ? needs.ringLength
      : needs.length(unknown.landing.name);
    return { ...unknownFact(bus, fact, 'm', missing), terms };
  }
  return {
    subject: bus.name,
    fact,
    value: withoutRounding(sum.knownM),
    unit: 'm',
    ...judged(sum.knownM, limit, 'most'),
    basis: sum.estimatedM > 0 ? 'estimated' : 'computed',
    source: sum.estimatedM > 0 ? ESTIMATE_SOURCE : BUS_SOURCES.lengths,
    terms,
  };
}

function unknownFact(bus: Bus, fact: string, unit: string, missing: string): Fact {
  return {
    subject: bus.name,
    fact,
    value: null,
    unit,
    basis: 'unknown',
    needs: missing,
    terms: [],
  };
}

/** Limit and margin of a value; a limit of 0 has no margin. */
function judged(
  value: number,
  limit: number | undefined,
  bound: Limit['bound'],
): Pick<Fact, 'limit' | 'margin'> {
  if (limit === undefined) {
    return {};
  }
  const room = bound === 'most' ? limit - value : value - limit;
  return limit === 0 ? { limit } : { limit, margin: withoutRounding(room / limit) };
}

function cableTerm({ start, end, segment }: BusCable): Term {
  return term(`${start.name} to ${end.name}`, segment.lengthM ?? '?', 'm', segment.basis);
}
