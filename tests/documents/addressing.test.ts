/** The address plan, the IP plan and the laptop's commands, compared with Python's ipaddress. */
import { describe, expect, it } from 'vitest';
import { addressPlan } from '../../src/documents/addressing/address-plan.js';
import { ipPlan } from '../../src/documents/addressing/ip-plan.js';
import { laptopCommands } from '../../src/documents/addressing/laptop-commands.js';
import { renderMarkdown } from '../../src/documents/render/markdown.js';
import { parseInterface } from '../../src/analysis/network/ipv4.js';
import { PYTHON_INSTALL, pythonIsInstalled, runPython } from '../support/python.js';
import { randomFrom, seedOfThisRun } from '../support/random.js';
import { siteOf } from '../support/site.js';
import { plainFrame } from './frame.js';

const networkText = `
equipment Gateway "Site gateway" {
  role gateway
  inlet supply 24 VAC 8 VA terminals V0, V1
  lan lan { default 192.0.2.10/24  https-only  certificate self-signed }
}
equipment Switch "Network switch" { role switch  lan p1 { gives class 3 }  lan up { } }
device SG-1 : Gateway
device SG-2 : Gateway existing
device SG-3 : Gateway
device SW-1 : Switch
network controls 10.40.8.0/24 vlan 40 {
  router R-1 10.40.8.1
  pool 10.40.8.100 .. 10.40.8.199
  host SG-1.lan 10.40.8.20 { page "https://10.40.8.20/"  name "10.40.8.20"  expires 2027-11-25  fingerprint "27:23" }
  host SG-2.lan 10.40.8.21 { page "https://10.40.8.21/"  expires 2026-11-24 }
  host SG-3.lan 10.40.8.22 from SW-1.p1 using Cat-6 40 m
  host SW-1.up dhcp
  laptop 10.40.8.50
}
network point 10.40.9.0/31 { host SW-1.p1 10.40.9.0 }
`;

describe('the IP plan', () => {
  const { site } = siteOf(networkText);
  const text = renderMarkdown(ipPlan(site, '2026-11-25'), plainFrame);

  it.each([
    '| Prefix | 10.40.8.0/24 |',
    '| Mask | 255.255.255.0 |',
    '| Broadcast address | 10.40.8.255 |',
    '| Host addresses | 10.40.8.1 to 10.40.8.254 |',
    '| VLAN | 40 (stated) |',
    '| Router | R-1 10.40.8.1 |',
    '| Pool handed out by DHCP | 10.40.8.100 to 10.40.8.199 |',
    '| Laptop | 10.40.8.50 |',
    // 254 hosts less 100 in the pool, the router, three hosts and the laptop.
    '| Free host addresses | 149 (computed) |',
    '| Broadcast address | none |',
  ])('says %s', (line) => {
    expect(text).toContain(line);
  });

  it('gives the commands for three systems and the way back', () => {
    expect(text).toContain(
      'netsh interface ipv4 set address name="Ethernet" source=static address=10.40.8.50 mask=255.255.255.0 gateway=none\n' +
        'netsh interface ipv4 set address name="Ethernet" source=dhcp',
    );
    expect(text).toContain(
      'sudo ipconfig set en0 MANUAL 10.40.8.50 255.255.255.0\nsudo ipconfig set en0 DHCP',
    );
    expect(text).toContain(
      'sudo ip address add 10.40.8.50/24 dev eth0\nsudo ip address del 10.40.8.50/24 dev eth0',
    );
  });

  it('suggests a free laptop address where none is stated', () => {
    expect(text).toContain('10.40.9.1 is free; agree it');
  });

  it('says what the browser shows and which certificates are no longer valid', () => {
    const pages = text.split('**Web pages**')[1]?.split('\n\n')[1] ?? '';
    expect(pages).toMatch(
      /SG-1\.lan \| https:\/\/10\.40\.8\.20\/ \| A warning, since the device vouches/u,
    );
    expect(pages).toContain('| 2027-11-25 | 27:23 |');
    expect(pages).toContain('2026-11-24: no longer valid on the day of this pack');
  });

  it('sets devices of one factory address one at a time', () => {
    const factory = text.split('**Addresses that devices come with**')[1] ?? '';
    expect(factory).toContain(
      '| SG-1.lan | 192.0.2.10/24 | 192.0.2.254 | 255.255.255.0 | 10.40.8.20 | one at a time |',
    );
    // What is existing has its address already.
    expect(factory).not.toContain('SG-2.lan');
  });
});

describe('laptopCommands', () => {
  it.skipIf(!pythonIsInstalled())(
    `agree with Python's ipaddress on random interfaces (${PYTHON_INSTALL})`,
    () => {
      const seed = seedOfThisRun();
      const random = randomFrom(seed);
      const interfaces = Array.from({ length: 500 }, () => {
        const address = Array.from({ length: 4 }, () => random.integer(0, 255)).join('.');
        return `${address}/${random.integer(1, 31)}`;
      });
      const expected = runPython(
        [
          'import ipaddress, json, sys',
          'faces = [ipaddress.ip_interface(text) for text in json.load(sys.stdin)]',
          'print(json.dumps([[str(f.ip), str(f.netmask), f.with_prefixlen] for f in faces]))',
        ].join('\n'),
        interfaces,
      ) as [string, string, string][];
      interfaces.forEach((text, index) => {
        const read = parseInterface(text);
        const [ip, mask, prefix] = expected[index]!;
        if (!read.ok) {
          throw new Error(`${text} was not read (seed ${seed})`);
        }
        const commands = laptopCommands(read.value);
        expect(commands.windows[0], `seed ${seed}`).toContain(`address=${ip} mask=${mask} `);
        expect(commands.macos[0]).toContain(`MANUAL ${ip} ${mask}`);
        expect(commands.linux[0]).toBe(`sudo ip address add ${prefix} dev eth0`);
      });
    },
  );
});

describe('the address plan', () => {
  const { site } = siteOf(`
bustype Link { conductors 2  address 0 .. 63 except 7 }
bustype Other { conductors 2 }
equipment Unit "Indoor unit" {
  role indoor-unit
  port p : Link terminals A, B as responder { addressed by switch }
  port q : Other terminals C, D as responder
}
equipment Panel { role zone-controller  port p : Link terminals A, B as controller  supervises indoor-unit via p up to 9 }
area G { room One }
device U-1 : Unit in One { address 12 }
device U-2 : Unit
device P-1 : Panel existing { address 0 on p }
bus b : Link { land P-1.p  land U-1.p 2 m  land U-2.p 2 m }
bus c : Other { land U-1.q  land U-2.q 2 m }
`);
  const text = renderMarkdown(addressPlan(site), plainFrame);

  it('lists the addresses of each addressed bus in order, missing ones last', () => {
    expect(text).toContain('## Bus b');
    expect(text).not.toContain('## Bus c');
    const rows = text.split('\n').filter((line) => /\| [UP]-\d \|/u.test(line));
    expect(rows.map((row) => row.split(' | ').slice(0, 2).join(' '))).toEqual([
      '| 0 (S) P-1',
      '| 12 (S) U-1',
      '| none stated U-2',
    ]);
    expect(rows[1]).toContain('| 0 .. 63 except 7 | switches on the device | 8 + 4 | P-1 | new |');
    expect(rows[0]).toContain('| existing |');
  });
});
