/** The facts of feeds, powered buses, ways, outlets and devices: what they carry and what reaches them. */
import type { Fact, Term } from '../../model/finding.js';
import type { Outlet } from '../../model/equipment.js';
import type { Board, Device, Way } from '../../model/records.js';
import { equipmentOf, memberKey, resolvePowerPoint } from '../../model/site.js';
import type { PowerPoint, Site } from '../../model/site.js';
import type { Bus, Feed } from '../../model/wiring.js';
import { withoutRounding } from '../bus/limits.js';
import { segmentOf } from '../bus/segment.js';
import { isolationOf } from '../graph/isolation.js';
import { term } from '../working.js';
import { circuitOfBus } from './bus-circuit.js';
import { poweredSegmentOf } from './bus-load.js';
import { collapseOf, stateOf } from './circuit.js';
import type { Circuit } from './circuit.js';
import { atLeast, atMost, basisOf, byName, rounded, unknownFact } from './fact-shapes.js';
import { faultsOfFeed, leastFault, protectionOf } from './fault.js';
import { loadOf, loadOfFeed } from './loads.js';
import { factsOfPoe } from './poe-facts.js';
import { ratingOf, unitOf } from './point-rating.js';
import type { LoadSum } from './loads.js';
import { POWER_SOURCES } from './sources.js';
import { circuitOfFeed, circuitsOfLines } from './supply-circuit.js';
import { judgedTemperature, temperatureTerm, voltageDropLimit } from './temperature.js';
import { powerTexts } from './texts.js';
import { voltageFacts } from './voltage-facts.js';
import type { Member } from './voltage-facts.js';
import { minimumAt, voltagesIn } from './voltages.js';
import type { MemberVoltage } from './voltages.js';

/** Load, drop, collapse margin and fault current of a feed, and the voltage at each of its inlets. */
export function factsOfFeed(site: Site, feed: Feed): readonly Fact[] {
  const circuit = circuitOfFeed(site, feed);
  const own = (member: Member): boolean => member.at.declaration === feed.name;
  return [
    feedLoadFact(site, feed),
    dropFact(site, feed.name, circuit, own, voltageDropLimit(site)),
    collapseFact(site, feed.name, circuit),
    feedFaultFact(site, feed),
    ...voltageFacts(site, circuit, own, (subject) => minimumAt(site, subject)),
  ];
}

/** The same for a bus that carries power; empty for every other bus. */
export function factsOfPoweredBus(site: Site, bus: Bus): readonly Fact[] {
  const powered = poweredSegmentOf(site, bus);
  const circuit = circuitOfBus(site, bus);
  if (powered === undefined || circuit === undefined) {
    return segmentOf(site, bus).busType?.power === undefined
      ? []
      : [unknownFact(bus.name, 'load', 'A', powerTexts.needsGiver(bus.busType))];
  }
  const own = (member: Member): boolean => member.at.declaration === bus.name;
  const takers = new Set(powered.takers.map((taker) => taker.port.name));
  const taking = (member: Member): boolean => own(member) && takers.has(member.subject);
  const gap = powered.gaps[0];
  const terms = powered.takers.map((taker) =>
    term(taker.port.name, withoutRounding(taker.currentA), 'A', 'stated'),
  );
  const load: Fact =
    gap === undefined
      ? {
          subject: bus.name,
          fact: 'load',
          value: withoutRounding(powered.loadA),
          unit: 'A',
          ...atMost(powered.loadA, powered.capacityA),
          basis: 'computed',
          source: POWER_SOURCES.load,
          terms,
        }
      : { ...unknownFact(bus.name, 'load', 'A', gap.needs), terms };
  return [
    load,
    dropFact(site, bus.name, circuit, taking, undefined),
    collapseFact(site, bus.name, circuit),
    {
      ...unknownFact(bus.name, 'fault-current', 'A', ''),
      terms: [term('reason', powerTexts.limitedSource, '', 'unknown')],
    },
    ...voltageFacts(site, circuit, own, (subject) =>
      takers.has(subject) ? powered.minimumV : undefined,
    ),
  ];
}

/** Load and spare of a way. */
export function factsOfWay(site: Site, board: Board, way: Way): readonly Fact[] {
  const key = memberKey(board.name, way.name);
  return pointFacts(site, { kind: 'way', key, board, way });
}

/** Load and spare of an outlet. */
export function factsOfOutlet(site: Site, device: Device, outlet: Outlet): readonly Fact[] {
  const equipment = equipmentOf(site, device);
  const key = memberKey(device.name, outlet.name);
  return equipment === undefined
    ? []
    : pointFacts(site, { kind: 'outlet', key, device, equipment, outlet });
}

/** The voltages of a device's inlet lines, and what isolates the device. */
export function factsOfDevicePower(site: Site, device: Device): readonly Fact[] {
  const circuits = circuitsOfLines(site, device);
  const lines = device.inletLines.flatMap((line) => {
    const circuit = circuits.get(line.index);
    const own = (member: Member): boolean =>
      member.at.declaration === device.name && member.at.part === `inlet/${line.index}`;
    return circuit === undefined
      ? []
      : voltageFacts(site, circuit, own, (subject) => minimumAt(site, subject));
  });
  return [...lines, ...factsOfPoe(site, device), isolationFact(site, device)];
}

function feedLoadFact(site: Site, feed: Feed): Fact {
  const point = resolvePowerPoint(site, feed.from);
  const load = loadOfFeed(site, feed);
  if (point === undefined || load === undefined) {
    const from = memberKey(feed.from.owner, feed.from.member);
    return unknownFact(feed.name, 'load', 'A', powerTexts.needsName(from));
  }
  return loadFact(feed.name, load, undefined);
}

function pointFacts(site: Site, point: PowerPoint): readonly Fact[] {
  const load = loadOf(site, point);
  const rating = ratingOf(point);
  const unit = unitOf(point);
  const gap = byName(load.gaps)[0];
  const needs =
    gap?.needs ??
    (rating !== undefined
      ? undefined
      : point.kind === 'way'
        ? powerTexts.needsWayRating(point.board.name, point.way.name)
        : powerTexts.needsOutletRating(point.equipment.name, point.outlet));
  return [
    loadFact(point.key, load, rating),
    rating === undefined || needs !== undefined
      ? unknownFact(point.key, 'spare', unit, needs ?? '')
      : {
          subject: point.key,
          fact: 'spare',
          value: withoutRounding(rating - load.amount),
          unit,
          basis: 'computed',
          source: POWER_SOURCES.spare,
          terms: [
            term('rating', withoutRounding(rating), unit, 'stated'),
            term('load', withoutRounding(load.amount), unit, 'computed'),
          ],
        },
  ];
}

function loadFact(subject: string, load: LoadSum, rating: number | undefined): Fact {
  const terms = byName(load.parts).map((part) =>
    term(part.subject, withoutRounding(part.amount), load.unit, part.basis),
  );
  const gap = byName(load.gaps)[0];
  if (gap !== undefined) {
    return { ...unknownFact(subject, 'load', load.unit, gap.needs), terms };
  }
  return {
    subject,
    fact: 'load',
    value: withoutRounding(load.amount),
    unit: load.unit,
    ...atMost(load.amount, rating),
    basis: 'computed',
    source: POWER_SOURCES.load,
    terms,
  };
}

function dropFact(
  site: Site,
  subject: string,
  circuit: Circuit,
  counts: (member: Member) => boolean,
  limitPercent: number | undefined,
): Fact {
  const state = stateOf(site, circuit);
  if (state.kind === 'unknown') {
    return unknownFact(subject, 'voltage-drop', '%', state.gaps[0]?.needs ?? '');
  }
  const voltages = voltagesIn(site, circuit).filter(counts);
  const worst = worstOf(voltages);
  if (worst === undefined) {
    return {
      ...unknownFact(subject, 'voltage-drop', '%', ''),
      basis: 'computed',
      source: POWER_SOURCES.drop,
      terms: state.kind === 'collapsed' ? [term('operating point', 'none', '', 'computed')] : [],
    };
  }
  return {
    subject,
    fact: 'voltage-drop',
    value: withoutRounding(worst.dropPercent),
    unit: '%',
    ...atMost(worst.dropPercent, limitPercent),
    basis: basisOf(circuit),
    source: POWER_SOURCES.drop,
    terms: [
      term('source nominal', circuit.nominalV, 'V'),
      term(`voltage at ${worst.subject}`, withoutRounding(worst.voltageV), 'V', 'computed'),
      temperatureTerm(judgedTemperature(site)),
    ],
  };
}

function collapseFact(site: Site, subject: string, circuit: Circuit): Fact {
  const margin = collapseOf(site, circuit);
  if (margin === undefined || margin.kind === 'rejected') {
    const state = stateOf(site, circuit);
    const needs = state.kind === 'unknown' ? (state.gaps[0]?.needs ?? '') : '';
    return unknownFact(subject, 'collapse-margin', '', needs);
  }
  if (margin.kind === 'unbounded') {
    // Not unknown: without constant power there is nothing that could collapse.
    return {
      ...unknownFact(subject, 'collapse-margin', '', ''),
      basis: 'computed',
      source: POWER_SOURCES.collapse,
      terms: [term('constant-power loads', 0, 'W', 'computed')],
    };
  }
  const powerW = constantPowerW(circuit);
  // The factor is found by halving to a billionth of itself.
  const factor = Number(margin.factor.toPrecision(8));
  return {
    subject,
    fact: 'collapse-margin',
    value: factor,
    unit: '',
    limit: 1,
    margin: Number((margin.factor - 1).toPrecision(8)),
    basis: basisOf(circuit),
    source: POWER_SOURCES.collapse,
    terms: [
      term('constant-power loads', withoutRounding(powerW), 'W', 'computed'),
      term('most that they could take', withoutRounding(powerW * factor), 'W', 'computed'),
      temperatureTerm(judgedTemperature(site)),
    ],
  };
}

/** What all constant-power loads of a circuit take together; the network stands for one phase of three. */
function constantPowerW(circuit: Circuit): number {
  const phases = circuit.threePhase ? 3 : 1;
  return circuit.nodes
    .flatMap((node) => node.members)
    .reduce(
      (sum, { load }) => sum + (load?.kind === 'constant-power' ? phases * load.powerW : 0),
      0,
    );
}

function feedFaultFact(site: Site, feed: Feed): Fact {
  const faults = faultsOfFeed(site, feed);
  const least = leastFault(faults);
  if (least === undefined) {
    const gap = faults.gaps[0];
    return {
      ...unknownFact(feed.name, 'fault-current', 'A', gap?.needs ?? ''),
      terms: gap === undefined ? [] : [term('reason', gap.reason, '', 'unknown')],
    };
  }
  const tripsFromA = protectionOf(site, least.outlet)?.band?.tripsFromA;
  return {
    subject: feed.name,
    fact: 'fault-current',
    value: withoutRounding(least.currentA),
    unit: 'A',
    ...atLeast(least.currentA, tripsFromA),
    basis: basisOf(circuitOfFeed(site, feed)),
    source: POWER_SOURCES.fault,
    terms: [term('at', least.subject, ''), ...least.terms.map(rounded)],
  };
}

function isolationFact(site: Site, device: Device): Fact {
  const isolation = isolationOf(site, device);
  const listed = (name: string, items: readonly { readonly name: string }[]): readonly Term[] =>
    items.map((item) => term(name, item.name, '', 'computed'));
  const terms = [
    ...listed('source', isolation.sources),
    ...listed('further up', isolation.alternatives),
    ...listed('stored energy inside', isolation.inside),
  ];
  const unlockable = isolation.unlockable[0];
  const unstated = isolation.unstated[0];
  if (unlockable !== undefined || unstated !== undefined) {
    const needs =
      unlockable === undefined
        ? powerTexts.needsSupplyOf(unstated ?? '')
        : powerTexts.needsIsolator(unlockable.name);
    return {
      ...unknownFact(device.name, 'isolate-at', '', needs),
      source: POWER_SOURCES.isolation,
      // A list that is not complete must not look like one that is.
      terms: [...listed('known so far', isolation.points), ...terms],
    };
  }
  return {
    subject: device.name,
    fact: 'isolate-at',
    value: isolation.points.map((point) => point.name),
    unit: '',
    basis: 'computed',
    source: POWER_SOURCES.isolation,
    terms,
  };
}

function worstOf(voltages: readonly MemberVoltage[]): MemberVoltage | undefined {
  return voltages.reduce<MemberVoltage | undefined>(
    (worst, one) => (worst === undefined || one.dropPercent > worst.dropPercent ? one : worst),
    undefined,
  );
}
