/** Finding things in all sites by what somebody types: names, host addresses, unit addresses. */
import type { FileRange } from '../../model/located.js';
import { part, placeOf } from '../../model/origin.js';
import type { DeclarationKind } from '../../model/records.js';
import { compareNames, memberKey } from '../../model/site.js';
import type { OpenSite } from '../open-site.js';
import { fileRangeOf } from '../workbench.js';

export interface SearchHit {
  readonly name: string;
  readonly kind: DeclarationKind | 'host';
  readonly detail: string;
  readonly at: FileRange;
}

/** More hits than this are not looked through by anybody. */
const mostHits = 200;

export function search(open: OpenSite, query: string): SearchHit[] {
  const wanted = query.trim().toLowerCase();
  const hits: SearchHit[] = [];
  const add = (
    name: string,
    kind: SearchHit['kind'],
    detail: string,
    declaration: string,
    partPath = 'name',
  ) => {
    const at = fileRangeOf(open, placeOf(declaration, partPath));
    if (at !== undefined && hits.length < mostHits) {
      hits.push({ name, kind, detail, at });
    }
  };
  const address = /^address\s+(\d+)$/u.exec(wanted)?.[1];
  for (const network of open.site.networks.values()) {
    for (const host of network.hosts) {
      const name = memberKey(host.device, host.lan);
      if (
        wanted !== '' &&
        (host.address?.startsWith(wanted) === true || name.toLowerCase().includes(wanted))
      ) {
        add(
          `${name} ${host.address ?? 'dhcp'}`,
          'host',
          network.name,
          network.name,
          part('host', host.index),
        );
      }
    }
  }
  for (const [name, { id, record }] of open.site.byName) {
    if (record.kind === 'device' && address !== undefined) {
      const line = record.addresses.find((one) => String(one.address) === address);
      if (line !== undefined) {
        add(
          name,
          'device',
          `address ${address}${line.port === undefined ? '' : ` on ${line.port}`}`,
          id,
        );
      }
    } else if (name.toLowerCase().includes(wanted)) {
      add(name, record.kind, 'title' in record ? (record.title ?? '') : '', id);
    }
  }
  return hits.sort((one, other) => compareNames(one.name, other.name));
}
