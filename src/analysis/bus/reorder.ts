/** The landings of a bus in the order of the shortest way through their rooms. */
import type { ReorderedLanding } from '../../model/edit.js';
import type { Fix } from '../../model/finding.js';
import { formatNumber } from '../../model/quantity.js';
import { resolvePort, roomOf } from '../../model/site.js';
import type { Site } from '../../model/site.js';
import type { Bus, Landing } from '../../model/wiring.js';
import { RECEIVER_THRESHOLD_V } from '../electrical/signal.js';
import { shortestRoute } from '../graph/routes.js';
import type { RouteEnds } from '../graph/routes.js';
import { memoised } from '../memo.js';
import { poweredSegmentOf } from '../power/bus-load.js';
import { withBus } from '../power/trial.js';
import { voltagesOfBus } from '../power/voltages.js';
import { estimateSettings, estimatedLength, segmentsOf } from '../run.js';
import { distancesToNearest } from './distances.js';
import { geometryOf } from './geometry.js';
import { isAbove } from './limits.js';
import { portsAcross } from './segment.js';
import { signalOf } from './signal.js';
import type { PlacedFigure } from './signal.js';

/** A bus in a better order. */
export interface Reordering {
  readonly order: readonly ReorderedLanding[];
  /** How much less cable the bus then has, in metres: stated where two neighbours stay, else estimated. */
  readonly savedM: number;
  /** Whether no shorter way through the rooms exists. */
  readonly exact: boolean;
  /** The site with the bus in that order. */
  readonly trial: Site;
}

/** Less than this is not worth another order, in metres. */
const LEAST_SAVING_M = 1;

/**
 * A shorter order of a plain chain whose rooms are all placed; undefined where there is none, and
 * for a bus with spurs, a ring, cables of its own on single pieces, or cable that is there already.
 *
 * Where a bus begins at a controller or at what powers it, it goes on doing so. An end that leads on
 * through a junction or has a terminator built in stays an end. Terminators move to the new ends.
 */
export const reorderingOf: (site: Site, bus: Bus) => Reordering | undefined = memoised(
  (site, bus) => {
    const ends = isPlainChain(site, bus) ? keptEnds(site, bus) : undefined;
    const distancesM = estimatesBetween(site, bus);
    if (ends === undefined || distancesM === undefined) {
      return undefined;
    }
    const route = shortestRoute(distancesM, ends);
    const drawnM = bus.landings
      .slice(1)
      .reduce((sum, { index }) => sum + distancesM[index - 1]![index]!, 0);
    // Estimates are compared with estimates: a stated length has detours that nobody can foresee.
    if (drawnM - route.length < LEAST_SAVING_M) {
      return undefined;
    }
    const order = inOrder(bus, route.order);
    const trial = withBus(site, reordered(bus, order));
    const savedM =
      geometryOf(site, bus).total.knownM -
      geometryOf(trial, trial.buses.get(bus.name)!).total.knownM;
    return savedM >= LEAST_SAVING_M && isNoWorse(site, trial, bus)
      ? { order, savedM, exact: route.exact, trial }
      : undefined;
  },
);

/** The change of order as something to offer; undefined where there is no better one. */
export function reorderFix(site: Site, bus: Bus): Fix | undefined {
  const reordering = reorderingOf(site, bus);
  if (reordering === undefined) {
    return undefined;
  }
  const route = reordering.exact ? 'the shortest route' : 'a shorter route';
  return {
    title: `Reorder ${bus.name} along ${route}: ${formatNumber(reordering.savedM, 1)} m less cable`,
    kind: 'wiring',
    edits: [{ kind: 'reorder-landings', run: bus.name, order: reordering.order }],
  };
}

function isPlainChain(site: Site, bus: Bus): boolean {
  return (
    bus.landings.length > 2 &&
    !bus.existing &&
    bus.ring === undefined &&
    segmentsOf(site, bus).length === bus.landings.length - 1 &&
    bus.landings.every(
      ({ spur, existing, cable, lengthParameter }) =>
        spur === undefined && !existing && cable === undefined && lengthParameter === undefined,
    )
  );
}

/** The ends that stay; undefined where something in the middle belongs at an end. */
function keptEnds(site: Site, bus: Bus): RouteEnds | undefined {
  const last = bus.landings.length - 1;
  const isBound = (landing: Landing): boolean =>
    leadsOn(site, landing) || hasOwnTerminator(site, landing);
  if (bus.landings.slice(1, -1).some(isBound)) {
    return undefined;
  }
  const first = bus.landings[0]!;
  const port = resolvePort(site, first.device, first.member)?.port;
  const isHead = port?.talksAs === 'controller' || port?.gives !== undefined;
  return {
    ...(isHead || isBound(first) ? { first: 0 } : {}),
    ...(isBound(bus.landings[last]!) ? { last } : {}),
  };
}

/** Whether the line goes on through the device, on this bus type or as another segment. */
function leadsOn(site: Site, landing: Landing): boolean {
  return portsAcross(site, landing, 'repeats').length > 0;
}

function hasOwnTerminator(site: Site, { device, member }: Landing): boolean {
  const resolved = resolvePort(site, device, member);
  return resolved?.port.terminatorOhm !== undefined || resolved?.equipment.role === 'terminator';
}

/** Estimated cable in metres between every two landings; undefined where a room or its place is missing. */
function estimatesBetween(site: Site, bus: Bus): readonly (readonly number[])[] | undefined {
  const settings = estimateSettings(site);
  const rooms = bus.landings.map(({ device }) => {
    const record = site.devices.get(device);
    return record && roomOf(site, record);
  });
  const rows: number[][] = [];
  for (const one of rooms) {
    const row: number[] = [];
    for (const other of rooms) {
      const estimate = estimatedLength(settings, one, other);
      if (estimate === undefined) {
        return undefined;
      }
      row.push(estimate.lengthM);
    }
    rows.push(row);
  }
  return rows;
}

/** A stated length belongs to a pair of neighbours: it stays where they stay neighbours. */
function inOrder(bus: Bus, route: readonly number[]): readonly ReorderedLanding[] {
  const lastPosition = route.length - 1;
  const [first, last] = [bus.landings[0]!, bus.landings.at(-1)!];
  return route.map((index, position) => {
    const landing = bus.landings[index]!;
    const before = position === 0 ? undefined : route[position - 1]!;
    const later = before === undefined ? undefined : Math.max(before, index);
    const lengthM =
      before !== undefined && Math.abs(before - index) === 1
        ? bus.landings[later!]!.lengthM
        : undefined;
    // A terminator in the middle was wrong before, and another finding says so.
    const wasEnd = landing === first || landing === last;
    const terminated =
      position === 0
        ? first.terminated
        : position === lastPosition
          ? last.terminated
          : !wasEnd && landing.terminated;
    return { landing: index, ...(lengthM === undefined ? {} : { lengthM }), terminated };
  });
}

function reordered(bus: Bus, order: readonly ReorderedLanding[]): Bus {
  return {
    ...bus,
    landings: order.map(({ landing, lengthM, terminated }, index) => {
      const { from, lengthM: before, ...rest } = bus.landings[landing]!;
      void from;
      void before;
      return {
        ...rest,
        index,
        terminated,
        ...(index === 0 ? {} : { from: index - 1 }),
        ...(lengthM === undefined ? {} : { lengthM }),
      };
    }),
  };
}

/** Whether neither signal nor power nor the way to the source suffers so that a limit is broken. */
function isNoWorse(site: Site, trial: Site, bus: Bus): boolean {
  const moved = trial.buses.get(bus.name)!;
  const [now, then] = [signalOf(site, bus), signalOf(trial, moved)];
  const minimumV = poweredSegmentOf(site, bus)?.minimumV;
  return (
    keeps(valueOf(now?.idle), valueOf(then?.idle), RECEIVER_THRESHOLD_V) &&
    keeps(valueOf(now?.farSignal), valueOf(then?.farSignal), RECEIVER_THRESHOLD_V) &&
    keeps(leastVoltageOf(site, bus), leastVoltageOf(trial, moved), minimumV) &&
    keepsWayToSource(site, trial, bus)
  );
}

/** Whether a value that must not be low stays where it was, or above its least. */
function keeps(
  now: number | undefined,
  then: number | undefined,
  least: number | undefined,
): boolean {
  return (
    now === undefined ||
    least === undefined ||
    (then !== undefined && !isAbove(Math.min(now, least), then))
  );
}

function valueOf(figure: PlacedFigure | undefined): number | undefined {
  return figure?.known === true ? figure.value : undefined;
}

function leastVoltageOf(site: Site, bus: Bus): number | undefined {
  const voltagesV = voltagesOfBus(site, bus).map(({ voltageV }) => voltageV);
  return voltagesV.length === 0 ? undefined : Math.min(...voltagesV);
}

function keepsWayToSource(site: Site, trial: Site, bus: Bus): boolean {
  const limitM = site.busTypes.get(bus.busType)?.lengthLimitM.source;
  const wayM = wayToSourceM(trial, trial.buses.get(bus.name)!);
  return limitM === undefined || !isAbove(wayM, Math.max(limitM, wayToSourceM(site, bus)));
}

function wayToSourceM(site: Site, bus: Bus): number {
  const { graph, segment } = geometryOf(site, bus);
  const sources = segment.ports.filter(({ resolved }) => resolved.port.gives !== undefined);
  const nodes = sources.map(({ position }) => graph.nodeOf[position]!);
  return nodes.length === 0 ? 0 : Math.max(...distancesToNearest(graph, nodes));
}
