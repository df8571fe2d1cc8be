import { geometryOf } from '../analysis/bus/geometry.js';
import type { BusGeometry, DrawnShape } from '../analysis/bus/geometry.js';
import { lastLanding } from '../analysis/bus/vacancy.js';
import { isShapeAllowed } from '../analysis/bus/shape.js';
import { placeOf } from '../model/origin.js';
import type { Place } from '../model/origin.js';
import type { Shape } from '../model/values.js';
import { defineRule } from './rule.js';
import {
  busPlace,
  landingPlace,
  ledSegment,
  limitPlace,
  relatedLanding,
} from './support/bus-wording.js';

const drawnTexts: Readonly<Record<DrawnShape, string>> = {
  single: 'a single landing',
  chain: 'a chain',
  tree: 'a tree',
  star: 'a star',
  ring: 'a ring',
  'branched-ring': 'a ring with branches',
  meshed: 'a mesh of several loops',
};

const allowedTexts: Readonly<Record<Shape, string>> = {
  chain: 'a chain',
  tree: 'a tree',
  star: 'a star around one junction',
  ring: 'a ring',
  free: 'any shape',
};

const remedies: Readonly<Record<Exclude<Shape, 'free'>, string>> = {
  chain: 'Run one line from device to device, in and out at each, with both ends open.',
  tree: 'Open each loop, so that one way leads to each device.',
  star: 'Land every device in a spur of one junction.',
  ring: 'Close one line with "ring", and take branches off it.',
};

/** A shape that the bus type does not allow. */
export const busShapeUnsupported = defineRule({
  name: 'bus-shape-unsupported',
  severity: 'error',
  of: 'bus',
  acceptable: true,
  *check(site, bus) {
    const segment = ledSegment(site, bus);
    const allowed = segment?.busType.shape;
    const geometry = geometryOf(site, bus);
    if (segment === undefined || allowed === undefined || allowed === 'free') {
      return;
    }
    if (isShapeAllowed(geometry)) {
      return;
    }
    const [first, ...others] = offendingPlaces(geometry, allowed);
    const at = first ?? placeOf(bus.name);
    yield {
      subject: site.buses.get(at.declaration)?.name ?? bus.name,
      at,
      what: `${bus.name} is drawn as ${drawnTexts[geometry.shape]}, and ${bus.busType} allows ${allowedTexts[allowed]}.`,
      why: 'Where lines meet in another way than planned for, signals come back as echoes and devices drop out.',
      remedy: remedies[allowed],
      related: [
        busPlace(bus),
        limitPlace(segment.busType, 'shape', `${bus.busType} allows ${allowedTexts[allowed]}.`),
        ...geometry.branches.map(({ node }) =>
          relatedLanding(geometry.graph.nodes[node]![0]!, 'More than two lines meet here.'),
        ),
        ...others.slice(0, 4).map((other) => ({ at: other, message: 'So does this.' })),
      ],
    };
  },
  fixes(site, finding) {
    const bus = site.buses.get(finding.at.declaration);
    return bus === undefined || finding.at.part !== 'ring'
      ? []
      : [
          {
            title: `Leave ${bus.name} open`,
            kind: 'wiring',
            edits: [{ kind: 'remove-statement', at: finding.at }],
          },
        ];
  },
});

/** Where the drawing leaves what is allowed, in text order; the first place carries the finding. */
function offendingPlaces(geometry: BusGeometry, allowed: Shape): readonly Place[] {
  const { segment, branches, graph } = geometry;
  if (allowed === 'star') {
    const stray = segment.landings.find(
      ({ landing }) => landing.index > 0 && (landing.spur === undefined || (landing.from ?? 0) > 0),
    );
    return [landingPlace(stray ?? segment.landings[0]!, 'target')];
  }
  const closing = graph.cables.filter((cable) => cable.segment.closesRing);
  const loops = allowed === 'ring' ? [] : closing.map((cable) => cable.segment.at);
  const forks =
    allowed === 'tree' ? [] : branches.map(({ landing }) => landingPlace(landing, 'target'));
  const places = [...loops, ...forks];
  if (places.length > 0) {
    return places;
  }
  const last = lastLanding(segment.lead);
  return last === undefined ? [] : [landingPlace({ bus: segment.lead, landing: last }, 'target')];
}
