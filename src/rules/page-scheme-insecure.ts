import { certificateCovers, readPage } from '../analysis/network/page.js';
import { part, placeOf } from '../model/origin.js';
import { memberKey, resolveLan } from '../model/site.js';
import { defineRule } from './rule.js';

/** A web page that is opened without encryption. */
export const pageSchemeInsecure = defineRule({
  name: 'page-scheme-insecure',
  severity: 'warning',
  of: 'network',
  acceptable: true,
  *check(site, network) {
    for (const host of network.hosts) {
      if (host.page === undefined || readPage(host.page)?.scheme !== 'http') {
        continue;
      }
      const name = memberKey(host.device, host.lan);
      const httpsOnly = resolveLan(site, host.device, host.lan)?.lan.httpsOnly === true;
      yield {
        subject: name,
        at: placeOf(network.name, part('host', host.index, 'page')),
        what: `The page of ${name} is ${host.page}, without encryption.`,
        why: httpsOnly
          ? 'The device answers on https only, so this page will not open.'
          : 'Passwords and commands can be read and changed by anyone on the network.',
        remedy: httpsOnly
          ? 'Write https:// in front.'
          : 'Turn on https in the device and write https:// in front, or accept this with the reason.',
        facts: [{ fact: 'page', value: host.page, unit: '' }],
      };
    }
  },
  fixes(site, finding) {
    const network = site.networks.get(finding.at.declaration);
    const host = network?.hosts.find(
      ({ index }) => finding.at.part === part('host', index, 'page'),
    );
    const isHttpsOnly =
      host !== undefined && resolveLan(site, host.device, host.lan)?.lan.httpsOnly === true;
    // Whether any other device answers on https is for a person to see to.
    const name = host?.certificateName;
    const opensAs = host?.page === undefined ? undefined : readPage(host.page)?.host;
    const isCovered =
      name === undefined || (opensAs !== undefined && certificateCovers(name, opensAs));
    return host?.page === undefined || !isHttpsOnly || !isCovered
      ? []
      : [
          {
            title: 'Open it by https',
            kind: 'wiring',
            edits: [
              {
                kind: 'replace-value',
                at: finding.at,
                text: `page "${host.page.trim().replace(/^http:/iu, 'https:')}"`,
              },
            ],
          },
        ];
  },
});
