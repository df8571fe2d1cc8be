/** The IPv4 addresses of this computer, as its system tells them. */
import { networkInterfaces } from 'node:os';

export interface InterfaceAddress {
  readonly name: string;
  /** `10.40.8.50/24`. */
  readonly cidr: string;
}

/** By interface name, then as the system lists them; the computer's way to itself is left out. */
export function ownAddresses(
  interfaces: ReturnType<typeof networkInterfaces> = networkInterfaces(),
): readonly InterfaceAddress[] {
  return Object.entries(interfaces)
    .sort(([one], [other]) => (one < other ? -1 : 1))
    .flatMap(([name, addresses = []]) =>
      addresses.flatMap(({ family, internal, cidr }) =>
        family === 'IPv4' && !internal && cidr !== null ? [{ name, cidr }] : [],
      ),
    );
}
