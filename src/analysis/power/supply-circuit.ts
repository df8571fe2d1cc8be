/** Circuits behind ways and outlets: feeds and inlet lines. */
import { part, placeOf } from '../../model/origin.js';
import type { Device } from '../../model/records.js';
import { compareNames, memberKey, resolvePowerPoint, roomOf } from '../../model/site.js';
import type { DeviceInletLine, Site } from '../../model/site.js';
import type { Feed } from '../../model/wiring.js';
import { memoised } from '../memo.js';
import { estimatedLength, estimateSettings, segmentsOf } from '../run.js';
import type { LengthBasis, Segment, SegmentEnd } from '../run.js';
import type { Gap } from './bus-load.js';
import type {
  Circuit,
  CircuitBranch,
  CircuitMember,
  CircuitNode,
  CircuitSource,
} from './circuit.js';
import { consumerOfLanding, consumerOfLine, feedEnds, pointsOf } from './consumers.js';
import type { InletConsumer } from './consumers.js';
import { demandAt, isAmount, networkLoad, nominalOfPoint } from './demand.js';
import { demandOfInlet } from './loads.js';
import { sourceFigures } from './source-figures.js';
import { powerTexts } from './texts.js';
import { fitsPoint } from './type-match.js';

/**
 * The circuit of a feed, with what shares a source of stated resistance with it. The feed may be a
 * changed one that does not stand in the site yet.
 */
export const circuitOfFeed: (site: Site, feed: Feed) => Circuit = memoised((site, feed) =>
  buildCircuit(site, closure(site, { feeds: [feed], lines: [] }), feed.from),
);

/** The circuits of a device's inlet lines, by the lines' indexes. */
export const circuitsOfLines: (site: Site, device: Device) => ReadonlyMap<number, Circuit> =
  memoised(
    (site, device) =>
      new Map(
        device.inletLines.map((line) => [
          line.index,
          buildCircuit(site, closure(site, { feeds: [], lines: [{ device, line }] }), line.from),
        ]),
      ),
  );

/** The circuit in which a connection stands. */
export function circuitOfConnection(
  site: Site,
  connection: InletConsumer['connection'],
): Circuit | undefined {
  if (connection.kind === 'landing') {
    return circuitOfFeed(site, connection.feed);
  }
  const device = site.devices.get(connection.device);
  return device && circuitsOfLines(site, device).get(connection.line.index);
}

/** The id of the node of a landing of a feed. */
export function landingNode(feed: Feed, landing: number): string {
  return `${feed.name}/${landing}`;
}

interface Members {
  readonly feeds: readonly Feed[];
  readonly lines: readonly DeviceInletLine[];
}

/** Everything that shares a source of stated resistance: the load of one is felt by the others. */
function closure(site: Site, start: Members): Members {
  const feeds = new Set(start.feeds);
  const lines = new Map(start.lines.map((one) => [lineKey(one), one]));
  const seen = new Set<string>();
  const given = new Set(start.feeds.map((feed) => feed.name));
  const visit = (from: { readonly owner: string; readonly member: string }): void => {
    const point = resolvePowerPoint(site, from);
    if (point === undefined || seen.has(point.key) || sourceFigures(point).resistanceAssumed) {
      return;
    }
    seen.add(point.key);
    for (const feed of site.feedsFrom.get(point.key) ?? []) {
      // A feed that was given may be a changed one, and then stands for the site's own.
      if (!given.has(feed.name)) {
        feeds.add(feed);
      }
    }
    for (const line of site.inletLinesFrom.get(point.key) ?? []) {
      lines.set(lineKey(line), line);
    }
  };
  for (const { line } of start.lines) {
    visit(line.from);
  }
  // A set is walked in the order of insertion, and what is added on the way is still met.
  for (const feed of feeds) {
    feedEnds(feed).forEach(visit);
  }
  // By name, so that every member has the same circuit, whatever the order of the text.
  return {
    feeds: [...feeds].sort((one, other) => compareNames(one.name, other.name)),
    lines: [...lines.values()].sort((one, other) => compareNames(lineKey(one), lineKey(other))),
  };
}

function buildCircuit(site: Site, members: Members, from: Feed['from']): Circuit {
  const builder = new CircuitBuilder(site);
  members.feeds.forEach((feed) => builder.addFeed(feed));
  members.lines.forEach((line) => builder.addLine(line));
  return builder.finish(memberKey(from.owner, from.member));
}

class CircuitBuilder {
  readonly #site: Site;
  readonly #nodes: CircuitNode[] = [];
  readonly #branches: CircuitBranch[] = [];
  readonly #sources = new Map<string, CircuitSource>();
  readonly #gaps: Gap[] = [];
  #threePhase = false;

  constructor(site: Site) {
    this.#site = site;
  }

  addFeed(feed: Feed): void {
    const ends = feedEnds(feed);
    for (const end of ends) {
      this.#addSource(end, ends.length > 1);
    }
    for (const landing of feed.landings) {
      const consumer = consumerOfLanding(this.#site, feed, landing);
      this.#addConsumer(landingNode(feed, landing.index), consumer);
    }
    const fromText = memberKey(feed.from.owner, feed.from.member);
    for (const segment of segmentsOf(this.#site, feed)) {
      const to = feedNode(feed, segment.to);
      this.#branches.push({
        id: `${feed.name}>${to}`,
        from: feedNode(feed, segment.from),
        to,
        lengthM: this.#lengthOf(segment, feed),
        basis: segment.basis,
        cable: this.#cableOf(
          segment.cableName,
          this.#subjectAt(feed, segment.to),
          powerTexts.needsFeedCable(feed.name, fromText),
        ),
        at:
          typeof segment.to === 'number'
            ? placeOf(feed.name, part('land', segment.to))
            : placeOf(feed.name, 'last'),
      });
    }
  }

  addLine({ device, line }: DeviceInletLine): void {
    const consumer = consumerOfLine(this.#site, device.name, line);
    const id = `${device.name}/inlet/${line.index}`;
    const from = memberKey(line.from.owner, line.from.member);
    this.#addSource(line.from, false);
    this.#addConsumer(id, consumer);
    const length = this.#lineLength(device, line);
    const needs = powerTexts.needsLineCable(device.name, line.inlet, from);
    const cable = this.#cableOf(line.cable, consumer.subject, needs);
    if (length === undefined) {
      this.#gap(consumer.subject, needs, powerTexts.lengthUnknown(consumer.subject));
    }
    this.#branches.push({
      id: `${id}<${from}`,
      from,
      to: id,
      lengthM: length?.lengthM ?? 0,
      basis: length?.basis ?? 'unknown',
      cable,
      at: consumer.at,
    });
  }

  finish(reference: string): Circuit {
    return {
      nominalV: this.#sources.get(reference)?.nominalV ?? Number.NaN,
      threePhase: this.#threePhase,
      nodes: this.#nodes,
      branches: this.#branches,
      sources: [...this.#sources.values()],
      gaps: this.#gaps,
    };
  }

  #addSource(written: { readonly owner: string; readonly member: string }, shared: boolean): void {
    const id = memberKey(written.owner, written.member);
    const known = this.#sources.get(id);
    const point = resolvePowerPoint(this.#site, written);
    const decoupled = shared && point?.kind === 'outlet' && point.outlet.decoupled;
    if (known !== undefined) {
      if (decoupled && !known.decoupled) {
        this.#sources.set(id, { ...known, decoupled });
      }
      return;
    }
    this.#nodes.push({ id, members: [] });
    if (point === undefined) {
      this.#gap(id, powerTexts.needsName(id), powerTexts.nameUnknown(id));
      return;
    }
    const { gap, ...figures } = sourceFigures(point);
    if (gap !== undefined) {
      this.#gaps.push(gap);
    }
    this.#threePhase ||= nominalOfPoint(point).threePhase;
    this.#sources.set(id, { id, node: id, ...figures, decoupled });
  }

  #addConsumer(id: string, consumer: InletConsumer): void {
    const points = pointsOf(this.#site, consumer.connection);
    const { subject, at } = consumer;
    const member = (load: CircuitMember['load'], nominalA: number | undefined): void => {
      this.#nodes.push({ id, members: [{ subject, at, load, nominalA }] });
    };
    const inlet = consumer.resolved?.inlet;
    if (inlet !== undefined && !points.every((point) => fitsPoint(inlet, point))) {
      this.#gap(subject, powerTexts.needsFittingSource(subject), powerTexts.typeMismatch(subject));
      member(undefined, undefined);
      return;
    }
    const source =
      points[0] === undefined
        ? { voltage: undefined, threePhase: false }
        : nominalOfPoint(points[0]);
    const found = demandOfInlet(this.#site, consumer, source);
    if (!found.known) {
      this.#gaps.push(found.gap);
      member(undefined, undefined);
      return;
    }
    const sourceV = source.voltage?.volts ?? found.demand.nominalV;
    member(networkLoad(found.demand), demandAt(found.demand, sourceV).currentA);
  }

  #lengthOf(segment: Segment, feed: Feed): number {
    if (segment.lengthM === null) {
      const subject = this.#subjectAt(feed, segment.to);
      const needs =
        typeof segment.to === 'number' ? powerTexts.needsLength(subject) : powerTexts.needsLast;
      this.#gap(subject, needs, powerTexts.lengthUnknown(subject));
    }
    return segment.lengthM ?? 0;
  }

  #cableOf(name: string | undefined, subject: string, needs: string): CircuitBranch['cable'] {
    if (name === undefined) {
      this.#gap(subject, needs, powerTexts.cableUnstated(subject));
      return undefined;
    }
    const cable = this.#site.cables.get(name);
    if (cable === undefined) {
      this.#gap(subject, powerTexts.needsName(name), powerTexts.nameUnknown(name));
    } else if (cable.cores === undefined) {
      this.#gap(subject, powerTexts.needsCores(cable), powerTexts.coresUnstated(cable.name));
    }
    return cable;
  }

  #subjectAt(feed: Feed, end: SegmentEnd): string {
    const landing = typeof end === 'number' ? feed.landings[end] : undefined;
    return landing === undefined ? feedNode(feed, end) : memberKey(landing.device, landing.member);
  }

  #lineLength(
    device: Device,
    line: DeviceInletLine['line'],
  ): { readonly lengthM: number; readonly basis: LengthBasis } | undefined {
    if (isAmount(line.lengthM)) {
      return { lengthM: line.lengthM, basis: 'stated' };
    }
    const site = this.#site;
    const owner = site.boards.get(line.from.owner) ?? site.devices.get(line.from.owner);
    const estimate = estimatedLength(
      estimateSettings(site),
      owner && roomOf(site, owner),
      roomOf(site, device),
    );
    return estimate && { lengthM: estimate.lengthM, basis: 'estimated' };
  }

  #gap(subject: string, needs: string, reason: string): void {
    this.#gaps.push({ subject, needs, reason });
  }
}

function feedNode(feed: Feed, end: SegmentEnd): string {
  if (typeof end === 'number') {
    return landingNode(feed, end);
  }
  const written = end === 'outlet' ? feed.from : (feed.and ?? feed.from);
  return memberKey(written.owner, written.member);
}

function lineKey({ device, line }: DeviceInletLine): string {
  return `${device.name}/${line.index}`;
}
