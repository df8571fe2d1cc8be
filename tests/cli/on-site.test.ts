/** preflight and laptop as people run them; every host of the sites here is this computer itself. */
import { readFile } from 'node:fs/promises';
import { createServer } from 'node:http';
import type { AddressInfo, Server } from 'node:net';
import { ServerTCP } from 'modbus-serial';
import { afterEach, describe, expect, it } from 'vitest';
import { CommandLine, smallSite } from '../support/command-line.js';

const command = CommandLine.forTests();
const closing: (() => Promise<unknown>)[] = [];

afterEach(async () => {
  await Promise.all(closing.splice(0).map((close) => close()));
});

const gateway = `
equipment Gate "Gateway" {
  role gateway
  port line : Line terminals A, B as controller
  lan lan { https-only }
  supervises other via line up to 8
}

device G-1 : Gate { address 3 }
`;

const siteWith = (host: string, more = '') =>
  `${smallSite.replace('  land M-1.line terminated', '  land G-1.line terminated')}${gateway}
network loop 127.0.0.0/8 {
  host G-1.lan 127.0.0.1 { ${host} }
}
${more}`;

async function web(status = 200): Promise<{ port: number; asked: () => number }> {
  let asked = 0;
  const server = createServer((_request, response) => {
    asked += 1;
    response.writeHead(status).end('page');
  });
  return { port: await listening(server), asked: () => asked };
}

async function listening(server: Server): Promise<number> {
  await new Promise<void>((ready) => server.listen(0, '127.0.0.1', ready));
  closing.push(() => new Promise((closed) => server.close(closed)));
  return (server.address() as AddressInfo).port;
}

async function freePort(): Promise<number> {
  const port = await listening(createServer());
  await closing.pop()!();
  return port;
}

describe('ferrule preflight', () => {
  it('tells what it saw as text, as JSON and as a line for the site', async () => {
    const { port } = await web();
    await command().write('pre/a.ferrule', siteWith(`page "http://127.0.0.1:${port}/"`));
    const { code, out, error } = await command().run('preflight', 'pre/a.ferrule');
    expect({ code, error }).toEqual({ code: 1, error: '' });
    expect(out).toContain(`G-1.lan http://127.0.0.1:${port}/: wrong`);
    expect(out).toContain('answered 200, 4 bytes');
    expect(out).toMatch(/^observed G-1\.lan page fails "plain-http" on \d{4}-\d\d-\d\d$/mu);
    const json = await command().run('preflight', 'pre/a.ferrule', '--format', 'json');
    expect(JSON.parse(json.out)).toMatchObject({
      schemaVersion: 1,
      pages: [{ subject: 'G-1.lan', port, status: 200, problems: ['plain-http'] }],
      modbus: null,
    });
  });

  it('does not go to an address that is not the stated one of the host', async () => {
    const { port, asked } = await web();
    await command().write('pre/b.ferrule', siteWith(`page "http://127.0.0.2:${port}/"`));
    const { code, out } = await command().run('preflight', 'pre/b.ferrule');
    expect(code).toBe(1);
    expect(out).toContain('Not visited');
    expect(out).not.toContain('observed');
    expect(asked()).toBe(0);
  });

  it('merges what it saw into a file, and once only', async () => {
    const page = `http://127.0.0.1:${await freePort()}/`;
    await command().write('pre/c.ferrule', siteWith(`page "${page}"`));
    const once = await command().run('preflight', 'pre/c.ferrule', '--record', 'pre/c.ferrule');
    expect(once.error).toBe('pre/c.ferrule: 1 observation added\n');
    const text = await readFile(command().path('pre/c.ferrule'), 'utf8');
    expect(text).toMatch(/\nobserved G-1\.lan page fails "nothing-listens" on [\d-]+\n$/u);
    const twice = await command().run('preflight', 'pre/c.ferrule', '--record', 'pre/c.ferrule');
    expect(twice.error).toBe('pre/c.ferrule: 0 observations added, 1 there already\n');
    expect(await readFile(command().path('pre/c.ferrule'), 'utf8')).toBe(text);
  });

  it('asks units by Modbus TCP with consent alone, and makes a count of it', async () => {
    const port = await freePort();
    const asked: number[] = [];
    const server = new ServerTCP(
      {
        getHoldingRegister: (_address: number, unit: number) => {
          asked.push(unit);
          return 5;
        },
      },
      { host: '127.0.0.1', port, unitID: 255 },
    );
    await new Promise((ready) => server.on('initialized', ready));
    closing.push(() => new Promise((closed) => server.close(closed)));
    await command().write('pre/d.ferrule', siteWith('name "g"'));
    const words = ['preflight', 'pre/d.ferrule', '--modbus', `G-1.lan:${port}`];
    const refused = await command().run(...words);
    expect(refused.code).toBe(2);
    expect(refused.error).toContain('--consent poll');
    expect(asked).toEqual([]);
    const { code, out } = await command().run(...words, '--consent', 'poll');
    expect(out).toContain('unit 2 (N-1): found, register 0 holds 5');
    expect(out).toContain('Caution');
    expect(out).toMatch(/^observed G-1 finds 1 on /mu);
    expect(asked).toEqual([2]);
    expect(code).toBe(0);
  });

  it.each([
    [['--modbus', 'G-2.lan', '--consent', 'poll'], 'no host "G-2.lan"'],
    [['--modbus', 'G-1.lan:x', '--consent', 'poll'], 'no port'],
    [['--modbus', 'G-1.lan', '--consent', 'poll', '--units', '0-3'], '--units "0-3"'],
    [['--modbus', 'G-1.lan', '--consent', 'poll', '--register', '70000'], '--register "70000"'],
    [['--units', '1'], '--units belongs to --modbus'],
    [['--timeout', '60'], '--timeout "60"'],
    [['--authority', 'none.pem'], '"none.pem" cannot be read'],
  ])('refuses %j with a sentence', async (words, sentence) => {
    await command().write('pre/e.ferrule', siteWith('name "g"'));
    const { code, out, error } = await command().run('preflight', 'pre/e.ferrule', ...words);
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(error).toContain(sentence);
  });
});

describe('ferrule laptop', () => {
  it('says what to set where no address fits, and changes nothing', async () => {
    await command().write('laptop.ferrule', siteWith('name "g"', 'network far 192.0.2.0/29 { }\n'));
    const { code, out } = await command().run('laptop', 'laptop.ferrule', '--network', 'far');
    expect(code).toBe(1);
    expect(out).toContain('far 192.0.2.0/29');
    expect(out).toContain('sudo ip address add 192.0.2.6/29 dev eth0');
    const json = await command().run(
      ...['laptop', 'laptop.ferrule', '--network', 'far', '--format', 'json'],
    );
    expect(JSON.parse(json.out).networks).toMatchObject([
      { network: 'far', fits: false, set: { address: '192.0.2.6', stated: false } },
    ]);
  });

  it('knows no other network', async () => {
    await command().write('laptop.ferrule', siteWith('name "g"'));
    const { code, error } = await command().run('laptop', 'laptop.ferrule', '--network', 'loup');
    expect(code).toBe(2);
    expect(error).toContain('Did you mean loop?');
  });
});
