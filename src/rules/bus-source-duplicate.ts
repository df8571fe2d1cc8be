import { defineRule } from './rule.js';
import {
  busPlace,
  counted,
  landingOfFinding,
  landingPlace,
  ledSegment,
  limitPlace,
  measured,
  relatedLanding,
} from './support/bus-wording.js';
import { moveAwayFixes } from './support/reland.js';

/** More ports that power a bus than its type allows. */
export const busSourceDuplicate = defineRule({
  name: 'bus-source-duplicate',
  severity: 'error',
  of: 'bus',
  acceptable: true,
  *check(site, bus) {
    const segment = ledSegment(site, bus);
    if (segment === undefined) {
      return;
    }
    const limit = segment.busType.sources ?? 1;
    const sources = segment.ports.filter(({ resolved }) => resolved.port.gives !== undefined);
    const tooMany = sources[limit];
    if (tooMany === undefined) {
      return;
    }
    yield {
      subject: tooMany.bus.name,
      at: landingPlace(tooMany, 'target'),
      what: `${counted(sources.length, 'port')} power ${tooMany.bus.name}, and ${bus.busType} allows ${limit}.`,
      why: 'Sources that work against each other overheat or switch off, and one of them keeps the bus live when the other is isolated.',
      remedy: 'Leave the power of one of them off the bus, or give it a bus of its own.',
      related: [
        busPlace(tooMany.bus),
        ...sources
          .slice(0, Math.min(limit, 4))
          .map((source) => relatedLanding(source, `${source.name} powers the bus too.`)),
        limitPlace(
          segment.busType,
          segment.busType.sources === undefined ? 'name' : 'sources',
          `${bus.busType} allows ${counted(limit, 'source')}.`,
        ),
      ],
      facts: [measured('sources', sources.length, '')],
      waivable: { value: sources.length, unit: '' },
    };
  },
  fixes(site, finding) {
    const found = landingOfFinding(site, finding);
    const limit = (found && site.busTypes.get(found.bus.busType)?.sources) ?? 1;
    const count = finding.facts.find(({ fact }) => fact === 'sources')?.value;
    return count === limit + 1 ? moveAwayFixes(site, found) : [];
  },
});
