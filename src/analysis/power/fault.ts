/** Fault currents at the far ends of feeds, and whether they make the protective device let go. */
import type { Term } from '../../model/finding.js';
import type { Place } from '../../model/origin.js';
import { resolveInlet } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import { isProtectiveTerminal } from '../cabling/cores.js';
import type { Feed } from '../../model/wiring.js';
import { phaseVoltageV } from '../electrical/alternating.js';
import { faultCurrent, tripBand } from '../electrical/protection.js';
import type { TripBand } from '../electrical/protection.js';
import { solveNetwork, voltageAt } from '../electrical/solve-network.js';
import { memoised } from '../memo.js';
import { term } from '../working.js';
import type { Source, WorkedValue } from '../working.js';
import type { Gap } from './bus-load.js';
import { networkAt } from './circuit.js';
import type { Circuit, CircuitSource } from './circuit.js';
import { feedEnds, pointByKey } from './consumers.js';
import { circuitOfFeed } from './supply-circuit.js';
import { judgedFaultTemperature } from './temperature.js';
import { powerTexts } from './texts.js';

/** The fault current of one outlet at one landing, the other outlet being off. */
export interface FaultAt {
  readonly outlet: string;
  readonly subject: string;
  readonly at: Place;
  readonly currentA: number;
  readonly terms: readonly Term[];
  readonly source: Source;
}

/** Fault currents outlet by outlet, landing by landing, or what is missing to tell. */
export interface FeedFaults {
  readonly faults: readonly FaultAt[];
  readonly gaps: readonly Gap[];
}

/** One ampere drawn from this many volts measures a resistance as a voltage drop, up to as many ohms. */
const PROBE_V = 10_000;

/**
 * Fault currents at each landing of a feed, with conductors at 70 °C or the stated temperature where
 * that is higher. Unknown where the outlet states neither resistance nor regulation.
 *
 * The fault is the one that draws least: between the two conductors; with three phases between two
 * lines, or between a line and a neutral or protective conductor of the same size where the inlet has
 * one. Reactance is left out: it is under 1 % of the resistance up to 2.5 mm2.
 */
export const faultsOfFeed: (site: Site, feed: Feed) => FeedFaults = memoised((site, feed) => {
  const circuit = circuitOfFeed(site, feed);
  if (circuit.gaps.length > 0) {
    return { faults: [], gaps: circuit.gaps };
  }
  const unstated = sourcesOf(feed, circuit).find((source) => source.resistanceAssumed);
  if (unstated !== undefined) {
    return { faults: [], gaps: [resistanceGap(site, unstated.id)] };
  }
  return { faults: faultsIn(site, feed, circuit), gaps: [] };
});

/** The fault currents of a feed in a circuit without gaps, which may be one that is only tried. */
export function faultsIn(site: Site, feed: Feed, circuit: Circuit): readonly FaultAt[] {
  return sourcesOf(feed, circuit).flatMap((source) => faultsFrom(site, feed, circuit, source));
}

function sourcesOf(feed: Feed, circuit: Circuit): readonly CircuitSource[] {
  const ends = new Set(feedEnds(feed).map(({ owner, member }) => `${owner}.${member}`));
  return circuit.sources.filter((source) => ends.has(source.id));
}

/** The least fault current of a feed: what its protective device must still notice. */
export function leastFault(faults: FeedFaults): FaultAt | undefined {
  return faults.faults.reduce<FaultAt | undefined>(
    (least, fault) => (least === undefined || fault.currentA < least.currentA ? fault : least),
    undefined,
  );
}

/** An outlet's protective device with the current that it needs, or why that is not known. */
export interface Protection {
  readonly ratedA: number;
  readonly band: TripBand | undefined;
}

/** The protective device of an outlet; undefined where none is stated. */
export function protectionOf(site: Site, outletKey: string): Protection | undefined {
  const point = pointByKey(site, outletKey);
  if (point?.kind !== 'outlet' || point.outlet.protection === undefined) {
    return undefined;
  }
  const { ratedA, curve } = point.outlet.protection;
  const kind = point.outlet.voltage?.kind;
  const band =
    curve === undefined || kind === undefined
      ? undefined
      : tripBand(curve, ratedA, kind === 'dc' ? 'DC' : 'AC');
  return { ratedA, band: band?.known === true ? band : undefined };
}

function faultsFrom(
  site: Site,
  feed: Feed,
  circuit: Circuit,
  source: CircuitSource,
): readonly FaultAt[] {
  const judged = judgedFaultTemperature(site);
  const network = networkAt(circuit, judged.temperatureC);
  if ('gaps' in network) {
    return [];
  }
  return circuit.nodes.flatMap((node) =>
    node.members
      .filter(({ at }) => at.declaration === feed.name)
      .flatMap((member): FaultAt[] => {
        const probed = solveNetwork({
          branches: network.branches,
          nodes: network.nodes.map(({ id }) => ({
            id,
            loads: id === node.id ? [{ kind: 'constant-current', currentA: 1 }] : [],
          })),
          sources: [{ id: source.id, node: source.node, voltageV: PROBE_V, resistanceOhm: 0 }],
        });
        const voltageV = probed.kind === 'operating-point' ? voltageAt(probed, node.id) : undefined;
        if (voltageV === undefined) {
          return [];
        }
        const fault = leastOf(site, circuit, source, member.subject, PROBE_V - voltageV);
        return fault !== undefined
          ? [
              {
                outlet: source.id,
                subject: member.subject,
                at: member.at,
                currentA: fault.value,
                terms: [
                  ...fault.between,
                  ...fault.working.terms,
                  {
                    name: 'conductor temperature',
                    value: judged.temperatureC,
                    unit: 'C',
                    basis: judged.basis,
                  },
                ],
                source: fault.working.source,
              },
            ]
          : [];
      }),
  );
}

type LeastFault = WorkedValue & {
  /** Which conductors it is between, where that is not plain. */
  readonly between: readonly Term[];
};

/** `measuredOhm` is the resistance of the circuit's network: of both conductors, of one with three phases. */
function leastOf(
  site: Site,
  circuit: Circuit,
  source: CircuitSource,
  subject: string,
  measuredOhm: number,
): LeastFault | undefined {
  if (!circuit.threePhase) {
    const fault = faultCurrent(source.openV, measuredOhm, source.resistanceOhm);
    return fault.known ? { ...fault, between: [] } : undefined;
  }
  const loopOhm = 2 * measuredOhm;
  const betweenLines = {
    ...faultCurrent(source.openV, loopOhm, 2 * source.resistanceOhm),
    between: [term('fault', powerTexts.lineToLine, '', 'computed')],
  };
  const toNeutral = {
    ...faultCurrent(phaseVoltageV(source.openV), loopOhm, source.resistanceOhm),
    between: [term('fault', powerTexts.lineToNeutral, '', 'computed')],
  };
  return [betweenLines, ...(hasReturn(site, subject) ? [toNeutral] : [])]
    .filter((fault) => fault.known)
    .reduce<LeastFault | undefined>(
      (least, fault) => (least === undefined || fault.value < least.value ? fault : least),
      undefined,
    );
}

/** Whether an inlet has a terminal for a neutral or a protective conductor. */
function hasReturn(site: Site, subject: string): boolean {
  const cut = subject.lastIndexOf('.');
  const inlet = resolveInlet(site, subject.slice(0, cut), subject.slice(cut + 1))?.inlet;
  return inlet?.terminals.some((one) => one === 'N' || isProtectiveTerminal(one)) ?? false;
}

function resistanceGap(site: Site, key: string): Gap {
  const cut = key.lastIndexOf('.');
  const equipment = site.devices.get(key.slice(0, cut))?.equipment;
  return {
    subject: key,
    // No word states the impedance of a way: its circuits are designed by others.
    needs:
      equipment === undefined
        ? ''
        : powerTexts.needsOutletResistance(equipment, key.slice(cut + 1)),
    reason: powerTexts.resistanceUnstated(key),
  };
}
