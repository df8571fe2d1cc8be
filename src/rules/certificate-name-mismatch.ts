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
});

/** What a browser compares the certificate with; undefined for a page that uses none. */
function openedBy(host: Host): string | undefined {
  if (host.page === undefined) {
    return host.address;
  }
  const page = readPage(host.page);
  return page?.scheme === 'https' ? page.host : undefined;
}
