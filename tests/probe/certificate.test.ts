/**
 * Certificates against two readers of their own: openssl's verify and the TLS client of Node, on
 * certificates that openssl makes for the test. Which code each kind gives stands in
 * tests/reference/tls-vectors.json.
 */
import { randomBytes, X509Certificate } from 'node:crypto';
import { createServer } from 'node:https';
import type { AddressInfo } from 'node:net';
import { connect } from 'node:tls';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { certificateCovers } from '../../src/analysis/network/page.js';
import { judgeCertificate, type CertificateProblem } from '../../src/probe/certificate.js';
import { signatureHashOf } from '../../src/probe/signature-hash.js';
import vectors from '../reference/tls-vectors.json' with { type: 'json' };
import {
  CertificateWorkshop,
  OPENSSL_INSTALL,
  opensslIsInstalled,
  type Issued,
} from '../support/certificates.js';

const HOST = '127.0.0.1';
const NAME = 'panel-1.example';

interface Kind {
  readonly name: string;
  readonly make: (workshop: CertificateWorkshop) => Issued;
  /** Not a matter of the certificate: whether the client trusts the authority. */
  readonly trusts?: false;
  readonly problems: readonly CertificateProblem[];
  /** X509_V_ERR_… of openssl's verify. */
  readonly openssl: number;
}

const kinds: readonly Kind[] = [
  {
    name: 'good',
    make: (shop) => shop.issued('good', '/CN=panel-1', `IP:${HOST},DNS:${NAME}`),
    problems: [],
    openssl: 0,
  },
  {
    name: 'dnsonly',
    make: (shop) => shop.issued('dnsonly', '/CN=panel-1', `DNS:${NAME}`),
    problems: ['name-mismatch'],
    openssl: 64,
  },
  {
    name: 'cnip',
    make: (shop) => shop.issued('cnip', `/CN=${HOST}`, undefined),
    problems: ['name-mismatch'],
    openssl: 64,
  },
  {
    name: 'wrongip',
    make: (shop) => shop.issued('wrongip', '/CN=panel-1', 'IP:192.0.2.20'),
    problems: ['name-mismatch'],
    openssl: 64,
  },
  {
    name: 'ipasdns',
    make: (shop) => shop.issued('ipasdns', '/CN=panel-1', `DNS:${HOST}`),
    problems: ['name-mismatch'],
    openssl: 64,
  },
  {
    name: 'expired',
    make: (shop) =>
      shop.issued('expired', '/CN=panel-1', `IP:${HOST}`, '20200101000000Z', '20210101000000Z'),
    problems: ['expired'],
    openssl: 10,
  },
  {
    name: 'future',
    make: (shop) =>
      shop.issued('future', '/CN=panel-1', `IP:${HOST}`, '20400101000000Z', '20410101000000Z'),
    problems: ['not-yet-valid'],
    openssl: 9,
  },
  {
    name: 'self',
    make: (shop) => shop.selfSigned('self', `IP:${HOST}`),
    problems: ['self-signed'],
    openssl: 18,
  },
  {
    name: 'weak',
    make: (shop) => shop.weak('weak', `IP:${HOST}`),
    problems: ['self-signed', 'weak-key', 'weak-hash', 'long-life'],
    openssl: 18,
  },
  {
    name: 'good-noCA',
    make: (shop) => shop.issued('good-noCA', '/CN=panel-1', `IP:${HOST}`),
    trusts: false,
    problems: ['unknown-issuer'],
    openssl: 0,
  },
];

describe.skipIf(!opensslIsInstalled())(`certificates (needs openssl: ${OPENSSL_INSTALL})`, () => {
  let shop: CertificateWorkshop;
  beforeAll(() => {
    shop = new CertificateWorkshop();
  });
  afterAll(() => shop.remove());

  describe.each(kinds)('of the kind $name', ({ name, make, trusts, problems, openssl }) => {
    let issued: Issued;
    beforeAll(() => {
      issued = make(shop);
    });
    const judge = (host = HOST, on = new Date()) =>
      judgeCertificate({
        certificate: issued.certificate,
        authorities: trusts === false ? [] : [shop.authority.certificate],
        host,
        on,
      });

    it('have every problem told', () => {
      expect(judge().problems).toEqual(problems);
    });

    it('are judged as openssl judges them', () => {
      expect(shop.verifyCode(issued.certificate, HOST)).toBe(openssl);
    });

    const vector = vectors.find(({ id }) => id === `F-${name}`)!;
    it(`are refused by a client as ${vector.id} says: ${vector.source} (${vector.sure})`, async () => {
      const code = await clientCode(issued, trusts === false ? [] : [shop.authority.certificate]);
      expect(code).toBe(vector.expect.code);
    });

    it('are read as openssl reads them', () => {
      const report = judge();
      const told = (...options: string[]) => shop.told(issued.certificate, ...options);
      expect(told('-fingerprint', '-sha256')).toContain(`=${report.fingerprint}\n`);
      expect(told('-enddate')).toBe(
        `notAfter=${new X509Certificate(issued.certificate).validTo}\n`,
      );
      const text = told('-text');
      const algorithm = /Signature Algorithm: (\S+)/u.exec(text)![1]!;
      expect(algorithm.toLowerCase()).toContain(report.signatureHash);
      expect(text).toContain(`Public-Key: (${report.keyBits} bit)`);
      report.names.forEach((each) => expect(text).toContain(each));
    });

    it('are still good at both ends of their time, and at no other', () => {
      const { notBefore, notAfter } = judge();
      const timely = (offsetMs: number, end: string) =>
        judge(HOST, new Date(Date.parse(end) + offsetMs)).problems;
      expect(timely(0, notBefore)).not.toContain('not-yet-valid');
      expect(timely(-1000, notBefore)).toContain('not-yet-valid');
      expect(timely(0, notAfter)).not.toContain('expired');
      expect(timely(1000, notAfter)).toContain('expired');
    });
  });

  it('that are self-signed are trusted by their fingerprint, and by no other', () => {
    const { certificate } = shop.selfSigned('pinned', `IP:${HOST}`);
    const { fingerprint256 } = new X509Certificate(certificate);
    const judge = (pinned: string) =>
      judgeCertificate({ certificate, authorities: [], host: HOST, on: new Date(), pinned })
        .problems;
    expect(judge(fingerprint256)).toEqual([]);
    expect(judge(fingerprint256.toLowerCase().replaceAll(':', ''))).toEqual([]);
    expect(judge(randomBytes(32).toString('hex'))).toEqual(['self-signed', 'fingerprint-mismatch']);
  });

  it.each([
    [NAME, NAME],
    [NAME, 'PANEL-1.Example'],
    [NAME, 'panel-2.example'],
    ['*.plant.example', 'gate.plant.example'],
    ['*.plant.example', 'a.gate.plant.example'],
    ['*.plant.example', 'plant.example'],
  ])('made out for %s cover %s as openssl has it', (name, host) => {
    const { certificate } = shop.issued('named', '/CN=panel-1', `DNS:${name}`);
    const covers = shop.verifyCode(certificate, host) === 0;
    expect(certificateCovers(name, host)).toBe(covers);
    const judged = judgeCertificate({
      certificate,
      authorities: [shop.authority.certificate],
      host,
      on: new Date(),
    });
    expect(judged.problems).toEqual(covers ? [] : ['name-mismatch']);
  });

  it('cut short or damaged give no hash, and nothing throws', () => {
    const { raw } = new X509Certificate(shop.authority.certificate);
    for (let length = 0; length < raw.length; length += 1) {
      expect(signatureHashOf(raw.subarray(0, length))).toBeUndefined();
    }
    expect(signatureHashOf(raw)).toBe('sha256');
  });
});

/** The code with which Node's client refuses a server on this computer; null where it does not. */
async function clientCode(
  { certificate, key }: Issued,
  authorities: readonly string[],
): Promise<string | null> {
  const server = createServer({ cert: certificate, key, ciphers: 'DEFAULT:@SECLEVEL=0' });
  await new Promise<void>((ready) => server.listen(0, HOST, ready));
  const { port } = server.address() as AddressInfo;
  try {
    return await new Promise((answer) => {
      const socket = connect({
        ...{ host: HOST, port, ca: [...authorities], ciphers: 'DEFAULT:@SECLEVEL=0' },
      });
      socket.on('secureConnect', () => {
        socket.destroy();
        answer(null);
      });
      socket.on('error', (error: NodeJS.ErrnoException) => answer(error.code ?? error.message));
    });
  } finally {
    await new Promise((closed) => server.close(closed));
  }
}
