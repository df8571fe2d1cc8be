import { freePortsFor } from '../analysis/bus/vacancy.js';
import { placeOf } from '../model/origin.js';
import { defineRule } from './rule.js';
import { ledSegment, relatedLanding } from './support/bus-wording.js';
import { landPortFixes } from './support/land-port.js';

/** How many devices are offered as the source. */
const OFFERED_SOURCES = 3;

/** A bus that carries power, with no port that gives it. */
export const busSourceMissing = defineRule({
  name: 'bus-source-missing',
  severity: 'error',
  of: 'bus',
  acceptable: true,
  *check(site, bus) {
    const segment = ledSegment(site, bus);
    if (segment === undefined || segment.landings.length === 0) {
      return;
    }
    const takers = segment.ports.filter(({ resolved }) => resolved.port.takes !== undefined);
    const gives = segment.landings.some(({ resolved }) => resolved?.port.gives !== undefined);
    const isUnclear = segment.landings.some(({ resolved }) => resolved === undefined);
    if (gives || isUnclear || (segment.busType.power === undefined && takers.length === 0)) {
      return;
    }
    const [first] = takers;
    yield {
      subject: bus.name,
      at: placeOf(bus.name),
      what: `No port on ${bus.name} gives power${first === undefined ? '' : `, which ${first.name} takes from it`}.`,
      why: 'Devices that live on the bus stay dark.',
      remedy: `Land a ${bus.busType} port that gives power.`,
      related: takers
        .slice(0, 4)
        .map((taker) => relatedLanding(taker, `${taker.name} takes its power from the bus.`)),
    };
  },
  fixes(site, finding) {
    const bus = site.buses.get(finding.subject);
    return bus === undefined
      ? []
      : freePortsFor(site, bus)
          .filter(({ port }) => port.gives !== undefined)
          .flatMap((free) => landPortFixes(site, bus, free))
          .slice(0, OFFERED_SOURCES);
  },
});
