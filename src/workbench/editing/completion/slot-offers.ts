/** Numbers: free addresses with the taken ones behind them, free hosts, units that fit. */
import { addressedPortsOf, freeDeviceAddresses } from '../../../analysis/graph/addresses.js';
import { freeLaptopAddress, nextFreeHost } from '../../../analysis/network/plan.js';
import { lowerPiece, type LoweredDeclaration } from '../../../language/lower.js';
import { UNITS, type Dimension } from '../../../model/quantity.js';
import type { Device } from '../../../model/records.js';
import { equipmentOf, type Site } from '../../../model/site.js';
import { ownersOf, unlandedAddresses } from './fresh.js';
import type { Offer } from './offer.js';

/** More free addresses than this only make the list long. */
const mostFree = 5;
const mostTaken = 20;

/** Offers for the slots that the grammar allows at the cursor. */
export function slotOffers(
  site: Site,
  slots: ReadonlySet<string>,
  declaration: LoweredDeclaration | undefined,
): Offer[] {
  const record = declaration?.record;
  if (slots.has('AddressFact.value') && record?.kind === 'device') {
    return addressOffers(site, { ...(site.devices.get(record.name) ?? record), addresses: [] });
  }
  const wantsHost = ['HostLine.address', 'LaptopLine.address', 'RouterLine.address'].some((slot) =>
    slots.has(slot),
  );
  if (wantsHost && record?.kind === 'network') {
    const network = site.networks.get(record.name) ?? record;
    const address = slots.has('LaptopLine.address')
      ? freeLaptopAddress(site, network)
      : nextFreeHost(site, network);
    return address === undefined
      ? []
      : [{ text: address, kind: 'address', detail: 'free address', rank: 0 }];
  }
  return [];
}

function addressOffers(site: Site, device: Device): Offer[] {
  const equipment = equipmentOf(site, device);
  const known = site.devices.get(device.name);
  const landed = known === undefined ? [] : addressedPortsOf(site, known);
  const free =
    known !== undefined && landed.length > 0
      ? first(freeDeviceAddresses(site, known), mostFree)
      : equipment === undefined
        ? []
        : first(unlandedAddresses(site, equipment, device.name), mostFree);
  const types = new Set((equipment?.ports ?? []).map((port) => port.busType));
  const taken = [...ownersOf(site, types)]
    .filter(([, owners]) => owners.some((owner) => owner !== device.name))
    .sort(([one], [other]) => one - other)
    .slice(0, mostTaken);
  return [
    ...free.map((address, index): Offer => ({
      text: String(address),
      kind: 'address',
      detail: index === 0 ? 'next free address' : 'free address',
      rank: 0,
    })),
    ...taken
      .filter(([address]) => !free.includes(address))
      .map(([address, owners]): Offer => ({
        text: String(address),
        kind: 'address',
        detail: `taken by ${owners.filter((owner) => owner !== device.name).join(', ')}`,
        rank: 8,
        taken: true,
      })),
  ];
}

/**
 * The units that may follow a bare number. The language is asked itself: a unit fits where reading
 * the declaration with it finds nothing wrong with the quantity.
 */
export function unitOffers(beginning: string, after: string): Offer[] {
  const number = /(?:^|[\s{,])([+-]?\d+(?:[.,]\d+)?(?:\/\d+)?)[ \t]*$/u.exec(beginning);
  if (number === null) {
    return [];
  }
  const before = beginning.trimEnd();
  const start = before.length - number[1]!.length;
  const isWrongWith = (text: string) =>
    lowerPiece(text).problems.some(
      (problem) =>
        (problem.rule === 'quantity-unit-mismatch' || problem.rule === 'syntax-error') &&
        problem.start <= start + number[1]!.length &&
        problem.end > start,
    );
  if (!isWrongWith(`${before} ${after}`)) {
    return [];
  }
  const fits = new Map<Dimension, boolean>();
  return UNITS.filter(({ dimension, symbol }) => {
    const known = fits.get(dimension) ?? !isWrongWith(`${before} ${symbol} ${after}`);
    fits.set(dimension, known);
    return known;
  }).map((unit) => ({ text: unit.symbol, kind: 'unit', detail: unit.dimension, rank: 1 }));
}

function first<Value>(values: Iterable<Value>, most: number): Value[] {
  const taken: Value[] = [];
  for (const value of values) {
    if (taken.length >= most) {
      break;
    }
    taken.push(value);
  }
  return taken;
}
