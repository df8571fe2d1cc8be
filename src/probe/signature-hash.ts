/** The hash of a certificate's signature: Node 20 does not tell it, so it is read from the DER. */

/** Hashes by object identifier: RFC 8017 appendix A.2.4, RFC 5758 and RFC 8410. */
const HASHES: Readonly<Record<string, string>> = {
  '1.2.840.113549.1.1.2': 'md2',
  '1.2.840.113549.1.1.4': 'md5',
  '1.2.840.113549.1.1.5': 'sha1',
  '1.2.840.113549.1.1.14': 'sha224',
  '1.2.840.113549.1.1.11': 'sha256',
  '1.2.840.113549.1.1.12': 'sha384',
  '1.2.840.113549.1.1.13': 'sha512',
  '1.2.840.10045.4.1': 'sha1',
  '1.2.840.10045.4.3.1': 'sha224',
  '1.2.840.10045.4.3.2': 'sha256',
  '1.2.840.10045.4.3.3': 'sha384',
  '1.2.840.10045.4.3.4': 'sha512',
  '1.3.101.112': 'sha512',
};

interface Element {
  readonly tag: number;
  readonly start: number;
  readonly end: number;
}

const SEQUENCE = 0x30;
const OBJECT_IDENTIFIER = 0x06;

/**
 * The hash in the signature algorithm of a certificate (RFC 5280 4.1.1.2); undefined where the
 * algorithm is another one or the bytes are no certificate.
 */
export function signatureHashOf(der: Uint8Array): string | undefined {
  const certificate = elementAt(der, 0);
  const signed = certificate?.tag === SEQUENCE ? elementAt(der, certificate.start) : undefined;
  const algorithm = signed && elementAt(der, signed.end);
  const identifier = algorithm?.tag === SEQUENCE ? elementAt(der, algorithm.start) : undefined;
  return identifier?.tag === OBJECT_IDENTIFIER
    ? HASHES[identifierText(der.subarray(identifier.start, identifier.end))]
    : undefined;
}

/** Tag and extent of the content of the element that starts at an offset (ITU-T X.690 8.1). */
function elementAt(der: Uint8Array, offset: number): Element | undefined {
  const tag = der[offset];
  const first = der[offset + 1];
  if (tag === undefined || first === undefined) {
    return undefined;
  }
  const lengthBytes = first < 0x80 ? 0 : first & 0x7f;
  const start = offset + 2 + lengthBytes;
  const length =
    lengthBytes === 0
      ? first
      : der.subarray(offset + 2, start).reduce((sum, byte) => sum * 256 + byte, 0);
  return start + length > der.length ? undefined : { tag, start, end: start + length };
}

/** Two numbers share the first byte; the others have seven bits a byte (ITU-T X.690 8.19). */
function identifierText(bytes: Uint8Array): string {
  const numbers: number[] = [];
  let number = 0;
  for (const byte of bytes) {
    number = number * 128 + (byte & 0x7f);
    if (byte < 0x80) {
      numbers.push(number);
      number = 0;
    }
  }
  const [joint = 0, ...rest] = numbers;
  const root = Math.min(2, Math.floor(joint / 40));
  return [root, joint - 40 * root, ...rest].join('.');
}
