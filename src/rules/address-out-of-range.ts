import { isInRange, rangeText } from '../analysis/graph/addresses.js';
import { placeOf } from '../model/origin.js';
import { defineRule } from './rule.js';
import {
  addressPlace,
  freeAddressAdvice,
  freeBusAddressFixes,
  portsByLine,
} from './support/address-wording.js';
import { addressNeeds } from './support/needs.js';

/** An address that the bus type does not have. Excepted addresses have a rule of their own. */
export const addressOutOfRange = defineRule({
  name: 'address-out-of-range',
  severity: 'error',
  of: 'device',
  acceptable: true,
  needs: addressNeeds,
  *check(site, device) {
    for (const [line, ports] of portsByLine(site, device)) {
      const outside = ports.filter(
        ({ range }) => !isInRange(range, line.address) && !range.except.includes(line.address),
      );
      if (outside.length === 0) {
        continue;
      }
      const ranges = outside.map(({ bus, range }) => `${rangeText(range)} on ${bus.name}`);
      yield {
        subject: device.name,
        at: addressPlace(device, line),
        what: `${device.name} has address ${line.address}; the range is ${ranges.join(', ')}.`,
        why: 'The bus cannot address it, or the device cannot be set to it.',
        remedy: freeAddressAdvice(site, device, line),
        related: outside.map(({ bus }) => ({
          at: placeOf(bus.busType, 'address'),
          message: `${bus.name} is of type ${bus.busType}, which states the range.`,
        })),
        facts: [{ fact: 'address', value: line.address, unit: '' }],
      };
    }
  },
  fixes: freeBusAddressFixes,
});
