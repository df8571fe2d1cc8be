/**
 * What a web page's certificate says and everything that is wrong with it. A client stops at the first
 * objection; whoever commissions a page wants to hear all of them.
 *
 * Sources: RFC 5280 4.1.2.5 (validity, both ends inclusive), RFC 9110 4.3.4 and RFC 9525 (an address
 * needs an iPAddress name that is exactly the same; the common name is no fallback), NIST SP 800-131A
 * (keys and hashes).
 */
import { X509Certificate } from 'node:crypto';
import { isIP } from 'node:net';
import { signatureHashOf } from './signature-hash.js';

/** Ways in which a certificate can be wrong, in the order in which clients object. */
export const CERTIFICATE_PROBLEMS = {
  'self-signed': 'The device vouches for itself: compare the fingerprint with its own display.',
  'unknown-issuer': 'Nobody who is trusted here has issued it.',
  'not-yet-valid':
    'Its first day is still to come: the clock of the device or of this computer may be wrong.',
  expired: 'Its last day is over: have it renewed.',
  'name-mismatch': 'It is made out for other names than the one by which the page is opened.',
  'fingerprint-mismatch':
    'Its fingerprint is another one than the site states: find out why before anybody logs in.',
  'weak-key': 'Its key can be broken with the means of today.',
  'weak-hash': 'Its signature uses a hash that can be forged.',
  'long-life': 'It is valid for more than ten years, longer than a key should be used.',
} as const;

export type CertificateProblem = keyof typeof CERTIFICATE_PROBLEMS;

export interface CertificateReport {
  readonly subject: string;
  readonly issuer: string;
  /** Host names and addresses of the subjectAltName extension, as `DNS:…` and `IP Address:…`. */
  readonly names: readonly string[];
  /** First and last instant of validity, ISO 8601 in UTC. */
  readonly notBefore: string;
  readonly notAfter: string;
  /** Whole days from the instant of the judgement to the last one; negative when it is over. */
  readonly daysLeft: number;
  readonly selfSigned: boolean;
  readonly keyType: string;
  /** Size of the modulus or of the curve's field; undefined where the key type has only one. */
  readonly keyBits: number | undefined;
  /** `sha256`; undefined where the algorithm states none. */
  readonly signatureHash: string | undefined;
  /** SHA-256 over DER, 32 pairs of hexadecimal digits with colons. */
  readonly fingerprint: string;
  readonly problems: readonly CertificateProblem[];
}

export interface CertificateQuestion {
  /** DER or PEM. */
  readonly certificate: Buffer | string;
  /** Certificates that came with it, in any order. */
  readonly chain?: readonly (Buffer | string)[];
  /** Whom to trust. */
  readonly authorities: readonly (Buffer | string)[];
  /** Name or address by which the page is opened. */
  readonly host: string;
  readonly on: Date;
  /** The fingerprint that the site states; whoever has compared it trusts the certificate by it. */
  readonly pinned?: string;
}

const DAY_MS = 86_400_000;
/** NIST SP 800-131A: 112 bits of security. */
const LEAST_RSA_BITS = 2048;
const LEAST_CURVE_BITS = 224;
/** Common practice for devices that nobody renews automatically. */
const LONGEST_LIFE_DAYS = 3653;
const WEAK_HASHES: ReadonlySet<string> = new Set(['md2', 'md5', 'sha1']);

/** Reads and judges a certificate. Throws where it is none. */
export function judgeCertificate(question: CertificateQuestion): CertificateReport {
  const certificate = new X509Certificate(question.certificate);
  const first = new Date(certificate.validFrom);
  const last = new Date(certificate.validTo);
  const { type, bits } = keyOf(certificate);
  const hash = signatureHashOf(certificate.raw);
  const isSelfSigned = signs(certificate, certificate);
  const { pinned, on } = question;
  const isPinned = pinned !== undefined && isSameFingerprint(pinned, certificate.fingerprint256);
  const wrong: Readonly<Record<CertificateProblem, boolean>> = {
    'self-signed': isSelfSigned && !isPinned && !isTrusted(certificate, question),
    'unknown-issuer': !isSelfSigned && !isPinned && !isTrusted(certificate, question),
    'not-yet-valid': on < first,
    expired: on > last,
    'name-mismatch': !isMadeOutFor(certificate, question.host),
    'fingerprint-mismatch': pinned !== undefined && !isPinned,
    'weak-key': bits !== undefined && bits < (type === 'rsa' ? LEAST_RSA_BITS : LEAST_CURVE_BITS),
    'weak-hash': hash !== undefined && WEAK_HASHES.has(hash),
    'long-life': last.getTime() - first.getTime() > LONGEST_LIFE_DAYS * DAY_MS,
  };
  return {
    subject: oneLine(certificate.subject),
    issuer: oneLine(certificate.issuer),
    names: certificate.subjectAltName?.split(', ') ?? [],
    notBefore: first.toISOString(),
    notAfter: last.toISOString(),
    daysLeft: Math.floor((last.getTime() - on.getTime()) / DAY_MS),
    selfSigned: isSelfSigned,
    keyType: type,
    keyBits: bits,
    signatureHash: hash,
    fingerprint: certificate.fingerprint256,
    problems: (Object.keys(CERTIFICATE_PROBLEMS) as CertificateProblem[]).filter(
      (problem) => wrong[problem],
    ),
  };
}

/** Whether the chain that came with a certificate leads to somebody who is trusted. */
function isTrusted(
  certificate: X509Certificate,
  { chain = [], authorities }: CertificateQuestion,
): boolean {
  const trusted = authorities.map((one) => new X509Certificate(one));
  const between = chain.map((one) => new X509Certificate(one));
  const reached = [certificate];
  for (const one of reached) {
    if (trusted.some((authority) => signs(authority, one) || isSame(authority, one))) {
      return true;
    }
    reached.push(
      ...between.filter(
        (next) => next.ca && signs(next, one) && !reached.some((at) => isSame(at, next)),
      ),
    );
  }
  return false;
}

function isSame(one: X509Certificate, other: X509Certificate): boolean {
  return one.fingerprint256 === other.fingerprint256;
}

function signs(issuer: X509Certificate, certificate: X509Certificate): boolean {
  return certificate.checkIssued(issuer) && certificate.verify(issuer.publicKey);
}

function isMadeOutFor(certificate: X509Certificate, host: string): boolean {
  return isIP(host) === 0
    ? certificate.checkHost(host, { subject: 'never' }) !== undefined
    : certificate.checkIP(host) !== undefined;
}

function keyOf({ publicKey }: X509Certificate): {
  readonly type: string;
  readonly bits: number | undefined;
} {
  const type = publicKey.asymmetricKeyType ?? 'unknown';
  const { modulusLength, namedCurve } = publicKey.asymmetricKeyDetails ?? {};
  // The names of the usual curves say their size: prime256v1, secp384r1.
  const curve = /(\d{3})/u.exec(namedCurve ?? '')?.[1];
  return { type, bits: modulusLength ?? (curve === undefined ? undefined : Number(curve)) };
}

/** Compares fingerprints whatever their case and separators. */
function isSameFingerprint(one: string, other: string): boolean {
  const plain = (text: string) => text.replaceAll(/[^\da-f]/giu, '').toLowerCase();
  return plain(one) === plain(other);
}

function oneLine(name: string | undefined): string {
  return (name ?? '').split('\n').join(', ');
}
