/** Buses that carry power: which ports give it, which take it, and how much. */
import type { Port } from '../../model/equipment.js';
import type { Bus } from '../../model/wiring.js';
import type { Site } from '../../model/site.js';
import { segmentOf } from '../bus/segment.js';
import type { BusPort, BusSegment } from '../bus/segment.js';
import type { Load } from '../electrical/network.js';
import { memoised } from '../memo.js';
import { isAmount } from './demand.js';
import { powerTexts } from './texts.js';

/** A port that powers its bus. */
export interface Giver {
  readonly port: BusPort;
  readonly voltageV: number;
  /** What it gives at most; undefined where not stated. */
  readonly capacityA: number | undefined;
}

/** What a port takes from its bus. */
export interface Taken {
  readonly load: Load;
  /** At the nominal voltage of the first giving port. */
  readonly currentA: number;
}

/** A port that lives on the power of its bus. */
export interface Taker extends Taken {
  readonly port: BusPort;
}

/** A figure that is missing, and the line that would state it. */
export interface Gap {
  readonly subject: string;
  readonly needs: string;
  readonly reason: string;
}

/** A segment with at least one port that powers it. */
export interface PoweredSegment {
  readonly segment: BusSegment;
  /** At least one, in the order of the text. */
  readonly givers: readonly Giver[];
  readonly takers: readonly Taker[];
  /** Of the first giving port. */
  readonly nominalV: number;
  /** Least voltage at a taking port, where the bus type states one. */
  readonly minimumV: number | undefined;
  /** What all taking ports take whose figure is known. */
  readonly loadA: number;
  /** What the smallest giving port can give; undefined where one of them states no limit. */
  readonly capacityA: number | undefined;
  /** Taking ports without a figure. */
  readonly gaps: readonly Gap[];
}

/**
 * The powered segment of a bus, the same object for all its buses; undefined where no port powers it.
 *
 * With several giving ports only the smallest counts as capacity: the bus has to live when the
 * others fail.
 */
export const poweredSegmentOf: (site: Site, bus: Bus) => PoweredSegment | undefined = memoised(
  (site, bus) => {
    const segment = segmentOf(site, bus);
    return segment.lead === bus ? computeSegment(segment) : poweredSegmentOf(site, segment.lead);
  },
);

function computeSegment(segment: BusSegment): PoweredSegment | undefined {
  const givers = segment.ports.flatMap(giverOf);
  const first = givers[0];
  if (first === undefined) {
    return undefined;
  }
  const gaps: Gap[] = [];
  const takers: Taker[] = [];
  for (const port of segment.ports) {
    const taken = takenBy(port.resolved.port, first.voltageV);
    if (taken === 'unstated') {
      gaps.push({
        subject: port.name,
        needs: powerTexts.needsTakes(port.resolved.equipment.name, port.landing.member),
        reason: powerTexts.figureUnstated(port.name),
      });
    } else if (taken !== undefined) {
      takers.push({ port, ...taken });
    }
  }
  const capacities = givers.map((giver) => giver.capacityA);
  return {
    segment,
    givers,
    takers,
    nominalV: first.voltageV,
    minimumV: segment.busType?.power?.minimumVolts,
    loadA: takers.reduce((sum, taker) => sum + taker.currentA, 0),
    capacityA: capacities.every(isAmount) ? Math.min(...capacities) : undefined,
    gaps,
  };
}

function giverOf(port: BusPort): readonly Giver[] {
  const gives = port.resolved.port.gives;
  if (gives === undefined || !isAmount(gives.voltage.volts) || gives.voltage.volts === 0) {
    return [];
  }
  const voltageV = gives.voltage.volts;
  const capacityA = isAmount(gives.limitA)
    ? gives.limitA
    : isAmount(gives.limitW)
      ? gives.limitW / voltageV
      : undefined;
  return [{ port, voltageV, capacityA }];
}

/** What a port takes from a bus of a nominal voltage in V; undefined where it does not live on it. */
export function takenBy({ takes }: Port, nominalV: number): Taken | 'unstated' | undefined {
  if (takes === undefined) {
    return undefined;
  }
  if (isAmount(takes.currentA)) {
    return {
      load: { kind: 'constant-current', currentA: takes.currentA },
      currentA: takes.currentA,
    };
  }
  if (isAmount(takes.powerW)) {
    return {
      load: { kind: 'constant-power', powerW: takes.powerW },
      currentA: takes.powerW / nominalV,
    };
  }
  return 'unstated';
}
