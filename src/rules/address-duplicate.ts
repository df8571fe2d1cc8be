import { clashesOf } from '../analysis/graph/addresses.js';
import type { AddressClash } from '../analysis/graph/addresses.js';
import { memoisedOnce } from '../analysis/memo.js';
import type { RelatedPlace } from '../model/finding.js';
import { placeOf } from '../model/origin.js';
import type { AddressLine } from '../model/records.js';
import { defineRule } from './rule.js';
import { addressPlace, freeAddressAdvice, freeBusAddressFixes } from './support/address-wording.js';
import { addressNeeds } from './support/needs.js';

/** An address that a device declared earlier already has, on one bus or in the eyes of one controller. */
export const addressDuplicate = defineRule({
  name: 'address-duplicate',
  severity: 'error',
  of: 'device',
  acceptable: true,
  needs: addressNeeds,
  *check(site, device) {
    const order = textOrder(site);
    const earlier = clashesOf(site, device).filter(
      ({ other }) => order.get(other.device.name)! < order.get(device.name)!,
    );
    for (const [line, clashes] of byLine(earlier)) {
      const names = listed(clashes.map(({ other }) => other.device.name));
      const first = clashes[0]!;
      yield {
        subject: device.name,
        at: addressPlace(device, line),
        what: `${device.name} has address ${line.address}, which ${names} already ${clashes.length === 1 ? 'has' : 'have'} ${meetingPlace(first)}.`,
        why: 'Both answer at once: either or both come and go, and others are disturbed.',
        remedy: freeAddressAdvice(site, device, line),
        related: clashes.slice(0, mostShown).flatMap(relatedPlaces),
        facts: [{ fact: 'address', value: line.address, unit: '' }],
      };
    }
  },
  fixes: freeBusAddressFixes,
});

/** A slip in a copied list gives dozens of clashes at once, and nobody reads dozens of names. */
const mostShown = 4;

function listed(names: readonly string[]): string {
  const more = names.length - mostShown;
  return `${names.slice(0, mostShown).join(', ')}${more > 0 ? ` and ${more} more` : ''}`;
}

const textOrder = memoisedOnce(
  (site): ReadonlyMap<string, number> =>
    new Map([...site.devices.keys()].map((name, index) => [name, index])),
);

function byLine(
  clashes: readonly AddressClash[],
): ReadonlyMap<AddressLine, readonly AddressClash[]> {
  const lines = new Map<AddressLine, AddressClash[]>();
  for (const clash of clashes) {
    const line = clash.own.line;
    if (line !== undefined) {
      lines.set(line, [...(lines.get(line) ?? []), clash]);
    }
  }
  return lines;
}

function meetingPlace({ own, other, seenBy }: AddressClash): string {
  if (seenBy !== undefined) {
    return `on ${other.bus.name}, and ${seenBy.name} sees them together`;
  }
  return own.bus.name === other.bus.name
    ? `on ${own.bus.name}`
    : `on ${other.bus.name}, which shares its addresses with ${own.bus.name}`;
}

function relatedPlaces({ other, seenBy }: AddressClash): readonly RelatedPlace[] {
  return [
    ...(other.line === undefined
      ? []
      : [
          {
            at: addressPlace(other.device, other.line),
            message: `${other.device.name} has it here.`,
          },
        ]),
    seenBy === undefined
      ? { at: placeOf(other.bus.name, 'name'), message: `It is landed on ${other.bus.name}.` }
      : { at: placeOf(seenBy.name, 'name'), message: `${seenBy.name} sees them together.` },
  ];
}
