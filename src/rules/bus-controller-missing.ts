import { freePortsFor } from '../analysis/bus/vacancy.js';
import { placeOf } from '../model/origin.js';
import { defineRule } from './rule.js';
import { landingsOfDomain, ledDomain, portsOfDomain } from './support/bus-wording.js';
import { landPortFixes } from './support/land-port.js';

/** How many devices are offered as the controller. */
const OFFERED_CONTROLLERS = 3;

/** A bus on which nobody starts to talk. */
export const busControllerMissing = defineRule({
  name: 'bus-controller-missing',
  severity: 'error',
  of: 'bus',
  acceptable: true,
  *check(site, bus) {
    const domain = ledDomain(site, bus);
    if (domain === undefined || (domain.busType.controllers ?? 1) === 0) {
      return;
    }
    // A landing that is wrong in itself may be the controller: its own finding comes first.
    const mayBeMeant = landingsOfDomain(domain).some(
      ({ resolved, fits }) =>
        resolved === undefined || (!fits && resolved.port.talksAs === 'controller'),
    );
    const ports = portsOfDomain(domain);
    if (mayBeMeant || !ports.some(({ resolved }) => resolved.port.talksAs === 'responder')) {
      return;
    }
    if (ports.some(({ resolved }) => resolved.port.talksAs === 'controller')) {
      return;
    }
    yield {
      subject: bus.name,
      at: placeOf(bus.name),
      what: `No port on ${bus.name} is a controller: nobody starts to talk.`,
      why: 'Responders only answer, so the bus stays silent.',
      remedy: `Land a ${bus.busType} port that is a controller.`,
    };
  },
  fixes(site, finding) {
    const bus = site.buses.get(finding.subject);
    return bus === undefined
      ? []
      : freePortsFor(site, bus)
          .filter(({ port }) => port.talksAs === 'controller')
          .flatMap((free) => landPortFixes(site, bus, free))
          .slice(0, OFFERED_CONTROLLERS);
  },
});
