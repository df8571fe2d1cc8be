/** Reference designations by IEC 81346-1, as far as the names of a site allow. */
import type { PlacedRoom } from '../../model/site.js';

/** Letters, letters with a number, or a number; a hyphen leads to a part. */
const LEVELS = /^(?:[A-Za-z]+\d*|\d+)(?:-(?:[A-Za-z]+\d*|\d+))*$/u;

/**
 * `+Roof.Platform-OU-1`: place, then product. Undefined where the product's name has other signs;
 * a place whose name has them is left out.
 */
export function designationOf(name: string, room: PlacedRoom | undefined): string | undefined {
  const steps = name.split('.');
  if (!steps.every((step) => LEVELS.test(step))) {
    return undefined;
  }
  return `${placePart(room)}${steps.map((step) => `-${step}`).join('')}`;
}

/** `+Roof.Platform-OU-1-central:C1`: a terminal of a strip of a device. */
export function terminalDesignation(
  owner: string,
  member: string,
  terminal: string | undefined,
  room: PlacedRoom | undefined,
): string | undefined {
  const whole = designationOf(member === '' ? owner : `${owner}.${member}`, room);
  if (whole === undefined || terminal === undefined) {
    return whole;
  }
  return /^[\w+-]+$/u.test(terminal) ? `${whole}:${terminal}` : undefined;
}

function placePart(room: PlacedRoom | undefined): string {
  if (room === undefined) {
    return '';
  }
  const names = [room.area.name, room.room.name];
  return names.every((name) => LEVELS.test(name) && !name.includes('-'))
    ? `+${names.join('.')}`
    : '';
}
