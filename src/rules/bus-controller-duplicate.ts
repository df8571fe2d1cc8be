import { defineRule } from './rule.js';
import {
  busPlace,
  counted,
  landingOfFinding,
  landingPlace,
  ledDomain,
  limitPlace,
  measured,
  portsOfDomain,
  relatedLanding,
} from './support/bus-wording.js';
import { moveAwayFixes } from './support/reland.js';

/** More ports that start talking than the bus type allows. */
export const busControllerDuplicate = defineRule({
  name: 'bus-controller-duplicate',
  severity: 'error',
  of: 'bus',
  acceptable: true,
  *check(site, bus) {
    const domain = ledDomain(site, bus);
    if (domain === undefined) {
      return;
    }
    const limit = domain.busType.controllers ?? 1;
    const controllers = portsOfDomain(domain).filter(
      ({ resolved }) => resolved.port.talksAs === 'controller',
    );
    const tooMany = controllers[limit];
    if (tooMany === undefined) {
      return;
    }
    yield {
      subject: tooMany.bus.name,
      at: landingPlace(tooMany, 'target'),
      what: `${tooMany.bus.name} has ${counted(controllers.length, 'controller')}, and ${bus.busType} allows ${limit}.`,
      why: 'Two that start at the same time garble each other, and units obey the one or the other.',
      remedy: 'Land the others on a bus of their own, or behind a gateway.',
      related: [
        busPlace(tooMany.bus),
        ...controllers
          .slice(0, Math.min(limit, 4))
          .map((one) => relatedLanding(one, `${one.name} is a controller too.`)),
        limitPlace(
          domain.busType,
          domain.busType.controllers === undefined ? 'name' : 'controllers',
          `${bus.busType} allows ${counted(limit, 'controller')}.`,
        ),
      ],
      facts: [measured('controllers', controllers.length, '')],
      waivable: { value: controllers.length, unit: '' },
    };
  },
  fixes(site, finding) {
    const found = landingOfFinding(site, finding);
    const limit = (found && site.busTypes.get(found.bus.busType)?.controllers) ?? 1;
    const count = finding.facts.find(({ fact }) => fact === 'controllers')?.value;
    return count === limit + 1 ? moveAwayFixes(site, found) : [];
  },
});
