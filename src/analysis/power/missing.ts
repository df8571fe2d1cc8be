/** What stands behind a supply that is missing: it is reported once, where it is missing. */
import type { Device } from '../../model/records.js';
import { equipmentOf, inletOfOutlet, resolvePowerPoint } from '../../model/site.js';
import type { PowerPoint, Site } from '../../model/site.js';
import type { Bus } from '../../model/wiring.js';
import { poweredSegmentOf } from './bus-load.js';
import { connectionsOf, pointsOf } from './consumers.js';
import type { InletConnection } from './consumers.js';

/** The inlets of a device that have to be fed and are not. */
export function missingInlets(site: Site, device: Device): readonly string[] {
  return (equipmentOf(site, device)?.inlets ?? [])
    .filter((inlet) => !inlet.optional)
    .map((inlet) => inlet.name)
    .filter((name) => connectionsOf(site, device.name, name).length === 0);
}

/** Whether a connection hangs, over whatever steps, on an inlet that is not fed. */
export function isBehindMissingSupply(site: Site, connection: InletConnection): boolean {
  return pointsOf(site, connection).some((point) => lacksSupply(site, point, new Set()));
}

/** The same for a bus: whether a port that powers it is of a device without supply. */
export function isPoweredByMissingSupply(site: Site, bus: Bus): boolean {
  return (poweredSegmentOf(site, bus)?.givers ?? []).some(({ port }) =>
    deviceLacksSupply(site, port.resolved.device, undefined, new Set()),
  );
}

/** Whether an outlet, or the way that a board hangs on, has nothing to give. */
export function lacksSupply(site: Site, point: PowerPoint, path: ReadonlySet<string>): boolean {
  if (path.has(point.key)) {
    return false;
  }
  const onward = new Set([...path, point.key]);
  if (point.kind === 'way') {
    const { from } = point.board;
    const above = from && resolvePowerPoint(site, from);
    return above !== undefined && lacksSupply(site, above, onward);
  }
  // A battery gives what it has even without its inlet.
  return (
    !point.outlet.stored &&
    deviceLacksSupply(
      site,
      point.device,
      inletOfOutlet(point.equipment, point.outlet)?.name,
      onward,
    )
  );
}

/** `inlet` is the one that counts; undefined where each of them may. */
function deviceLacksSupply(
  site: Site,
  device: Device,
  inlet: string | undefined,
  path: ReadonlySet<string>,
): boolean {
  const missing = missingInlets(site, device);
  if (inlet === undefined ? missing.length > 0 : missing.includes(inlet)) {
    return true;
  }
  return (equipmentOf(site, device)?.inlets ?? [])
    .filter((one) => inlet === undefined || one.name === inlet)
    .some((one) =>
      connectionsOf(site, device.name, one.name).some(({ connection }) =>
        pointsOf(site, connection).some((point) => lacksSupply(site, point, path)),
      ),
    );
}
