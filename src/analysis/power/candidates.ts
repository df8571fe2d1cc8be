/** Where an inlet could be fed from: ways and outlets of the right type with enough left, nearest first. */
import type { Inlet } from '../../model/equipment.js';
import type { Device } from '../../model/records.js';
import { compareNames, equipmentOf, memberKey, roomOf } from '../../model/site.js';
import type { PlacedRoom, PowerPoint, Site } from '../../model/site.js';
import type { Feed } from '../../model/wiring.js';
import { DEFAULT_ESTIMATE, estimatedLength } from '../run.js';
import { isAbove } from '../bus/limits.js';
import { connectionsOf, consumersOf, pointsOf } from './consumers.js';
import { demandAt, nominalOfPoint } from './demand.js';
import { demandOfInlet, loadOf, ratingOf, unitOf } from './loads.js';
import type { LoadUnit } from './loads.js';
import { withInletLine, withLanding } from './trial.js';
import { fitsPoint } from './type-match.js';
import { inletStatesOf, isBelow, voltagesOfFeed } from './voltages.js';

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
 * where either side must not be, and with enough voltage as far as lengths and cables are known.
 *
 * Where the inlet is connected already, its present source is left out.
 */
export function supplyCandidates(
  site: Site,
  device: Device,
  inlet: Inlet,
): readonly SupplyCandidate[] {
  const present = new Set(
    connectionsOf(site, device.name, inlet.name).flatMap((consumer) =>
      pointsOf(site, consumer.connection).map((point) => point.key),
    ),
  );
  const room = roomOf(site, device);
  return pointsOfSite(site)
    .filter((point) => !present.has(point.key))
    .flatMap((point) => candidateAt(site, device, inlet, point) ?? [])
    .filter((candidate) => holdsVoltage(site, device, inlet, candidate))
    .sort(
      (one, other) =>
        distanceM(site, one.point, room) - distanceM(site, other.point, room) ||
        compareNames(one.point.key, other.point.key),
    );
}

/** The site as it is when an inlet without a connection takes a candidate. */
export function withCandidate(
  site: Site,
  device: Device,
  inlet: Inlet,
  { point, feed }: SupplyCandidate,
): Site {
  if (feed !== undefined) {
    return withLanding(site, feed.name, {
      device: device.name,
      member: inlet.name,
      covered: inlet.exposed,
    });
  }
  return withInletLine(site, device.name, inlet.name, endOf(point));
}

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
  const outlets = [...site.devices.values()].flatMap((device) => {
    const equipment = equipmentOf(site, device);
    return (equipment?.outlets ?? []).map((outlet): PowerPoint => ({
      kind: 'outlet',
      key: memberKey(device.name, outlet.name),
      device,
      equipment: equipment!,
      outlet,
    }));
  });
  return [...ways, ...outlets];
}

function candidateAt(
  site: Site,
  device: Device,
  inlet: Inlet,
  point: PowerPoint,
): SupplyCandidate | undefined {
  const nominal = nominalOfPoint(point);
  if (
    nominal.voltage === undefined ||
    inlet.voltage === undefined ||
    !fitsPoint(inlet, point) ||
    !maySharePoint(site, inlet, point) ||
    isFedBy(site, point, device.name)
  ) {
    return undefined;
  }
  const rating = ratingOf(point);
  const load = loadOf(site, point);
  const demand = demandOfInlet(
    site,
    {
      kind: 'inlet',
      subject: memberKey(device.name, inlet.name),
      at: { declaration: device.name, part: 'name' },
      connection: {
        kind: 'line',
        device: device.name,
        line: {
          index: -1,
          inlet: inlet.name,
          from: endOf(point),
          covered: false,
          existing: false,
        },
      },
      resolved: { device, equipment: equipmentOf(site, device)!, inlet },
    },
    nominal,
  );
  if (rating === undefined || load.gaps.length > 0 || !demand.known) {
    return undefined;
  }
  const unit = unitOf(point);
  const taken = demandAt(demand.demand, nominal.voltage.volts);
  const spare = rating - load.amount;
  if (isAbove(unit === 'VA' ? taken.apparentVA : taken.currentA, spare)) {
    return undefined;
  }
  // A run that is there already is gone on with; one with two outlets is a design of its own.
  const feed = (site.feedsFrom.get(point.key) ?? []).find((one) => one.and === undefined);
  return { point, feed, spare, unit };
}

/** A dedicated inlet wants a source for itself, and a source that has one is not for others. */
function maySharePoint(site: Site, inlet: Inlet, point: PowerPoint): boolean {
  const others = consumersOf(site, point.key);
  return inlet.dedicated
    ? others.length === 0
    : others.every((other) => other.kind === 'board' || other.resolved?.inlet.dedicated !== true);
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
      waiting.push(
        ...(from === undefined
          ? []
          : pointsOf(site, {
              kind: 'line',
              device: '',
              line: { index: -1, inlet: '', from, covered: false, existing: false },
            })),
      );
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

/** Whether nothing on the candidate falls below its least voltage once the inlet is on it. */
function holdsVoltage(
  site: Site,
  device: Device,
  inlet: Inlet,
  candidate: SupplyCandidate,
): boolean {
  const { feed } = candidate;
  if (feed === undefined) {
    return true;
  }
  const trial = withCandidate(site, device, inlet, candidate);
  const changed = trial.feeds.get(feed.name)!;
  const limitPercent = site.settings?.voltageDropLimitPercent;
  const drops = voltagesOfFeed(trial, changed);
  if (limitPercent !== undefined && drops.some((one) => isAbove(one.dropPercent, limitPercent))) {
    return false;
  }
  return changed.landings.every((landing) => {
    const landed = trial.devices.get(landing.device);
    return (
      landed === undefined ||
      inletStatesOf(trial, landed).every(
        ({ state, voltage, minimumV }) =>
          state.kind !== 'collapsed' &&
          (voltage === undefined || minimumV === undefined || !isBelow(voltage.voltageV, minimumV)),
      )
    );
  });
}

function distanceM(site: Site, point: PowerPoint, room: PlacedRoom | undefined): number {
  const owner = point.kind === 'way' ? point.board : point.device;
  return estimatedLength(DEFAULT_ESTIMATE, roomOf(site, owner), room)?.lengthM ?? Number.MAX_VALUE;
}

function endOf(point: PowerPoint): { readonly owner: string; readonly member: string } {
  return point.kind === 'way'
    ? { owner: point.board.name, member: point.way.name }
    : { owner: point.device.name, member: point.outlet.name };
}
