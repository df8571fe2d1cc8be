import { bandOf } from '../analysis/cabling/cables.js';
import { isProtectiveTerminal } from '../analysis/cabling/cores.js';
import { connectionsOf } from '../analysis/power/consumers.js';
import { protectiveCables } from '../analysis/power/larger-cables.js';
import type { InletConnection } from '../analysis/power/consumers.js';
import type { Cable, Inlet } from '../model/equipment.js';
import { part, placeOf } from '../model/origin.js';
import type { Device } from '../model/records.js';
import { cableOfLanding, equipmentOf, memberKey, resolveInlet } from '../model/site.js';
import type { Site } from '../model/site.js';
import { defineRule } from './rule.js';
import { supplyNeeds } from './support/needs.js';
import { connectionPlaces, targetOf } from './support/power-wording.js';
import { connectionCableFixes, inletOfFinding } from './support/supply-fixes.js';

/** A mains inlet without protective conductor, in the device or in the cable that feeds it. */
export const protectiveEarthMissing = defineRule({
  name: 'protective-earth-missing',
  severity: 'error',
  of: 'device',
  acceptable: false,
  needs: supplyNeeds,
  *check(site, device) {
    for (const inlet of equipmentOf(site, device)?.inlets ?? []) {
      if (bandOf(inlet.voltage) !== 'mains' || inlet.terminals.length === 0) {
        continue;
      }
      const subject = memberKey(device.name, inlet.name);
      if (!inlet.terminals.some(isProtectiveTerminal)) {
        if (!inlet.doubleInsulated && isFirstOfItsKind(site, device)) {
          yield {
            subject: memberKey(device.equipment, inlet.name),
            at: placeOf(device.equipment, part('inlet', inlet.name)),
            what: `${device.equipment}.${inlet.name} is on mains, and of its terminals (${inlet.terminals.join(', ')}) none is for the protective conductor.`,
            why: 'A fault puts mains on the case, and nothing switches it off before somebody touches it.',
            remedy:
              'List the terminal PE, or write "double-insulated" where the equipment is marked so.',
            related: [{ at: placeOf(device.name, 'name'), message: `${device.name} is one.` }],
          };
        }
        continue;
      }
      for (const { connection, at } of connectionsOf(site, device.name, inlet.name)) {
        const cable = cableOf(site, connection);
        if (
          cable === undefined ||
          cable.colours.length === 0 ||
          cable.colours.includes('GNYE') ||
          isToldEarlier(site, connection, cable)
        ) {
          continue;
        }
        yield {
          subject,
          at: targetOf(at),
          what: `${subject} has a PE terminal, but the ${cable.name} that feeds it has no green-yellow core (${cable.colours.join(', ')}).`,
          why: 'A fault puts mains on the case, and nothing switches it off before somebody touches it.',
          remedy: 'Use a cable with a green-yellow core.',
          related: [
            { at: placeOf(cable.name, 'colours'), message: 'The cores are listed here.' },
            ...connectionPlaces(connection),
          ],
        };
      }
    }
  },
  fixes(site, finding) {
    const inlet = inletOfFinding(site, finding);
    if (inlet === undefined) {
      return [];
    }
    const others = othersNeeded(site, inlet.connection);
    return connectionCableFixes(
      site,
      inlet.connection,
      () => true,
      (all, present) => protectiveCables(all, present, others),
    );
  },
});

/** Cores beside the protective one that the richest of the inlets on the same cable needs. */
function othersNeeded(site: Site, connection: InletConnection): number {
  const inlets =
    connection.kind === 'line'
      ? [resolveInlet(site, connection.device, connection.line.inlet)]
      : connection.feed.landings.map(({ device, member }) => resolveInlet(site, device, member));
  return Math.max(
    ...inlets.map(
      (one) =>
        one?.inlet.terminals.filter((terminal) => !isProtectiveTerminal(terminal)).length ?? 0,
    ),
  );
}

function cableOf(site: Site, connection: InletConnection): Cable | undefined {
  if (connection.kind === 'landing') {
    return cableOfLanding(site, connection.feed, connection.landing);
  }
  const { cable } = connection.line;
  return cable === undefined ? undefined : site.cables.get(cable);
}

/** The equipment is to blame once, however many devices are of it. */
function isFirstOfItsKind(site: Site, device: Device): boolean {
  return site.devicesOf.get(device.equipment)?.[0] === device;
}

/** Whether an earlier landing of the feed has told of the same cable. */
function isToldEarlier(site: Site, connection: InletConnection, cable: Cable): boolean {
  if (connection.kind === 'line') {
    return false;
  }
  const { feed, landing } = connection;
  return feed.landings.some(
    (earlier) =>
      earlier.index < landing.index &&
      cableOfLanding(site, feed, earlier) === cable &&
      hasProtectiveMainsInlet(site, earlier.device, earlier.member),
  );
}

function hasProtectiveMainsInlet(site: Site, deviceName: string, name: string): boolean {
  const device = site.devices.get(deviceName);
  const inlet: Inlet | undefined =
    device && equipmentOf(site, device)?.inlets.find((one) => one.name === name);
  return bandOf(inlet?.voltage) === 'mains' && inlet!.terminals.some(isProtectiveTerminal);
}
