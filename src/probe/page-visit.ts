/**
 * Visits a web page as whoever commissions it would: can it be reached, what does it speak, what is
 * wrong with its certificate, where does it lead. It reads only, logs in nowhere and follows nothing.
 *
 * Sources: RFC 9110 (GET, redirects, https), RFC 8996 (TLS 1.0 and 1.1 are not to be used).
 */
import { isIP } from 'node:net';
import type { TLSSocket } from 'node:tls';
import {
  judgeCertificate,
  type CertificateProblem,
  type CertificateReport,
} from './certificate.js';
import { failureOf, openTcp, openTls, type ConnectionProblem } from './connection.js';
import { plainGet, type Answer } from './plain-get.js';

/** Everything that can be wrong with a page, in the order in which it is told. */
export const PAGE_PROBLEMS = {
  'nothing-listens':
    'The host answers, but nothing listens at this port: the port is wrong or the service is off.',
  'no-answer': 'Nothing came back in time: the device is off, hangs, or stands behind a firewall.',
  unreachable:
    'No way leads to the host: compare the address of this computer (`ferrule laptop`) and the cable.',
  closed: 'The host closed the connection without an answer.',
  'speaks-http': 'The service speaks http where the site says https.',
  'speaks-https': 'The service speaks https where the site says http.',
  'old-tls': 'It speaks only TLS 1.1 or older, which browsers refuse.',
  'tls-failed': 'No encrypted connection came about.',
  'no-http': 'What answers is no web server.',
  'plain-http': 'The page is not encrypted: whoever is on the network reads the password.',
  'http-too': 'The same page opens without encryption, too, and does not lead to https.',
  'redirect-elsewhere': 'It leads to a host that the site does not name; that was not followed.',
  'redirect-to-http': 'It leads from https back to http.',
  'page-missing': 'There is no page at "/".',
  'server-error': 'The device reports a fault of its own.',
} as const satisfies Readonly<
  Record<ConnectionProblem | 'plain-http', string> & Record<string, string>
>;

export type PageProblem = keyof typeof PAGE_PROBLEMS | CertificateProblem;

export interface PageTarget {
  /** `https://10.40.8.20/`, as the site states it. */
  readonly page: string;
  /** Where to connect to; left out: the host of the page. */
  readonly address?: string;
  /** The fingerprint that the site states. */
  readonly pinned?: string;
}

export interface VisitOptions {
  /** Whom to trust: certificates in PEM. */
  readonly authorities: readonly string[];
  /** The instant for which certificates are judged. */
  readonly on: Date;
  /** Whether the site names a host, by its name or address. */
  readonly isNamed: (host: string) => boolean;
  /** For each connection; 10 s where left out, and never more. */
  readonly timeoutMs?: number;
  /** The port where an encrypted page may stand without encryption, too; 80 beside 443 where left out. */
  readonly plainPort?: number;
}

export interface Redirect {
  readonly to: string;
  /** False where it leads to a host that the site does not name. */
  readonly named: boolean;
}

export interface PageVisit {
  readonly page: string;
  readonly address: string;
  readonly port: number;
  /** `TLSv1.3`; undefined where no encrypted connection came about. */
  readonly tlsVersion: string | undefined;
  readonly certificate: CertificateReport | undefined;
  /** HTTP status; undefined where no answer came. */
  readonly status: number | undefined;
  readonly bytes: number | undefined;
  /** True where the page was longer than what is read. */
  readonly cut: boolean;
  readonly redirect: Redirect | undefined;
  /** What stands at the port without encryption: undefined where that was not tried. */
  readonly plain: 'closed' | 'leads-to-https' | 'opens' | undefined;
  /** The code of the failure, for whoever looks further. */
  readonly code: string | undefined;
  readonly problems: readonly PageProblem[];
}

/** The most time that a connection may take, in ms. */
export const LONGEST_MS = 10_000;

/** Visits one page: one connection at a time. Never throws because of what the host does. */
export async function visitPage(target: PageTarget, options: VisitOptions): Promise<PageVisit> {
  const url = new URL(target.page);
  const at: At = {
    url,
    host: bare(url.hostname),
    address: target.address ?? bare(url.hostname),
    port: Number(url.port === '' ? (url.protocol === 'https:' ? 443 : 80) : url.port),
    timeoutMs: Math.min(options.timeoutMs ?? LONGEST_MS, LONGEST_MS),
  };
  const visited =
    url.protocol === 'https:'
      ? await visitEncrypted(at, target, options)
      : await visitPlain(at, options);
  return {
    ...nothingSeen,
    page: target.page,
    address: at.address,
    port: at.port,
    ...visited,
    problems: inOrder(visited.problems ?? []),
  };
}

interface At {
  readonly url: URL;
  /** The host of the page, without brackets. */
  readonly host: string;
  readonly address: string;
  readonly port: number;
  readonly timeoutMs: number;
}

type Seen = Partial<Omit<PageVisit, 'page' | 'address' | 'port'>>;

const nothingSeen = {
  tlsVersion: undefined,
  certificate: undefined,
  status: undefined,
  bytes: undefined,
  cut: false,
  redirect: undefined,
  plain: undefined,
  code: undefined,
};

async function visitEncrypted(at: At, target: PageTarget, options: VisitOptions): Promise<Seen> {
  let socket: TLSSocket;
  try {
    socket = await openTls(at, isIP(at.host) === 0 ? at.host : undefined, at.timeoutMs);
  } catch (error) {
    const { problem, code } = failureOf(error);
    return { code, problems: [problem] };
  }
  const tlsVersion = socket.getProtocol() ?? undefined;
  const certificate = certificateOf(socket, at.host, target, options);
  const problems: PageProblem[] = [
    ...(tlsVersion === 'TLSv1' || tlsVersion === 'TLSv1.1' ? (['old-tls'] as const) : []),
    ...(certificate?.problems ?? ['tls-failed' as const]),
  ];
  const seen = await answered(socket, at, options);
  const plain = await plainBeside(at, options);
  return {
    tlsVersion,
    certificate,
    ...seen,
    plain,
    problems: [
      ...problems,
      ...(seen.problems ?? []),
      ...(plain === 'opens' ? (['http-too'] as const) : []),
    ],
  };
}

async function visitPlain(at: At, options: VisitOptions): Promise<Seen> {
  let seen: Seen;
  try {
    seen = await answered(await openTcp(at, at.timeoutMs), at, options);
  } catch (error) {
    const { problem, code } = failureOf(error);
    return { code, problems: [problem] };
  }
  if (seen.status !== undefined) {
    const leadsToHttps = seen.redirect?.to.startsWith('https:') === true;
    return leadsToHttps ? seen : { ...seen, problems: ['plain-http', ...(seen.problems ?? [])] };
  }
  // What closes or garbles a plain request may be a server that waits for encryption. One that is
  // merely silent is not asked again: it has had its time.
  if (seen.problems?.includes('no-answer') === true) {
    return seen;
  }
  try {
    const socket = await openTls(at, isIP(at.host) === 0 ? at.host : undefined, at.timeoutMs);
    socket.destroy();
    return { ...seen, tlsVersion: socket.getProtocol() ?? undefined, problems: ['speaks-https'] };
  } catch {
    return seen;
  }
}

/** Reads the page over an open connection, and where it leads. */
async function answered(
  socket: Parameters<typeof plainGet>[0],
  at: At,
  options: VisitOptions,
): Promise<Seen> {
  let answer: Answer;
  try {
    answer = await plainGet(socket, at.url.host, at.timeoutMs);
  } catch (error) {
    const { problem, code } = failureOf(error);
    return { code, problems: [problem] };
  }
  const redirect = redirectOf(answer, at.url, options);
  const problems: PageProblem[] = [];
  if (redirect?.named === false) {
    problems.push('redirect-elsewhere');
  }
  if (at.url.protocol === 'https:' && redirect?.to.startsWith('http:') === true) {
    problems.push('redirect-to-http');
  }
  if (answer.status >= 500) {
    problems.push('server-error');
  } else if (answer.status === 404 || answer.status === 410) {
    problems.push('page-missing');
  }
  return { status: answer.status, bytes: answer.bytes, cut: answer.cut, redirect, problems };
}

function redirectOf(
  { status, location }: Answer,
  from: URL,
  { isNamed }: VisitOptions,
): Redirect | undefined {
  if (status < 300 || status > 399 || location === undefined) {
    return undefined;
  }
  if (!URL.canParse(location, from)) {
    return { to: location, named: false };
  }
  const to = new URL(location, from);
  const host = bare(to.hostname);
  return { to: to.href, named: host === bare(from.hostname) || isNamed(host) };
}

/** What stands beside an encrypted page without encryption. */
async function plainBeside(at: At, options: VisitOptions): Promise<PageVisit['plain']> {
  const port = options.plainPort ?? (at.port === 443 ? 80 : undefined);
  if (port === undefined) {
    return undefined;
  }
  const url = new URL(`http://${at.url.hostname}:${port}/`);
  try {
    const socket = await openTcp({ address: at.address, port }, at.timeoutMs);
    const answer = await plainGet(socket, url.host, at.timeoutMs);
    return redirectOf(answer, url, options)?.to.startsWith('https:') === true
      ? 'leads-to-https'
      : 'opens';
  } catch {
    return 'closed';
  }
}

function certificateOf(
  socket: TLSSocket,
  host: string,
  { pinned }: PageTarget,
  { authorities, on }: VisitOptions,
): CertificateReport | undefined {
  const shown = socket.getPeerCertificate(true);
  if (shown.raw === undefined) {
    return undefined;
  }
  const chain: Buffer[] = [];
  // The last one names itself as its issuer.
  for (
    let next = shown.issuerCertificate;
    next?.raw !== undefined && !next.raw.equals(chain.at(-1) ?? shown.raw);
    next = next.issuerCertificate
  ) {
    chain.push(next.raw);
  }
  return judgeCertificate({
    ...{ certificate: shown.raw, chain, authorities, host, on },
    ...(pinned === undefined ? {} : { pinned }),
  });
}

function inOrder(problems: readonly PageProblem[]): readonly PageProblem[] {
  return [...new Set(problems)];
}

/** An IPv6 address stands in brackets in a URL. */
function bare(hostname: string): string {
  return hostname.replace(/^\[(.*)\]$/u, '$1');
}
