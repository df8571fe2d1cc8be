/**
 * Visits to real servers on this computer: each kind of certificate, plain http, wrong ports, hanging
 * servers, redirects. Expected codes are those of Node's own client in tests/reference/tls-vectors.json.
 */
import { spawn } from 'node:child_process';
import { createServer as createWeb, type RequestListener } from 'node:http';
import { createServer as createSecureWeb } from 'node:https';
import { createServer as createTcp, type AddressInfo, type Server, type Socket } from 'node:net';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { MOST_BYTES } from '../../src/probe/plain-get.js';
import { visitPage, type PageProblem, type PageTarget } from '../../src/probe/page-visit.js';
import {
  CertificateWorkshop,
  OPENSSL_INSTALL,
  opensslIsInstalled,
  type Issued,
} from '../support/certificates.js';

const HOST = '127.0.0.1';
const open: { server: Server; sockets: Set<Socket> }[] = [];

afterEach(async () => {
  for (const { server, sockets } of open.splice(0)) {
    sockets.forEach((socket) => socket.destroy());
    await new Promise((closed) => server.close(closed));
  }
});

/** Starts a server on a free port of this computer; it is stopped after the test. */
async function started(server: Server): Promise<number> {
  const sockets = new Set<Socket>();
  server.on('connection', (socket: Socket) => {
    sockets.add(socket);
    socket.on('error', () => socket.destroy());
    socket.on('close', () => sockets.delete(socket));
  });
  open.push({ server, sockets });
  await new Promise<void>((ready) => server.listen(0, HOST, ready));
  return (server.address() as AddressInfo).port;
}

const page: RequestListener = (_request, response) => response.end('<h1>panel</h1>');

/** A port that nothing listens at: one that was just given back. */
async function deadPort(): Promise<number> {
  const server = createTcp();
  await new Promise<void>((ready) => server.listen(0, HOST, ready));
  const { port } = server.address() as AddressInfo;
  await new Promise((closed) => server.close(closed));
  return port;
}

interface Asking {
  readonly authorities?: readonly string[];
  readonly named?: readonly string[];
  readonly plainPort?: number;
  readonly timeoutMs?: number;
}

const visit = (target: string | PageTarget, asking: Asking = {}) =>
  visitPage(typeof target === 'string' ? { page: target } : target, {
    authorities: asking.authorities ?? [],
    on: new Date(),
    isNamed: (host) => (asking.named ?? []).includes(host),
    timeoutMs: asking.timeoutMs ?? 5000,
    ...(asking.plainPort === undefined ? {} : { plainPort: asking.plainPort }),
  });

describe('a page without encryption', () => {
  it('opens, and is told to be readable by others', async () => {
    const port = await started(createWeb(page));
    const seen = await visit(`http://${HOST}:${port}/`);
    expect(seen).toMatchObject({ status: 200, bytes: 14, problems: ['plain-http'] });
  });

  it('is asked once, for "/", without cookies and without credentials', async () => {
    const asked: string[] = [];
    const port = await started(
      createWeb((request, response) => {
        asked.push(`${request.method} ${request.url}`);
        expect(Object.keys(request.headers).sort()).toEqual(['accept', 'connection', 'host']);
        response.setHeader('set-cookie', 'session=1');
        response.end();
      }),
    );
    await visit(`http://somebody:secret@${HOST}:${port}/admin?all=1`);
    expect(asked).toEqual(['GET /']);
  });

  it('is read no further than 1 MB', async () => {
    let sent = 0;
    const port = await started(
      createWeb((_request, response) => {
        const more = () => {
          sent += 65_536;
          response.write(Buffer.alloc(65_536), () => !response.destroyed && more());
        };
        more();
      }),
    );
    const seen = await visit(`http://${HOST}:${port}/`);
    expect(seen).toMatchObject({ status: 200, bytes: MOST_BYTES, cut: true });
    expect(sent).toBeLessThan(20 * MOST_BYTES);
  });

  it('that nothing listens for is told apart from one that is silent', async () => {
    const dead = await visit(`http://${HOST}:${await deadPort()}/`);
    expect(dead).toMatchObject({ code: 'ECONNREFUSED', problems: ['nothing-listens'] });
    const silent = await started(createTcp());
    const hanging = await visit(`http://${HOST}:${silent}/`, { timeoutMs: 200 });
    expect(hanging).toMatchObject({ code: 'ETIMEDOUT', problems: ['no-answer'] });
  });

  it('that comes in drops does not hold anybody longer than the time allowed', async () => {
    const port = await started(
      createWeb((_request, response) => {
        const drop = setInterval(() => response.write('.'), 20);
        response.on('close', () => clearInterval(drop));
      }),
    );
    expect((await visit(`http://${HOST}:${port}/`, { timeoutMs: 300 })).problems).toEqual([
      'no-answer',
    ]);
  });

  it.each<[string, PageProblem[]]>([
    ['SSH-2.0-something\r\n', ['no-http']],
    ['', ['closed']],
  ])('whose server says %j instead is no web server', async (said, problems) => {
    const port = await started(createTcp((socket) => socket.end(said)));
    expect((await visit(`http://${HOST}:${port}/`)).problems).toEqual(problems);
  });

  it.each<[number, PageProblem[]]>([
    [401, ['plain-http']],
    [404, ['plain-http', 'page-missing']],
    [503, ['plain-http', 'server-error']],
  ])('that answers %i', async (status, problems) => {
    const port = await started(createWeb((_request, response) => response.writeHead(status).end()));
    expect(await visit(`http://${HOST}:${port}/`)).toMatchObject({ status, problems });
  });

  it('that leads elsewhere is reported, and nobody goes there', async () => {
    let visitors = 0;
    const elsewhere = await started(createTcp(() => (visitors += 1)));
    const to = `http://127.0.0.2:${elsewhere}/login`;
    const port = await started(
      createWeb((_request, response) => response.writeHead(302, { location: to }).end()),
    );
    const seen = await visit(`http://${HOST}:${port}/`);
    expect(seen.redirect).toEqual({ to, named: false });
    expect(seen.problems).toEqual(['plain-http', 'redirect-elsewhere']);
    const named = await visit(`http://${HOST}:${port}/`, { named: ['127.0.0.2'] });
    expect(named.redirect).toEqual({ to, named: true });
    expect(named.problems).toEqual(['plain-http']);
    expect(visitors).toBe(0);
  });

  it('whose redirect is no address is no way on', async () => {
    const port = await started(
      createWeb((_request, response) => response.writeHead(302, { location: 'http://[' }).end()),
    );
    expect((await visit(`http://${HOST}:${port}/`)).problems).toContain('redirect-elsewhere');
  });

  it('that leads to its own https is right', async () => {
    const port = await started(
      createWeb((_request, response) =>
        response.writeHead(308, { location: `https://${HOST}/` }).end(),
      ),
    );
    expect((await visit(`http://${HOST}:${port}/`)).problems).toEqual([]);
  });
});

describe.skipIf(!opensslIsInstalled())(
  `an encrypted page (needs openssl: ${OPENSSL_INSTALL})`,
  () => {
    let shop: CertificateWorkshop;
    beforeAll(() => {
      shop = new CertificateWorkshop();
    });
    afterAll(() => shop.remove());

    const secure = (issued: Issued, more: object = {}, listener = page) =>
      started(
        createSecureWeb(
          {
            ...{ cert: issued.certificate, key: issued.key, ciphers: 'DEFAULT:@SECLEVEL=0' },
            ...{ minVersion: 'TLSv1' as const, ...more },
          },
          listener,
        ),
      );

    const cases: readonly {
      readonly name: string;
      readonly make: () => Issued;
      readonly problems: readonly PageProblem[];
      readonly trusts?: false;
      /** What `openssl s_client -verify_ip` says of the same server. */
      readonly openssl: number;
    }[] = [
      {
        name: 'right',
        make: () => shop.issued('good', '/CN=panel-1', `IP:${HOST}`),
        problems: [],
        openssl: 0,
      },
      {
        name: 'issued by nobody known',
        make: () => shop.issued('unknown', '/CN=panel-1', `IP:${HOST}`),
        trusts: false,
        problems: ['unknown-issuer'],
        openssl: 0,
      },
      {
        name: 'for a name',
        make: () => shop.issued('dnsonly', '/CN=panel-1', 'DNS:panel-1.example'),
        problems: ['name-mismatch'],
        openssl: 64,
      },
      {
        name: 'with the address as common name alone',
        make: () => shop.issued('cnip', `/CN=${HOST}`, undefined),
        problems: ['name-mismatch'],
        openssl: 64,
      },
      {
        name: 'for another address',
        make: () => shop.issued('wrongip', '/CN=panel-1', 'IP:192.0.2.20'),
        problems: ['name-mismatch'],
        openssl: 64,
      },
      {
        name: 'with the address written as a name',
        make: () => shop.issued('ipasdns', '/CN=panel-1', `DNS:${HOST}`),
        problems: ['name-mismatch'],
        openssl: 64,
      },
      {
        name: 'over',
        make: () =>
          shop.issued('expired', '/CN=p', 'IP:192.0.2.1', '20200101000000Z', '20210101000000Z'),
        problems: ['expired', 'name-mismatch'],
        openssl: 10,
      },
      {
        name: 'still to come',
        make: () =>
          shop.issued('future', '/CN=p', `IP:${HOST}`, '20400101000000Z', '20410101000000Z'),
        problems: ['not-yet-valid'],
        openssl: 9,
      },
      {
        name: 'its own',
        make: () => shop.selfSigned('self', `IP:${HOST}`),
        problems: ['self-signed'],
        openssl: 18,
      },
      {
        name: 'weak in every way',
        make: () => shop.weak('weak', `IP:${HOST}`),
        problems: ['self-signed', 'weak-key', 'weak-hash', 'long-life'],
        openssl: 18,
      },
    ];

    it.each(cases)(
      'whose certificate is $name has every problem told, and openssl sees the same server so',
      async ({ make, problems, trusts, openssl }) => {
        const port = await secure(make());
        const authorities = trusts === false ? [] : [shop.authority.certificate];
        const seen = await visit(`https://${HOST}:${port}/`, { authorities });
        expect(seen).toMatchObject({ status: 200, tlsVersion: 'TLSv1.3', problems });
        const told = await sClient(port, shop.folder);
        expect(told.codes).toContain(openssl);
        expect(told.protocol).toBe(seen.tlsVersion);
        expect(shop.told(told.certificate, '-fingerprint', '-sha256')).toContain(
          seen.certificate!.fingerprint,
        );
      },
    );

    it('is compared with the fingerprint that the site states', async () => {
      const issued = shop.selfSigned('pinned', `IP:${HOST}`);
      const port = await secure(issued);
      const address = `https://${HOST}:${port}/`;
      const { certificate } = await visit(address);
      const right = await visit({ page: address, pinned: certificate!.fingerprint });
      expect(right.problems).toEqual([]);
      const wrong = await visit({ page: address, pinned: '00:'.repeat(31) + '00' });
      expect(wrong.problems).toEqual(['self-signed', 'fingerprint-mismatch']);
    });

    it('is reached at its address by its name, with the name as the server is asked for it', async () => {
      const names: (string | undefined)[] = [];
      const issued = shop.issued('named', '/CN=panel-1', 'DNS:panel-1.example');
      const port = await secure(issued, {
        SNICallback: (name: string, done: (error: null) => void) => {
          names.push(name);
          done(null);
        },
      });
      const seen = await visit(
        { page: `https://panel-1.example:${port}/`, address: HOST },
        { authorities: [shop.authority.certificate] },
      );
      expect(seen).toMatchObject({ address: HOST, status: 200, problems: [] });
      expect(names).toEqual(['panel-1.example']);
    });

    it('of an old device is read and told to be old', async () => {
      const port = await secure(shop.issued('old', '/CN=p', `IP:${HOST}`), {
        maxVersion: 'TLSv1.1',
      });
      const seen = await visit(`https://${HOST}:${port}/`, {
        authorities: [shop.authority.certificate],
      });
      expect(seen).toMatchObject({ tlsVersion: 'TLSv1.1', status: 200, problems: ['old-tls'] });
    });

    it('that is none is told to speak http, and the other way round', async () => {
      const plain = await started(createWeb(page));
      expect((await visit(`https://${HOST}:${plain}/`)).problems).toEqual(['speaks-http']);
      const encrypted = await secure(shop.selfSigned('way-round', `IP:${HOST}`));
      expect((await visit(`http://${HOST}:${encrypted}/`)).problems).toEqual(['speaks-https']);
    });

    it('behind which nothing listens, or something hangs or closes', async () => {
      const dead = await visit(`https://${HOST}:${await deadPort()}/`);
      expect(dead.problems).toEqual(['nothing-listens']);
      const silent = await started(createTcp());
      const hanging = await visit(`https://${HOST}:${silent}/`, { timeoutMs: 200 });
      expect(hanging.problems).toEqual(['no-answer']);
      const closing = await started(createTcp((socket) => socket.destroy()));
      expect((await visit(`https://${HOST}:${closing}/`)).problems).toEqual(['closed']);
    });

    it('that opens without encryption, too, or leads there', async () => {
      const issued = shop.issued('twice', '/CN=p', `IP:${HOST}`);
      const authorities = [shop.authority.certificate];
      const encrypted = await secure(issued);
      const address = `https://${HOST}:${encrypted}/`;
      const plain = await started(createWeb(page));
      const both = await visit(address, { authorities, plainPort: plain });
      expect(both).toMatchObject({ plain: 'opens', problems: ['http-too'] });
      const leading = await started(
        createWeb((_request, response) => response.writeHead(301, { location: address }).end()),
      );
      const right = await visit(address, { authorities, plainPort: leading });
      expect(right).toMatchObject({ plain: 'leads-to-https', problems: [] });
      const closed = await visit(address, { authorities, plainPort: await deadPort() });
      expect(closed).toMatchObject({ plain: 'closed', problems: [] });
      const back = await secure(issued, {}, (_request, response) =>
        response.writeHead(302, { location: `http://${HOST}:${plain}/` }).end(),
      );
      const backwards = await visit(`https://${HOST}:${back}/`, { authorities });
      expect(backwards.problems).toEqual(['redirect-to-http']);
    });

    it('has one connection at a time', async () => {
      const happened: string[] = [];
      const issued = shop.selfSigned('one', `IP:${HOST}`);
      const port = await secure(issued, {}, (_request, response) => {
        response.on('finish', () => happened.push('page answered'));
        response.end();
      });
      const plainPort = await started(
        createWeb(page).on('connection', () => happened.push('plain connection')),
      );
      await visit(`https://${HOST}:${port}/`, { plainPort });
      expect(happened).toEqual(['page answered', 'plain connection']);
    });
  },
);

/** What openssl's own client sees: the codes with which its verification objects, 0 where it does not. */
function sClient(
  port: number,
  folder: string,
): Promise<{ readonly codes: readonly number[]; protocol: string; certificate: string }> {
  return new Promise((resolve, reject) => {
    const client = spawn(
      'openssl',
      [
        ...['s_client', '-connect', `${HOST}:${port}`, '-verify_ip', HOST],
        ...['-CAfile', 'authority.crt', '-cipher', 'DEFAULT:@SECLEVEL=0', '-showcerts'],
      ],
      { cwd: folder, timeout: 20_000 },
    );
    let out = '';
    client.stdout.setEncoding('utf8').on('data', (text: string) => (out += text));
    client.stderr.setEncoding('utf8').on('data', (text: string) => (out += text));
    client.on('error', reject);
    client.on('close', () => {
      const codes = [...out.matchAll(/(?:verify error:num=|Verify return code: )(\d+)/gu)];
      resolve({
        codes: codes.map((match) => Number(match[1])),
        protocol: /(TLSv1(?:\.\d)?), Cipher/u.exec(out)?.[1] ?? '',
        certificate: /-----BEGIN[\s\S]+?-----END CERTIFICATE-----/u.exec(out)?.[0] ?? '',
      });
    });
    client.stdin.end();
  });
}
