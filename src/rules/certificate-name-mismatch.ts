import { parseAddress } from '../analysis/network/ipv4.js';
import { certificateCovers, readPage } from '../analysis/network/page.js';
import { part, placeOf } from '../model/origin.js';
import type { Host } from '../model/records.js';
import { memberKey } from '../model/site.js';
import { defineRule } from './rule.js';

/** A certificate made out for another name than the page is opened by. */
export const certificateNameMismatch = defineRule({
  name: 'certificate-name-mismatch',
  severity: 'error',
  of: 'network',
  acceptable: true,
  *check(_site, network) {
    for (const host of network.hosts) {
      const wanted = openedBy(host);
      if (host.certificateName === undefined || wanted === undefined) {
        continue;
      }
      if (certificateCovers(host.certificateName, wanted)) {
        continue;
      }
      const name = memberKey(host.device, host.lan);
      yield {
        subject: name,
        at: placeOf(network.name, part('host', host.index, 'name')),
        what: `The certificate of ${name} is made out for "${host.certificateName}"; the page is opened as "${wanted}".`,
        why: 'The browser warns at every visit, and a real attack would look the same.',
        remedy: `Open the page by the certificate's name, or have a certificate made out for "${wanted}".`,
        related:
          host.page === undefined
            ? []
            : [
                {
                  at: placeOf(network.name, part('host', host.index, 'page')),
                  message: 'The page is opened by this address.',
                },
              ],
        facts: [{ fact: 'certificate-name', value: host.certificateName, unit: '' }],
      };
    }
  },
  fixes(site, finding) {
    const network = site.networks.get(finding.at.declaration);
    const host = network?.hosts.find(
      ({ index }) => finding.at.part === part('host', index, 'name'),
    );
    const wanted = host && openedBy(host);
    const name = host?.certificateName?.trim() ?? '';
    // An address that is not the host's own leads elsewhere, and a star stands for no one name.
    if (
      host?.page === undefined ||
      wanted === undefined ||
      name.startsWith('*') ||
      (parseAddress(name).ok && name !== host.address)
    ) {
      return [];
    }
    return [
      {
        title: `Open the page by ${name}`,
        kind: 'wiring',
        edits: [
          {
            kind: 'replace-value',
            at: placeOf(network!.name, part('host', host.index, 'page')),
            text: `page "${host.page.replace(wanted, name)}"`,
          },
        ],
      },
    ];
  },
});

/** What a browser compares the certificate with; undefined for a page that uses none. */
function openedBy(host: Host): string | undefined {
  if (host.page === undefined) {
    return host.address;
  }
  const page = readPage(host.page);
  return page?.scheme === 'https' ? page.host : undefined;
}
