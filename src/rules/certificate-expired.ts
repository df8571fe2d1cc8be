import { part, placeOf } from '../model/origin.js';
import { memberKey } from '../model/site.js';
import { defineRule } from './rule.js';

/** A certificate whose last day lies before the day on which the site is judged. */
export const certificateExpired = defineRule({
  name: 'certificate-expired',
  severity: 'error',
  of: 'network',
  acceptable: true,
  *check(_site, network, { on }) {
    for (const host of network.hosts) {
      // ISO dates compare as texts. The last day itself is still good (RFC 5280, 4.1.2.5).
      if (host.expires === undefined || host.expires >= on) {
        continue;
      }
      const name = memberKey(host.device, host.lan);
      yield {
        subject: name,
        at: placeOf(network.name, part('host', host.index, 'expires')),
        what: `The certificate of ${name} was good until ${host.expires}; the site is judged on ${on}.`,
        why: 'Browsers and other clients refuse the page.',
        remedy: 'Have the certificate renewed, then write its new last day and fingerprint.',
        facts: [{ fact: 'expires', value: host.expires, unit: '' }],
      };
    }
  },
});
