/** The commands that set the wired socket of a laptop to an address, and back to automatic. */
import { formatAddress, maskOf } from '../../analysis/network/ipv4.js';
import type { Ipv4Interface } from '../../analysis/network/ipv4.js';

export interface LaptopCommands {
  readonly windows: readonly string[];
  readonly macos: readonly string[];
  readonly linux: readonly string[];
}

/**
 * Made from numbers alone, so that no text of a site ever reaches a command line.
 *
 * Syntax: `netsh interface ipv4 set address` (its own help text), ipconfig(8) of macOS, ip-address(8)
 * of Linux. None of them outlives a restart but the first, hence the command back.
 */
export function laptopCommands({ address, subnet }: Ipv4Interface): LaptopCommands {
  const ip = formatAddress(address);
  const mask = formatAddress(maskOf(subnet.prefixLength));
  const withPrefix = `${ip}/${subnet.prefixLength}`;
  return {
    windows: [
      `netsh interface ipv4 set address name="Ethernet" source=static address=${ip} mask=${mask} gateway=none`,
      'netsh interface ipv4 set address name="Ethernet" source=dhcp',
    ],
    macos: [`sudo ipconfig set en0 MANUAL ${ip} ${mask}`, 'sudo ipconfig set en0 DHCP'],
    linux: [
      `sudo ip address add ${withPrefix} dev eth0`,
      `sudo ip address del ${withPrefix} dev eth0`,
    ],
  };
}
