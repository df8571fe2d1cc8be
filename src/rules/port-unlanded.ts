import { hasControllers } from '../analysis/graph/supervision.js';
import { busesWithRoom } from '../analysis/bus/vacancy.js';
import { placeOf } from '../model/origin.js';
import type { Device } from '../model/records.js';
import { equipmentOf, memberKey, resolvePort } from '../model/site.js';
import type { Site } from '../model/site.js';
import type { Port } from '../model/equipment.js';
import { defineRule } from './rule.js';
import { counted, listed } from './support/bus-wording.js';
import { isLandingUncertain } from './support/damage.js';
import { talkNeeds } from './support/needs.js';
import { landPortFixes } from './support/land-port.js';

/** How many buses are offered. */
const OFFERED_BUSES = 3;

/** A device that hangs on no bus, or whose port for the units that it supervises does not. */
export const portUnlanded = defineRule({
  name: 'port-unlanded',
  severity: 'warning',
  of: 'device',
  acceptable: true,
  needs: talkNeeds,
  *check(site, device, { damage }) {
    const ports = portsOf(site, device);
    const [first] = ports;
    const isUncertain = (port: Port) => isLandingUncertain(site, device, port.busType, damage);
    if (first === undefined || hasUnknownLanding(site, device)) {
      return;
    }
    if (!ports.some((port) => isLanded(site, device, port))) {
      // A unit on no bus that somebody should find is reported as such, which weighs more.
      if (ports.some(isUncertain) || isUnitToFind(site, device)) {
        return;
      }
      yield {
        subject: device.name,
        at: placeOf(device.name),
        what: `${device.name} has ${counted(ports.length, 'bus port')} (${listed(ports.map(({ name }) => name))}), and none is landed.`,
        why: 'A device on no bus neither finds anything nor is found.',
        remedy: `${adviceFor(site, device, first)}, or remove ${device.name}.`,
      };
      return;
    }
    for (const { role, port: name } of equipmentOf(site, device)?.supervises ?? []) {
      const port = ports.find((one) => one.name === name);
      if (port !== undefined && !isLanded(site, device, port) && !isUncertain(port)) {
        yield {
          subject: memberKey(device.name, port.name),
          at: placeOf(device.name),
          what: `${device.name} supervises each ${role} by its port ${port.name}, which is not landed.`,
          why: 'It finds none of them.',
          remedy: `${adviceFor(site, device, port)}.`,
        };
      }
    }
  },
  fixes(site, finding) {
    const device = site.devices.get(finding.at.declaration);
    if (device === undefined) {
      return [];
    }
    return portsOf(site, device)
      .filter(
        (port) =>
          finding.subject === device.name || finding.subject === memberKey(device.name, port.name),
      )
      .flatMap((port) => {
        const resolved = resolvePort(site, device.name, port.name)!;
        return busesWithRoom(site, resolved)
          .flatMap((bus) => landPortFixes(site, bus, resolved))
          .slice(0, OFFERED_BUSES);
      });
  },
});

function isUnitToFind(site: Site, device: Device): boolean {
  return equipmentOf(site, device)?.role === 'indoor-unit' && hasControllers(site);
}

/** The bus ports whose type is known. */
function portsOf(site: Site, device: Device): readonly Port[] {
  return (equipmentOf(site, device)?.ports ?? []).filter((port) => site.busTypes.has(port.busType));
}

function isLanded(site: Site, device: Device, port: Port): boolean {
  return site.busLandings.has(memberKey(device.name, port.name));
}

/** A landing whose port is not known may be the one that seems to be missing: name-unknown says so. */
function hasUnknownLanding(site: Site, device: Device): boolean {
  return (site.busLandingsOfDevice.get(device.name) ?? []).some(
    ({ landing }) => resolvePort(site, device.name, landing.member) === undefined,
  );
}

function adviceFor(site: Site, device: Device, port: Port): string {
  const [bus] = busesWithRoom(site, resolvePort(site, device.name, port.name)!);
  const name = memberKey(device.name, port.name);
  return bus === undefined
    ? `Land ${name} on a ${port.busType} bus`
    : `Land ${name} on ${bus.name}`;
}
