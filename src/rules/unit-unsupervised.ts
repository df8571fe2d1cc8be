import { busesWithRoom, freePortsFor } from '../analysis/bus/vacancy.js';
import { controllersFinding, controllersOf, supervisionOf } from '../analysis/graph/supervision.js';
import type { Equipment } from '../model/equipment.js';
import { placeOf } from '../model/origin.js';
import { equipmentOf, resolvePort } from '../model/site.js';
import type { Site } from '../model/site.js';
import type { Bus } from '../model/wiring.js';
import { defineRule } from './rule.js';
import { isSurroundingUncertain } from './support/damage.js';
import { landPortFixes } from './support/land-port.js';
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
  fixes(site, finding) {
    const device = site.devices.get(finding.subject);
    const equipment = device && equipmentOf(site, device);
    if (device === undefined || equipment === undefined) {
      return [];
    }
    const landings = site.busLandingsOfDevice.get(device.name) ?? [];
    const fixes =
      landings.length === 0
        ? equipment.ports.flatMap((port) => {
            const resolved = { device, equipment, port };
            return busesWithRoom(site, resolved)
              .filter((bus) => isSupervised(site, bus))
              .flatMap((bus) => landPortFixes(site, bus, resolved));
          })
        : landings.flatMap(({ run }) =>
            freePortsFor(site, run)
              .filter((free) => supervisesUnits(free.equipment, free.port.name))
              .filter((free) => busesWithRoom(site, free).includes(run))
              .flatMap((free) => landPortFixes(site, run, free)),
          );
    return fixes.slice(0, mostOffered);
  },
});

const mostOffered = 3;

/** Whether a controller of units is landed on a bus, or finds a unit there. */
function isSupervised(site: Site, bus: Bus): boolean {
  return bus.landings.some(({ device, member }) => {
    const equipment = resolvePort(site, device, member)?.equipment;
    return (
      equipment !== undefined &&
      (supervisesUnits(equipment, member) ||
        controllersFinding(site, device).some((controller) =>
          supervisionOf(site, controller)?.units.some((unit) => unit.bus === bus),
        ))
    );
  });
}

function supervisesUnits({ supervises }: Equipment, port: string): boolean {
  return supervises.some((one) => one.role === 'indoor-unit' && one.port === port);
}
