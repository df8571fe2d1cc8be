/** Web pages of hosts: what an address line in a browser says, and which names a certificate covers. */
import { parseAddress } from './ipv4.js';

/** The parts of a page's address that can be judged. */
export interface PageAddress {
  /** In small letters: `https`. */
  readonly scheme: string;
  /** In small letters; an IPv6 address without its brackets. */
  readonly host: string;
}

/** Reads `https://host:port/path` (RFC 3986); undefined where it is no such text. */
export function readPage(text: string): PageAddress | undefined {
  const match =
    /^([A-Za-z][A-Za-z0-9+.-]*):\/\/(?:[^/?#@]*@)?(?:\[([0-9A-Fa-f:.]+)\]|([^/?#:@[\]\s]+))(?::\d*)?(?:[/?#]\S*)?$/u.exec(
      text.trim(),
    );
  const host = match?.[2] ?? match?.[3];
  return match === null || host === undefined
    ? undefined
    : { scheme: match[1]!.toLowerCase(), host: host.toLowerCase() };
}

/**
 * Whether a name in a certificate covers the host of a page.
 *
 * An IP address must match exactly; a DNS name without regard to case, and `*` stands for exactly
 * one leftmost label (RFC 9110 section 4.3.4, RFC 9525 section 6.3; detail from memory).
 */
export function certificateCovers(name: string, host: string): boolean {
  const wanted = host.toLowerCase();
  const given = name.trim().toLowerCase();
  if (isIpText(wanted) || isIpText(given)) {
    return given === wanted;
  }
  if (!given.startsWith('*.')) {
    return trimDot(given) === trimDot(wanted);
  }
  const dot = wanted.indexOf('.');
  return dot > 0 && trimDot(wanted.slice(dot + 1)) === trimDot(given.slice(2));
}

function isIpText(text: string): boolean {
  return parseAddress(text).ok || text.includes(':');
}

function trimDot(name: string): string {
  return name.endsWith('.') ? name.slice(0, -1) : name;
}
