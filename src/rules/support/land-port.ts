/** Landing a port on a bus as a fix: with the address that it needs there, tried before it is offered. */
import {
  addressedPortsOf,
  clashesOf,
  freeAddresses,
  freeDeviceAddresses,
  isInRange,
} from '../../analysis/graph/addresses.js';
import { controllersFinding, supervisionOf } from '../../analysis/graph/supervision.js';
import { withBus, withLandingAtEnd } from '../../analysis/power/trial.js';
import { starvedOn } from '../../analysis/power/voltages.js';
import type { ModelEdit } from '../../model/edit.js';
import type { Fix } from '../../model/finding.js';
import type { Device } from '../../model/records.js';
import { memberKey } from '../../model/site.js';
import type { ResolvedPort, Site } from '../../model/site.js';
import type { Bus } from '../../model/wiring.js';
import { firstOf } from './address-wording.js';
import { landAtEnd } from './reland.js';

/** Lands a port at the end of a bus; none where no address is free for it, or its own does not do there. */
export function landPortFixes(site: Site, bus: Bus, port: ResolvedPort): readonly Fix[] {
  const addressing = addressingOn(site, bus, port);
  const landed = landAtEnd(site, bus, port);
  return addressing === undefined || landed.length === 0
    ? []
    : [
        {
          title: `Land ${memberKey(port.device.name, port.port.name)} on ${bus.name}`,
          kind: 'wiring',
          edits: [...landed, ...addressing],
        },
      ];
}

/** What has to be said of the device's address; undefined where there is none that does. */
function addressingOn(
  site: Site,
  bus: Bus,
  { device, port }: ResolvedPort,
): readonly ModelEdit[] | undefined {
  const trial = withBus(site, withLandingAtEnd(bus, device.name, port.name));
  if (isOvercrowded(trial, device) || starvesDevices(site, trial, bus.name)) {
    return undefined;
  }
  const addressed = addressedPortsOf(trial, device).find(
    (one) => one.port.name === port.name && one.bus.name === bus.name,
  );
  if (addressed === undefined) {
    return [];
  }
  if (addressed.line !== undefined) {
    const isFree =
      isInRange(addressed.range, addressed.line.address) && clashesOf(trial, device).length === 0;
    return isFree ? [] : undefined;
  }
  const common =
    device.addresses.length === 0 ? firstOf(freeDeviceAddresses(trial, device)) : undefined;
  const address = common ?? firstOf(freeAddresses(trial, device, port.name));
  return address === undefined
    ? undefined
    : [
        {
          kind: 'set-address',
          device: device.name,
          ...(common === undefined ? { port: port.name } : {}),
          address,
        },
      ];
}

/** Whether more devices of a powered bus are below its least voltage than before. */
function starvesDevices(site: Site, trial: Site, bus: string): boolean {
  return (
    starvedOn(trial, trial.buses.get(bus)!).length > starvedOn(site, site.buses.get(bus)!).length
  );
}

/** Whether a controller, the device itself or one that finds it, has more to supervise than it can. */
function isOvercrowded(trial: Site, device: Device): boolean {
  return [device, ...controllersFinding(trial, device.name)].some((controller) =>
    supervisionOf(trial, controller)?.lines.some(
      ({ supervises, units }) => units.length > (supervises.upTo ?? Number.POSITIVE_INFINITY),
    ),
  );
}
