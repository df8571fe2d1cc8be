/** Between devices and their equipment. */
import { placeOf, type Place } from '../../model/origin.js';
import type { OpenSite } from '../open-site.js';

/** The equipment of a device, or equipment itself. */
export function equipmentPlace(open: OpenSite, name: string): Place | undefined {
  const equipment = open.site.devices.get(name)?.equipment ?? name;
  return open.site.equipment.has(equipment) ? placeOf(equipment) : undefined;
}

/** The devices of a piece of equipment, by name. */
export function devicesOf(open: OpenSite, equipment: string): Place[] {
  return (open.site.devicesOf.get(equipment) ?? []).map((device) => placeOf(device.name));
}
