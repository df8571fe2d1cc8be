import { feedEnds } from '../analysis/power/consumers.js';
import { placeOf } from '../model/origin.js';
import { memberKey, resolvePowerPoint } from '../model/site.js';
import type { PowerPoint } from '../model/site.js';
import { defineRule } from './rule.js';
import { pointPlace } from './support/power-wording.js';

/** Two sources on one feed that nothing keeps from feeding each other. */
export const sourcesParalleled = defineRule({
  name: 'sources-paralleled',
  severity: 'error',
  of: 'feed',
  acceptable: true,
  *check(site, feed) {
    const points = feedEnds(feed).flatMap((end) => resolvePowerPoint(site, end) ?? []);
    const [one, other] = points;
    if (one === undefined || other === undefined || (isDecoupled(one) && isDecoupled(other))) {
      return;
    }
    const coupled = points.filter((point) => !isDecoupled(point)).map((point) => point.key);
    yield {
      subject: feed.name,
      at: placeOf(feed.name, 'and'),
      what: `${feed.name} joins ${one.key} and ${other.key}, ${coupled.length === 1 ? `and ${coupled[0]!} is` : 'which are'} not decoupled.`,
      why: 'The two drive current through each other; with one switched off, its terminals and what is behind them stay live from the other.',
      remedy: `Feed it from one of them, or use outlets that are made to share a feed (decoupled).`,
      related: points.map((point) => pointPlace(point, `${point.key} feeds it.`)),
    };
  },
  fixes(site, finding) {
    const feed = site.feeds.get(finding.subject);
    // With the second outlet goes the cable that leads to it.
    return feed?.and === undefined || feed.lastM !== undefined
      ? []
      : [
          {
            title: `Feed ${feed.name} from ${memberKey(feed.from.owner, feed.from.member)} alone`,
            kind: 'wiring',
            edits: [{ kind: 'replace-value', at: placeOf(feed.name, 'and'), text: '' }],
          },
        ];
  },
});

function isDecoupled(point: PowerPoint): boolean {
  return point.kind === 'outlet' && point.outlet.decoupled;
}
