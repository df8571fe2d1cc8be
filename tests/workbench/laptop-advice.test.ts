/** Addresses of a laptop against the networks of a site; Python's ipaddress judges the same ones. */
import { describe, expect, it } from 'vitest';
import { ownAddresses } from '../../src/probe/own-addresses.js';
import { memoryFiles } from '../../src/workbench/files.js';
import { laptopAdvice } from '../../src/workbench/laptop-advice.js';
import { Workbench } from '../../src/workbench/workbench.js';
import { PYTHON_INSTALL, pythonIsInstalled, runPython } from '../support/python.js';

const text = (laptop: string) => `equipment Gate { role gateway lan lan }
device G-1 : Gate
site S "S"
network controls 10.40.8.0/28 {
  router R-1 10.40.8.1
  pool 10.40.8.4 .. 10.40.8.7
  host G-1.lan 10.40.8.2
  ${laptop}
}
`;

function adviceOn(cidr: string | readonly string[], laptop = 'laptop 10.40.8.10') {
  const open = new Workbench(memoryFiles({ 's.ferrule': text(laptop) })).open('s.ferrule');
  if ('failed' in open) {
    throw new Error('the site does not open');
  }
  return laptopAdvice(
    open,
    [cidr].flat().map((one) => ({ name: 'eth0', cidr: one })),
  )[0]!;
}

describe('an address of the laptop', () => {
  it.each([
    ['10.40.8.10/28', { kind: 'fits' }],
    ['10.40.8.3/28', { kind: 'fits' }],
    ['10.40.9.10/28', { kind: 'other-subnet' }],
    ['10.40.8.16/28', { kind: 'other-subnet' }],
    ['10.40.8.0/28', { kind: 'network-address' }],
    ['10.40.8.15/28', { kind: 'broadcast-address' }],
    ['10.40.8.5/28', { kind: 'in-pool' }],
    ['10.40.8.2/28', { kind: 'taken', by: 'G-1.lan' }],
    ['10.40.8.1/28', { kind: 'taken', by: 'R-1' }],
    ['10.40.8.10/24', { kind: 'mask-differs', mask: '255.255.255.240' }],
  ])('%s is judged %j', (cidr, verdict) => {
    const advice = adviceOn(cidr);
    expect(advice.own).toEqual([{ name: 'eth0', cidr, verdict }]);
    expect(advice.fits).toBe(verdict.kind === 'fits');
    expect(advice.set?.address).toBe(verdict.kind === 'fits' ? undefined : '10.40.8.10');
  });

  it('is told to be set to the highest free one where none is stated or the stated one is wrong', () => {
    expect(adviceOn([], '').set).toMatchObject({ address: '10.40.8.14', stated: false });
    for (const wrong of ['10.40.8.2', '10.40.8.15', '10.40.8.6', '10.40.9.1']) {
      expect(adviceOn([], `laptop ${wrong}`).set).toMatchObject({ stated: false });
    }
    expect(adviceOn([]).set).toMatchObject({
      ...{ address: '10.40.8.10', mask: '255.255.255.240', stated: true },
    });
  });
});

it('interfaces are read by name, without the way to the computer itself and without IPv6', () => {
  const one = { netmask: '', mac: '' };
  expect(
    ownAddresses({
      wlan0: [{ ...one, address: '', family: 'IPv4', internal: false, cidr: '10.0.0.2/24' }],
      lo: [{ ...one, address: '', family: 'IPv4', internal: true, cidr: '127.0.0.1/8' }],
      eth0: [
        { ...one, address: '', family: 'IPv6', internal: false, cidr: 'fe80::1/64', scopeid: 1 },
        { ...one, address: '', family: 'IPv4', internal: false, cidr: '10.40.8.10/28' },
      ],
    }),
  ).toEqual([
    { name: 'eth0', cidr: '10.40.8.10/28' },
    { name: 'wlan0', cidr: '10.0.0.2/24' },
  ]);
});

it.skipIf(!pythonIsInstalled())(
  `every address around the network lies where ipaddress puts it (needs ${PYTHON_INSTALL})`,
  () => {
    const around = [7, 8].flatMap((third) =>
      Array.from({ length: 256 }, (_, last) => `10.40.${third}.${last}/28`),
    );
    const python = runPython(
      `
import ipaddress, json, sys
network = ipaddress.ip_network("10.40.8.0/28")
def where(text):
    address = ipaddress.ip_interface(text).ip
    if address not in network: return "other-subnet"
    if address == network.network_address: return "network-address"
    if address == network.broadcast_address: return "broadcast-address"
    return "host"
print(json.dumps([where(text) for text in json.load(sys.stdin)]))`,
      around,
    ) as string[];
    const ours = adviceOn(around).own.map(({ verdict }) => verdict.kind);
    const outside = new Set(['other-subnet', 'network-address', 'broadcast-address']);
    expect(ours.map((kind) => (outside.has(kind) ? kind : 'host'))).toEqual(python);
  },
);
