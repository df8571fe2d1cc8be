/** IP networks. */
import { formatIpv6, parseIpv6 } from '../../analysis/network/ipv6.js';
import type { Host, Network, Pool, Router } from '../../model/records.js';
import type * as ast from '../generated/ast.js';
import { texts } from '../texts.js';
import { powerOwners } from './places.js';
import { defined, type Reader } from './reader.js';

export function lowerNetwork(reader: Reader, block: ast.NetworkBlock): Network {
  const routers: Router[] = [];
  const pools: Pool[] = [];
  const hosts: Host[] = [];
  const laptops: { index: number; address: string }[] = [];
  reader.mark('prefix', block, 'prefix');
  for (const line of block.lines) {
    switch (line.$type) {
      case 'RouterLine': {
        const address = reader.address(line, 'address', line.address, 'host');
        reader.mark(`router/${routers.length}`, line);
        reader.mark(`router/${routers.length}/address`, line, 'address');
        routers.push(defined({ index: routers.length, name: line.name, address }) as Router);
        break;
      }
      case 'PoolLine': {
        const from = reader.address(line, 'from', line.from, 'host');
        const to = reader.address(line, 'to', line.to, 'host');
        if (from !== undefined && to !== undefined) {
          reader.mark(`pool/${pools.length}`, line);
          pools.push({ index: pools.length, from, to });
        }
        break;
      }
      case 'LaptopLine': {
        const address = reader.address(line, 'address', line.address, 'host');
        if (address !== undefined) {
          reader.mark(`laptop/${laptops.length}`, line);
          reader.mark(`laptop/${laptops.length}/address`, line, 'address');
          laptops.push({ index: laptops.length, address });
        }
        break;
      }
      case 'HostLine': {
        const host = lowerHost(reader, line, hosts.length);
        if (host !== undefined) {
          hosts.push(host);
        }
        break;
      }
    }
  }
  if (block.prefix === undefined) {
    reader.problem(
      {
        rule: 'syntax-error',
        ...texts.missing(
          'The range of addresses',
          'Write it after the name, as in "network controls 10.40.8.0/24".',
        ),
      },
      reader.span(block, 'name'),
    );
  }
  return defined({
    kind: 'network' as const,
    name: block.name,
    ...reader.optionalText('title', block.title),
    prefix: reader.address(block, 'prefix', block.prefix, 'prefixed'),
    vlan: reader.count(block, 'vlan', block.vlan),
    routers,
    pools,
    hosts,
    laptops,
  }) as Network;
}

function lowerHost(reader: Reader, line: ast.HostLine, index: number): Host | undefined {
  const target = reader.member(line.target, ['device'], ['lan'], 'SG-1.lan');
  const from = reader.member(line.source, powerOwners, ['lan'], 'SW-1.p1');
  const cable = reader.reference(line.cable, ['cable']);
  const address = reader.address(line, 'address', line.address, 'host');
  const lengthM = reader.number(line, 'lengths', line.lengths[0], 'length', 0);
  if (target === undefined) {
    return undefined;
  }
  reader.mark(`host/${index}`, line);
  reader.mark(`host/${index}/target`, line, 'target');
  reader.mark(`host/${index}/address`, line, 'address');
  reader.mark(`host/${index}/from`, line, 'source');
  reader.mark(`host/${index}/cable`, line, 'cable');
  reader.mark(`host/${index}/length`, line, 'lengths');
  reader.mark(`host/${index}/ipv6`, line, 'ipv6');
  if (line.address === undefined && !line.dhcp) {
    reader.problem(
      {
        rule: 'syntax-error',
        ...texts.missing("The host's address", 'Write an address such as 10.40.8.20, or "dhcp".'),
      },
      reader.span(line, 'target'),
    );
  }
  let host: Partial<Host> = {};
  for (const fact of line.facts) {
    switch (fact.$type) {
      case 'PageFact':
        reader.mark(`host/${index}/page`, fact);
        host = { ...host, page: reader.text(fact.text) };
        break;
      case 'NameFact':
        reader.mark(`host/${index}/name`, fact);
        host = { ...host, certificateName: reader.text(fact.text) };
        break;
      case 'ExpiresFact':
        reader.mark(`host/${index}/expires`, fact);
        host = { ...host, expires: reader.date(fact, 'date', fact.date) };
        break;
      case 'FingerprintFact':
        reader.mark(`host/${index}/fingerprint`, fact);
        host = { ...host, fingerprint: reader.text(fact.text) };
        break;
    }
  }
  return defined({
    index,
    device: target.owner,
    lan: target.member,
    address,
    dhcp: line.dhcp,
    from,
    cable,
    lengthM,
    ipv6: lowerIpv6(reader, line),
    existing: line.existing,
    ...host,
  }) as Host;
}

/** An IPv6 address in its canonical text, so that two spellings of one address are the same. */
function lowerIpv6(reader: Reader, line: ast.HostLine): string | undefined {
  const written = reader.text(line.ipv6);
  const address = written === undefined ? undefined : parseIpv6(written);
  if (written !== undefined && address === undefined) {
    reader.problem(
      { rule: 'syntax-error', ...texts.ipv6Wrong(written) },
      reader.span(line, 'ipv6'),
    );
  }
  return address === undefined ? undefined : formatIpv6(address);
}
