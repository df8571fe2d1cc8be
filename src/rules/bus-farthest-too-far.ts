import { distancesToNearest } from '../analysis/bus/distances.js';
import { firstBeyond, geometryOf, landingAt } from '../analysis/bus/geometry.js';
import type { BusGeometry } from '../analysis/bus/geometry.js';
import { isAbove } from '../analysis/bus/limits.js';
import { reorderFix, reorderingOf } from '../analysis/bus/reorder.js';
import { segmentOf } from '../analysis/bus/segment.js';
import type { BusLanding } from '../analysis/bus/segment.js';
import type { Site } from '../model/site.js';
import type { Bus } from '../model/wiring.js';
import { defineRule } from './rule.js';
import type { Problem } from './rule.js';
import {
  busPlace,
  landingPlace,
  ledSegment,
  limitPlace,
  measured,
  metres,
  relatedLanding,
} from './support/bus-wording.js';
import type { TypedSegment } from './support/bus-wording.js';
import { beyond } from './support/margin-wording.js';

/** Two ports, or a port and the source, with more cable between them than the type allows. */
export const busFarthestTooFar = defineRule({
  name: 'bus-farthest-too-far',
  severity: 'error',
  of: 'bus',
  acceptable: true,
  *check(site, bus) {
    const segment = ledSegment(site, bus);
    if (segment !== undefined) {
      yield* farthestPorts(site, bus, segment);
      yield* farthestFromSource(site, bus, segment);
    }
  },
  fixes(site, { subject }) {
    const bus = site.buses.get(subject);
    const trial = bus && reorderingOf(site, bus)?.trial;
    const after = trial?.buses.get(subject);
    const segment = trial && after && ledSegment(trial, segmentOf(trial, after).lead);
    const fix = bus && reorderFix(site, bus);
    if (trial === undefined || segment === undefined || fix === undefined) {
      return [];
    }
    const left = [
      ...farthestPorts(trial, segment.lead, segment),
      ...farthestFromSource(trial, segment.lead, segment),
    ];
    return left.length === 0 ? [fix] : [];
  },
});

function* farthestPorts(site: Site, bus: Bus, segment: TypedSegment): Iterable<Problem> {
  const limitM = segment.busType.lengthLimitM.farthest;
  const geometry = geometryOf(site, bus);
  const { farthest } = geometry;
  if (limitM === undefined || farthest === undefined || !isAbove(farthest.lengthM, limitM)) {
    return;
  }
  const one = landingAt(geometry, farthest.one);
  const other = landingAt(geometry, farthest.other);
  const lastStraw = firstBeyond(geometry, farthest, limitM) ?? other;
  yield {
    subject: lastStraw.bus.name,
    at: cablePlace(geometry, lastStraw),
    what: `From ${one.name} to ${other.name} there are ${certainty(geometry)}${metres(farthest.lengthM)} of cable, and ${bus.busType} allows ${metres(limitM)} between any two ports${beyond(farthest.lengthM, limitM)}.`,
    why: 'What one end sends reaches the other too weak or too late.',
    remedy: 'Shorten the way between them, or put a repeater on it.',
    related: [
      busPlace(lastStraw.bus),
      relatedLanding(one, 'The way starts here.'),
      relatedLanding(other, 'The way ends here.'),
      limitPlace(segment.busType, 'length/farthest', `${bus.busType} allows ${metres(limitM)}.`),
    ],
    facts: [measured('farthest-length', farthest.lengthM, 'm')],
    waivable: { value: farthest.lengthM, unit: 'm' },
  };
}

function* farthestFromSource(site: Site, bus: Bus, segment: TypedSegment): Iterable<Problem> {
  const limitM = segment.busType.lengthLimitM.source;
  const geometry = geometryOf(site, bus);
  const sources = segment.ports.filter(({ resolved }) => resolved.port.gives !== undefined);
  if (limitM === undefined || sources.length === 0) {
    return;
  }
  const { nodeOf } = geometry.graph;
  const distancesM = distancesToNearest(
    geometry.graph,
    sources.map(({ position }) => nodeOf[position]!),
  );
  const distanceM = ({ position }: BusLanding): number => distancesM[nodeOf[position]!]!;
  const tooFar = segment.landings.filter(
    (landing) => Number.isFinite(distanceM(landing)) && isAbove(distanceM(landing), limitM),
  );
  const lastStraw = tooFar[0];
  if (lastStraw === undefined) {
    return;
  }
  const farthest = tooFar.reduce((far, one) => (distanceM(one) > distanceM(far) ? one : far));
  const farthestM = distanceM(farthest);
  yield {
    subject: lastStraw.bus.name,
    at: cablePlace(geometry, lastStraw),
    what: `${farthest.name} is ${certainty(geometry)}${metres(farthestM)} of cable away from the port that powers the bus, and ${bus.busType} allows ${metres(limitM)}${beyond(farthestM, limitM)}.`,
    why: 'The voltage that powers and carries the signal falls along the line.',
    remedy: 'Move the source to the middle of the bus, or shorten the way to it.',
    related: [
      busPlace(lastStraw.bus),
      ...sources.map((source) => relatedLanding(source, `${source.name} powers the bus.`)),
      limitPlace(segment.busType, 'length/source', `${bus.busType} allows ${metres(limitM)}.`),
    ],
    facts: [measured('source-length', farthestM, 'm')],
    waivable: { value: farthestM, unit: 'm' },
  };
}

/** The length on the line that leads to a landing, or its statement. */
function cablePlace({ graph }: BusGeometry, landing: BusLanding) {
  const cable = graph.cablesAt[graph.nodeOf[landing.position]!]!.map(
    (position) => graph.cables[position]!,
  ).find(({ end, segment }) => end === landing && !segment.closesRing);
  return cable?.segment.at ?? landingPlace(landing, 'target');
}

function certainty({ total }: BusGeometry): string {
  return total.unknown.length > 0 ? 'at least ' : total.estimatedM > 0 ? 'about ' : '';
}
