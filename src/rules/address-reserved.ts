import { placeOf } from '../model/origin.js';
import { defineRule } from './rule.js';
import {
  addressPlace,
  freeAddressAdvice,
  freeBusAddressFixes,
  portsByLine,
} from './support/address-wording.js';
import { addressNeeds } from './support/needs.js';

/** An address that the bus type keeps for something else. */
export const addressReserved = defineRule({
  name: 'address-reserved',
  severity: 'error',
  of: 'device',
  acceptable: true,
  needs: addressNeeds,
  *check(site, device) {
    for (const [line, ports] of portsByLine(site, device)) {
      const keeping = ports.filter(({ range }) => range.except.includes(line.address));
      if (keeping.length === 0) {
        continue;
      }
      yield {
        subject: device.name,
        at: addressPlace(device, line),
        what: `${device.name} has address ${line.address}, which ${[...new Set(keeping.map(({ bus }) => bus.busType))].join(', ')} keeps for another use.`,
        why: 'What the address is kept for would reach this device, or this device would be passed over.',
        remedy: freeAddressAdvice(site, device, line),
        related: keeping.map(({ bus }) => ({
          at: placeOf(bus.busType, 'address'),
          message: `${bus.name} is of type ${bus.busType}, which excepts the address.`,
        })),
        facts: [{ fact: 'address', value: line.address, unit: '' }],
      };
    }
  },
  fixes: freeBusAddressFixes,
});
