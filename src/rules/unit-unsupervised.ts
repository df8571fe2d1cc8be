import { controllersFinding, controllersOf } from '../analysis/graph/supervision.js';
import { placeOf } from '../model/origin.js';
import { equipmentOf } from '../model/site.js';
import { defineRule } from './rule.js';
import { isSurroundingUncertain } from './support/damage.js';
import { talkNeeds } from './support/needs.js';

/** An indoor unit that no controller finds. Silent where nothing supervises. */
export const unitUnsupervised = defineRule({
  name: 'unit-unsupervised',
  severity: 'error',
  of: 'device',
  acceptable: true,
  needs: talkNeeds,
  *check(site, device, { damage }) {
    const isUnit = equipmentOf(site, device)?.role === 'indoor-unit';
    const controllers = controllersOf(site);
    if (!isUnit || controllers.length === 0) {
      return;
    }
    // A port on a bus of the wrong type is reported as such; that nobody finds what is behind it follows.
    if (controllersFinding(site, device.name, 'all').length > 0) {
      return;
    }
    if (isSurroundingUncertain(site, device, damage)) {
      return;
    }
    const landings = site.busLandingsOfDevice.get(device.name) ?? [];
    const buses = [...new Set(landings.map(({ run }) => run))];
    yield {
      subject: device.name,
      at: placeOf(device.name, 'name'),
      what:
        buses.length === 0
          ? `No controller finds ${device.name}: it is landed on no bus.`
          : `No controller finds ${device.name} on ${buses.map((bus) => bus.name).join(', ')}.`,
      why: 'It will run on its own, and nobody can switch or watch it.',
      remedy:
        buses.length === 0
          ? 'Land it on the bus of a controller that supervises indoor units.'
          : 'Land a controller that supervises indoor units on that bus, or land the unit on the bus of one.',
      related: buses.map((bus) => ({
        at: placeOf(bus.name, 'name'),
        message: `${bus.name} has no controller that supervises it.`,
      })),
    };
  },
});
