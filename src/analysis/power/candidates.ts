/** Where an inlet could be fed from: ways and outlets of the right type with enough left, nearest first. */
import type { Inlet } from '../../model/equipment.js';
import type { Device } from '../../model/records.js';
import {
  compareNames,
  equipmentOf,
  memberKey,
  resolvePowerPoint,
  roomOf,
} from '../../model/site.js';
import type { PlacedRoom, PowerPoint, ResolvedInlet, Site } from '../../model/site.js';
import type { Feed } from '../../model/wiring.js';
import { DEFAULT_ESTIMATE, estimatedLength } from '../run.js';
import { isAbove } from '../bus/limits.js';
import { unlockableBehind } from '../graph/isolation.js';
import { memoisedOnce } from '../memo.js';
import { stateOf } from './circuit.js';
import { connectionsOf, consumersOf, pointsOf } from './consumers.js';
import { demandAt, nominalOfPoint } from './demand.js';
import { demandOfInlet, loadOf } from './loads.js';
import { ratingOf } from './point-rating.js';
import type { LoadUnit } from './point-rating.js';
import { circuitOfFeed } from './supply-circuit.js';
import { withLanding } from './trial.js';
import { voltageDropLimit } from './temperature.js';
import { fitsPoint } from './type-match.js';
import { isBelow, minimumAt, voltagesIn } from './voltages.js';

/** A way to feed an inlet. */
export interface SupplyCandidate {
  readonly point: PowerPoint;
  /** The feed on which the inlet would be landed; undefined for a line of its own. */
  readonly feed: Feed | undefined;
  /** What is left of the way or outlet before. */
  readonly spare: number;
  readonly unit: LoadUnit;
}

/**
 * Ways and outlets that can feed an inlet: of the right type, with enough capacity left, not shared
 * where either side must not be, with a lockable point before them, and with enough voltage as far as lengths and cables are known.
 * At most `most` of them, nearest first.
 *
 * Where the inlet is connected already, its present source is left out.
 */
export function supplyCandidates(
  site: Site,
  device: Device,
  inlet: Inlet,
  most: number,
): readonly SupplyCandidate[] {
  const resolved = equipmentOf(site, device);
  if (resolved === undefined || inlet.voltage === undefined) {
    return [];
  }
  const present = new Set(
    connectionsOf(site, device.name, inlet.name).flatMap((consumer) =>
      pointsOf(site, consumer.connection).map((point) => point.key),
    ),
  );
  const room = roomOf(site, device);
  const suiting = sparePoints(site)
    .filter(
      (one) =>
        !present.has(one.point.key) &&
        fitsPoint(inlet, one.point) &&
        (inlet.dedicated ? one.isFree : !one.isDedicated) &&
        hasRoomFor(site, { device, equipment: resolved, inlet }, one),
    )
    .map((one) => ({ ...one, distanceM: distanceM(site, one.point, room) }))
    .sort(
      (one, other) =>
        one.distanceM - other.distanceM || compareNames(one.point.key, other.point.key),
    );
  const found: SupplyCandidate[] = [];
  for (const { point, spare, unit } of suiting) {
    if (found.length === most) {
      break;
    }
    // A run that is there already is gone on with; one with two outlets is a design of its own.
    const feed = (site.feedsFrom.get(point.key) ?? []).find((one) => one.and === undefined);
    if (
      !isFedBy(site, point, device.name) &&
      unlockableBehind(site, point).length === 0 &&
      (feed === undefined || holdsVoltage(site, feed, device, inlet))
    ) {
      found.push({ point, feed, spare, unit });
    }
  }
  return found;
}

/** A way or outlet with something left. */
interface SparePoint {
  readonly point: PowerPoint;
  readonly spare: number;
  readonly unit: LoadUnit;
  /** Whether nothing hangs on it. */
  readonly isFree: boolean;
  /** Whether an inlet on it wants it for itself. */
  readonly isDedicated: boolean;
}

/** Every way and outlet of which rating and load are known; ways first. */
const sparePoints: (site: Site) => readonly SparePoint[] = memoisedOnce((site) =>
  pointsOfSite(site).flatMap((point): SparePoint[] => {
    const rating = ratingOf(point);
    const load = loadOf(site, point);
    if (
      rating === undefined ||
      load.gaps.length > 0 ||
      nominalOfPoint(point).voltage === undefined
    ) {
      return [];
    }
    const consumers = consumersOf(site, point.key);
    return [
      {
        point,
        spare: rating - load.amount,
        unit: load.unit,
        isFree: consumers.length === 0,
        isDedicated: consumers.some(
          (one) => one.kind === 'inlet' && one.resolved?.inlet.dedicated === true,
        ),
      },
    ];
  }),
);

/** Every way and outlet of a site, ways first. */
function pointsOfSite(site: Site): readonly PowerPoint[] {
  const ways = [...site.boards.values()].flatMap((board) =>
    board.ways.map((way): PowerPoint => ({
      kind: 'way',
      key: memberKey(board.name, way.name),
      board,
      way,
    })),
  );
  const outlets = [...site.equipment.values()].flatMap((equipment) =>
    equipment.outlets.flatMap((outlet) =>
      (site.devicesOf.get(equipment.name) ?? []).map((device): PowerPoint => ({
        kind: 'outlet',
        key: memberKey(device.name, outlet.name),
        device,
        equipment,
        outlet,
      })),
    ),
  );
  return [...ways, ...outlets];
}

function hasRoomFor(
  site: Site,
  resolved: ResolvedInlet,
  { point, spare, unit }: SparePoint,
): boolean {
  const nominal = nominalOfPoint(point);
  const subject = memberKey(resolved.device.name, resolved.inlet.name);
  const found = demandOfInlet(site, { subject, resolved }, nominal);
  if (!found.known) {
    return false;
  }
  const taken = demandAt(found.demand, nominal.voltage!.volts);
  return !isAbove(unit === 'VA' ? taken.apparentVA : taken.currentA, spare);
}

/** Whether a way or outlet gets its energy, over whatever steps, from a device. */
function isFedBy(site: Site, start: PowerPoint, device: string): boolean {
  const seen = new Set<string>();
  const waiting = [start];
  for (let point = waiting.pop(); point !== undefined; point = waiting.pop()) {
    if (seen.has(point.key)) {
      continue;
    }
    seen.add(point.key);
    if (point.kind === 'way') {
      const { from } = point.board;
      const above = from && resolvePowerPoint(site, from);
      waiting.push(...(above === undefined ? [] : [above]));
      continue;
    }
    if (point.device.name === device) {
      return true;
    }
    const { name } = point.device;
    for (const inlet of point.equipment.inlets) {
      for (const consumer of connectionsOf(site, name, inlet.name)) {
        waiting.push(...pointsOf(site, consumer.connection));
      }
    }
  }
  return false;
}

/** Whether nothing on a feed falls below its least voltage once the inlet is landed at its end. */
function holdsVoltage(site: Site, feed: Feed, device: Device, inlet: Inlet): boolean {
  const changed = withLanding(feed, {
    device: device.name,
    member: inlet.name,
    covered: inlet.exposed,
  });
  const circuit = circuitOfFeed(site, changed);
  const limitPercent = voltageDropLimit(site) ?? Number.POSITIVE_INFINITY;
  return (
    stateOf(site, circuit).kind !== 'collapsed' &&
    voltagesIn(site, circuit).every(({ subject, voltageV, dropPercent }) => {
      const minimumV = minimumAt(site, subject);
      return (
        !isAbove(dropPercent, limitPercent) &&
        (minimumV === undefined || !isBelow(voltageV, minimumV))
      );
    })
  );
}

function distanceM(site: Site, point: PowerPoint, room: PlacedRoom | undefined): number {
  const owner = point.kind === 'way' ? point.board : point.device;
  return estimatedLength(DEFAULT_ESTIMATE, roomOf(site, owner), room)?.lengthM ?? Number.MAX_VALUE;
}
