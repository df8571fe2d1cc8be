/** What a computer on site needs to know of a site: which pages, which addresses, which units. */
import { addressedPortsOf } from '../analysis/graph/addresses.js';
import { supervisionOf } from '../analysis/graph/supervision.js';
import { formatIpv6, parseIpv6 } from '../analysis/network/ipv6.js';
import { readPage } from '../analysis/network/page.js';
import { compareNames, memberKey, resolveLan } from '../model/site.js';
import type { Host } from '../model/records.js';
import type { Site } from '../model/site.js';
import type { OpenSite } from './open-site.js';

/** A page as the site states it. */
export interface StatedPage {
  /** `SG-1.lan`. */
  readonly subject: string;
  readonly page: string;
  /** The host's own address; undefined where a server hands it out. */
  readonly address: string | undefined;
  readonly fingerprint: string | undefined;
  /** ISO date. */
  readonly expires: string | undefined;
  readonly certificate: string | undefined;
  /** Why it cannot be visited; undefined where it can. */
  readonly refusal: PageRefusal | undefined;
}

export type PageRefusal = 'no-web-page' | 'not-of-this-host';

/** Every page of a site, by network and then in text order. */
export function statedPages({ site }: OpenSite): readonly StatedPage[] {
  return hostsOf(site).flatMap((host) => (host.page === undefined ? [] : [statedPage(site, host)]));
}

/** The hosts that a site names: names and addresses, as they stand in a page's address. */
export function namedHosts({ site }: OpenSite): ReadonlySet<string> {
  return new Set(
    hostsOf(site).flatMap((host) => [
      ...addressesOf(host),
      ...(host.page === undefined ? [] : (readPage(host.page)?.host ?? [])),
    ]),
  );
}

/** A host that may be asked by an open protocol. */
export interface AskedHost {
  readonly subject: string;
  readonly device: string;
  readonly address: string;
  /** The units that it must find, with the addresses they have below it. */
  readonly units: readonly { readonly device: string; readonly address: number }[];
}

/** The host of a name such as `SG-1.lan`; undefined where the site has none with a fixed address. */
export function askedHost({ site }: OpenSite, subject: string): AskedHost | undefined {
  const host = hostsOf(site).find((one) => memberKey(one.device, one.lan) === subject);
  const address = host === undefined ? undefined : addressesOf(host)[0];
  const device = host === undefined ? undefined : site.devices.get(host.device);
  if (address === undefined || device === undefined) {
    return undefined;
  }
  const units = (supervisionOf(site, device)?.units ?? []).flatMap((unit) => {
    const line = addressedPortsOf(site, unit.device).find(
      (port) => port.bus === unit.bus && port.port.name === unit.member,
    )?.line;
    return line === undefined ? [] : [{ device: unit.device.name, address: line.address }];
  });
  return { subject, device: device.name, address, units };
}

/** The names of hosts, for a person who mistyped one. */
export function hostNames({ site }: OpenSite): readonly string[] {
  return hostsOf(site).map(({ device, lan }) => memberKey(device, lan));
}

function hostsOf(site: Site): readonly Host[] {
  return [...site.networks.values()]
    .sort((one, other) => compareNames(one.name, other.name))
    .flatMap((network) => network.hosts);
}

function statedPage(site: Site, host: Host): StatedPage {
  const page = host.page!;
  return {
    subject: memberKey(host.device, host.lan),
    page,
    address: addressesOf(host)[0],
    fingerprint: host.fingerprint,
    expires: host.expires,
    certificate: resolveLan(site, host.device, host.lan)?.lan.certificate,
    refusal: refusalOf(host, page),
  };
}

/** A page whose address is a number that is not the host's would lead to a stranger. */
function refusalOf(host: Host, page: string): PageRefusal | undefined {
  const read = readPage(page);
  if (read === undefined || !/^https?$/u.test(read.scheme)) {
    return 'no-web-page';
  }
  const own = addressesOf(host);
  const isNumber = /^[\d.]+$/u.test(read.host) || read.host.includes(':');
  return isNumber && own.length > 0 && !own.includes(canonical(read.host))
    ? 'not-of-this-host'
    : undefined;
}

function addressesOf({ address, ipv6 }: Host): readonly string[] {
  return [address, ipv6].flatMap((text) => (text === undefined ? [] : canonical(text)));
}

function canonical(address: string): string {
  const ipv6 = address.includes(':') ? parseIpv6(address) : undefined;
  return ipv6 === undefined ? address.toLowerCase() : formatIpv6(ipv6);
}
