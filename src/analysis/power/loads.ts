/**
 * What ways and outlets have to carry: the demands of everything behind them, added up at nominal
 * voltage. Ways and direct-current outlets count in A (three-phase: of each phase, balanced),
 * alternating-current outlets in VA.
 */
import type { Equipment, Inlet, Outlet } from '../../model/equipment.js';
import type { Basis, Term } from '../../model/finding.js';
import type { Place } from '../../model/origin.js';
import type { Board, Device, Way } from '../../model/records.js';
import { equipmentOf, inletOfOutlet, memberKey } from '../../model/site.js';
import type { PowerPoint, Site } from '../../model/site.js';
import type { Feed } from '../../model/wiring.js';
import { memoised } from '../memo.js';
import { term } from '../working.js';
import { poweredSegmentOf } from './bus-load.js';
import type { Gap } from './bus-load.js';
import { consumerOfLanding, consumersOf, pointsOf } from './consumers.js';
import type { Consumer, InletConsumer } from './consumers.js';
import {
  demandAt,
  isAmount,
  nominalOfPoint,
  phaseFactor,
  powerDemand,
  statedDemand,
} from './demand.js';
import type { Demand, Nominal } from './demand.js';
import { poeBudgetOf } from './poe.js';
import { unitOf } from './point-rating.js';
import type { LoadUnit } from './point-rating.js';
import { powerTexts } from './texts.js';
import { fitsPoint } from './type-match.js';

/** What one consumer adds to a load. */
export interface LoadPart {
  /** `ZC-1.supply`, or a board's name. */
  readonly subject: string;
  readonly at: Place;
  /** In the unit of the load. */
  readonly amount: number;
  readonly basis: Basis;
}

/** A load as a sum. */
export interface LoadSum {
  readonly unit: LoadUnit;
  /** In the order of the text. */
  readonly parts: readonly LoadPart[];
  /** What is not known of it; where there is any, the sum is a lower bound. */
  readonly gaps: readonly Gap[];
  /** The sum of the known parts. */
  readonly amount: number;
  /** The same in VA; undefined where the source states no voltage. */
  readonly apparentVA: number | undefined;
}

/** The loads of a board's ways, by the ways' names. */
export const loadsOfBoard: (site: Site, board: Board) => ReadonlyMap<string, LoadSum> = memoised(
  (site, board) =>
    new Map(
      board.ways.map((way) => {
        const key = memberKey(board.name, way.name);
        return [way.name, loadOfPoint(site, { kind: 'way', key, board, way }, new Set())];
      }),
    ),
);

/** The loads of a device's outlets, by the outlets' names. */
export const loadsOfDevice: (site: Site, device: Device) => ReadonlyMap<string, LoadSum> = memoised(
  (site, device) => {
    const equipment = equipmentOf(site, device);
    return new Map(
      (equipment?.outlets ?? []).map((outlet) => [
        outlet.name,
        loadOfPoint(site, outletPoint(device, equipment!, outlet), new Set()),
      ]),
    );
  },
);

/** The load of a way or outlet. */
export function loadOf(site: Site, point: PowerPoint): LoadSum {
  const loads =
    point.kind === 'way' ? loadsOfBoard(site, point.board) : loadsOfDevice(site, point.device);
  const name = point.kind === 'way' ? point.way.name : point.outlet.name;
  return loads.get(name) ?? loadOfPoint(site, point, new Set());
}

/** What a feed alone adds to its outlet, in the outlet's unit; undefined where the outlet is not known. */
export const loadOfFeed: (site: Site, feed: Feed) => LoadSum | undefined = memoised(
  (site, feed) => {
    const consumers = feed.landings.map((landing) => consumerOfLanding(site, feed, landing));
    const point = pointsOf(site, { kind: 'landing', feed, landing: feed.landings[0]! })[0];
    return point && sumOf(site, point, consumers, new Set());
  },
);

/** What an inlet takes, or what is missing to tell; `atLeastVA` is known all the same. */
export type InletDemand =
  | { readonly known: true; readonly demand: Demand; readonly basis: Basis }
  | { readonly known: false; readonly gap: Gap; readonly atLeastVA: number };

/** An inlet with what its name stands for. */
type NamedInlet = Pick<InletConsumer, 'subject' | 'resolved'>;

/** What an inlet takes from a source: its stated figure, never less than what it passes on. */
export function demandOfInlet(site: Site, consumer: NamedInlet, source: Nominal): InletDemand {
  return demandBehind(site, consumer, source, new Set());
}

/** Ways, outlets and inlets on the way from the source down; what comes back to one of them is a loop. */
type Path = ReadonlySet<string>;

function loadOfPoint(site: Site, point: PowerPoint, path: Path): LoadSum {
  return sumOf(site, point, consumersOf(site, point.key), new Set([...path, point.key]));
}

function sumOf(site: Site, point: PowerPoint, consumers: readonly Consumer[], path: Path): LoadSum {
  const unit = unitOf(point);
  const nominal = nominalOfPoint(point);
  const volts = phaseFactor(nominal) * (nominal.voltage?.volts ?? Number.NaN);
  const parts: LoadPart[] = [];
  const gaps: Gap[] = [];
  const add = (consumer: Consumer, amount: number, basis: Basis): void => {
    parts.push({ subject: consumer.subject, at: consumer.at, amount, basis });
  };
  for (const consumer of consumers) {
    if (consumer.kind === 'board') {
      const board = loadOfBoardAt(site, consumer.board, point, path);
      gaps.push(...board.gaps);
      add(consumer, board.currentA, 'computed');
      continue;
    }
    if (consumer.resolved !== undefined && !fitsEvery(site, consumer)) {
      gaps.push(mismatchGap(consumer));
      continue;
    }
    const found = demandBehind(site, consumer, nominal, path);
    if (!found.known) {
      gaps.push(found.gap);
      if (found.atLeastVA > 0 && volts > 0) {
        add(consumer, unit === 'VA' ? found.atLeastVA : found.atLeastVA / volts, 'computed');
      }
      continue;
    }
    const taken = demandAt(found.demand, nominal.voltage?.volts ?? found.demand.nominalV);
    add(consumer, unit === 'VA' ? taken.apparentVA : taken.currentA, found.basis);
  }
  const amount = sumInOrder(parts.map((part) => part.amount));
  const apparentVA = unit === 'VA' ? amount : volts > 0 ? amount * volts : undefined;
  return { unit, parts, gaps, amount, apparentVA };
}

/** A sum that does not depend on the order of its terms, down to the last digit. */
function sumInOrder(amounts: readonly number[]): number {
  return [...amounts].sort((one, other) => one - other).reduce((sum, one) => sum + one, 0);
}

function fitsEvery(site: Site, consumer: InletConsumer): boolean {
  const inlet = consumer.resolved!.inlet;
  return pointsOf(site, consumer.connection).every((point) => fitsPoint(inlet, point));
}

function mismatchGap(consumer: InletConsumer): Gap {
  return {
    subject: consumer.subject,
    needs: powerTexts.needsFittingSource(consumer.subject),
    reason: powerTexts.typeMismatch(consumer.subject),
  };
}

function demandBehind(site: Site, consumer: NamedInlet, source: Nominal, path: Path): InletDemand {
  const { subject, resolved } = consumer;
  if (resolved === undefined) {
    const gap = {
      subject,
      needs: powerTexts.needsName(subject),
      reason: powerTexts.nameUnknown(subject),
    };
    return { known: false, gap, atLeastVA: 0 };
  }
  const { device, equipment, inlet } = resolved;
  if (path.has(subject)) {
    const gap = {
      subject,
      needs: powerTexts.needsAcyclicSupply(subject),
      reason: powerTexts.supplyLoop(subject),
    };
    return { known: false, gap, atLeastVA: 0 };
  }
  const stated = statedDemand(inlet, source);
  const behind = behindInlet(site, device, inlet, new Set([...path, subject]));
  if (stated === undefined) {
    const gap = {
      subject,
      needs: powerTexts.needsFigure(equipment.name, inlet),
      reason: powerTexts.figureUnstated(subject),
    };
    return { known: false, gap, atLeastVA: behind.apparentVA };
  }
  if (behind.apparentVA <= stated.apparentVA * (1 + 1e-9)) {
    return { known: true, demand: stated, basis: 'stated' };
  }
  const raised = powerDemand(behind.apparentVA, {
    voltage: inlet.voltage ?? source.voltage,
    threePhase: stated.threePhase,
  });
  return {
    known: true,
    demand: { ...(raised ?? stated), terms: [...stated.terms, ...behind.terms] },
    basis: 'computed',
  };
}

/** The loads of the outlets and giving ports that an inlet feeds. */
function behindInlet(
  site: Site,
  device: Device,
  inlet: Inlet,
  path: Path,
): { readonly apparentVA: number; readonly terms: readonly Term[] } {
  const equipment = equipmentOf(site, device);
  if (equipment === undefined) {
    return { apparentVA: 0, terms: [] };
  }
  const terms: Term[] = [];
  let apparentVA = 0;
  const count = (member: string, amountVA: number): void => {
    if (amountVA > 0) {
      apparentVA += amountVA;
      terms.push(term(`passed on to ${member}`, amountVA, 'VA', 'computed'));
    }
  };
  for (const outlet of equipment.outlets) {
    const feeding = inletOfOutlet(equipment, outlet);
    const point = outletPoint(device, equipment, outlet);
    // Where nobody says which of several inlets feeds an outlet, each of them may have to.
    if ((feeding === undefined || feeding === inlet) && !path.has(point.key)) {
      count(point.key, loadOfPoint(site, point, path).apparentVA ?? 0);
    }
  }
  for (const port of equipment.ports) {
    if (port.gives !== undefined && !(equipment.inlets.length > 1 && inlet.optional)) {
      count(memberKey(device.name, port.name), givenVA(site, device, port.name));
    }
  }
  if (!(equipment.inlets.length > 1 && inlet.optional)) {
    // A switch passes on what its sockets hold ready for the devices that live on them.
    count(powerTexts.sockets(device.name), poeBudgetOf(site, device)?.loadW ?? 0);
  }
  return { apparentVA, terms };
}

function givenVA(site: Site, device: Device, port: string): number {
  const name = memberKey(device.name, port);
  const landings = site.busLandings.get(name) ?? [];
  return landings.reduce((sum, { run }) => {
    const powered = poweredSegmentOf(site, run);
    const gives = powered?.givers.some((giver) => giver.port.name === name) ?? false;
    return gives ? sum + powered!.loadA * powered!.nominalV : sum;
  }, 0);
}

/** The load of a whole board in A of the way that feeds it. */
function loadOfBoardAt(
  site: Site,
  board: Board,
  feeding: PowerPoint,
  path: Path,
): { readonly currentA: number; readonly gaps: readonly Gap[] } {
  const nominal = nominalOfPoint(feeding);
  const currentsA: number[] = [];
  const gaps: Gap[] = [];
  for (const way of board.ways) {
    const key = memberKey(board.name, way.name);
    if (path.has(key)) {
      gaps.push({
        subject: key,
        needs: powerTexts.needsAcyclicSupply(key),
        reason: powerTexts.supplyLoop(key),
      });
      continue;
    }
    const load = loadOfPoint(site, { kind: 'way', key, board, way }, path);
    gaps.push(...load.gaps);
    const converted = convertedCurrentA(load, way, nominal);
    if (converted !== undefined) {
      currentsA.push(converted);
    } else if (load.amount > 0) {
      gaps.push(voltageGap(board, way, feeding));
    }
  }
  return { currentA: sumInOrder(currentsA), gaps };
}

/** The current of a way in A of the way that feeds its board; the same where both are of one kind. */
function convertedCurrentA(load: LoadSum, way: Way, feeding: Nominal): number | undefined {
  if (way.voltage?.volts === feeding.voltage?.volts && way.threePhase === feeding.threePhase) {
    return load.amount;
  }
  const feedingV = feeding.voltage?.volts;
  return load.apparentVA === undefined || !isAmount(feedingV) || feedingV === 0
    ? undefined
    : load.apparentVA / (phaseFactor(feeding) * feedingV);
}

function voltageGap(board: Board, way: Way, feeding: PowerPoint): Gap {
  const key = memberKey(board.name, way.name);
  if (way.voltage === undefined || feeding.kind !== 'way') {
    const needs = powerTexts.needsWayVoltage(board.name, way.name);
    return { subject: key, needs, reason: powerTexts.voltageUnstated(key) };
  }
  const needs = powerTexts.needsWayVoltage(feeding.board.name, feeding.way.name);
  return { subject: key, needs, reason: powerTexts.voltageUnstated(feeding.key) };
}

function outletPoint(device: Device, equipment: Equipment, outlet: Outlet): PowerPoint {
  return { kind: 'outlet', key: memberKey(device.name, outlet.name), device, equipment, outlet };
}
