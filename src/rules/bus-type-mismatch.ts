import { busesWithRoom } from '../analysis/bus/vacancy.js';
import { segmentOf } from '../analysis/bus/segment.js';
import type { Fix } from '../model/finding.js';
import { placeOf } from '../model/origin.js';
import { memberKey, resolvePort } from '../model/site.js';
import type { ResolvedPort, Site } from '../model/site.js';
import type { Bus, Landing } from '../model/wiring.js';
import { defineRule } from './rule.js';
import { busPlace, landingOfFinding, landingPlace, withArticle } from './support/bus-wording.js';
import { moveTo, takeAway } from './support/reland.js';

/** How many buses are offered for a landing that stands on a wrong one. */
const OFFERED_BUSES = 3;

/** A port on a bus of another type. */
export const busTypeMismatch = defineRule({
  name: 'bus-type-mismatch',
  severity: 'error',
  of: 'bus',
  acceptable: true,
  *check(site, bus) {
    for (const landing of segmentOf(site, bus).landings) {
      const { resolved } = landing;
      if (landing.bus !== bus || resolved === undefined || landing.fits) {
        continue;
      }
      const { port, equipment } = resolved;
      if (!site.busTypes.has(port.busType) || !site.busTypes.has(bus.busType)) {
        continue;
      }
      yield {
        subject: landing.name,
        at: landingPlace(landing, 'target'),
        what: `${landing.name} is a port for ${port.busType}, and ${bus.name} is ${withArticle(bus.busType)} bus.`,
        why: 'Links differ in voltage and in how they talk: the port stays silent or is damaged.',
        remedy: remedyFor(site, bus, resolved),
        related: [
          busPlace(bus, `${bus.name} is ${withArticle(bus.busType)} bus.`),
          {
            at: placeOf(equipment.name, `port/${port.name}/type`),
            message: `${equipment.name}.${port.name} is for ${port.busType}.`,
          },
        ],
      };
    }
  },
  fixes(site, finding) {
    const found = landingOfFinding(site, finding);
    const resolved = found && resolvePort(site, found.landing.device, found.landing.member);
    return found === undefined || resolved === undefined
      ? []
      : [
          ...otherPortFixes(site, found.bus, found.landing, resolved),
          ...(homeOf(site, resolved) !== undefined
            ? removals(site, found)
            : typeOfAll(site, found.bus) === undefined
              ? moves(site, found, resolved)
              : []),
        ];
  },
});

function remedyFor(site: Site, bus: Bus, resolved: ResolvedPort): string {
  const fitting = fittingPorts(site, bus, resolved);
  const { device, port } = resolved;
  const name = memberKey(device.name, port.name);
  const home = homeOf(site, resolved);
  const common = typeOfAll(site, bus);
  const [target] = busesWithRoom(site, resolved);
  if (home === undefined && common !== undefined) {
    return `Make ${bus.name} ${withArticle(common)} bus: all that is landed on it is for that type.`;
  }
  const elsewhere =
    home !== undefined
      ? `remove this line, since ${name} is landed on ${home.name} already`
      : target === undefined
        ? `land ${name} on ${withArticle(port.busType)} bus`
        : `land it on ${target.name}`;
  return fitting.length === 0
    ? `${elsewhere.charAt(0).toUpperCase()}${elsewhere.slice(1)}.`
    : `Land ${device.name}.${fitting[0]!.name} here, or ${elsewhere}.`;
}

/**
 * The one other type that all landings of a bus are for: then the bus is declared wrongly, and moving
 * its devices away one by one would only take it apart.
 */
function typeOfAll(site: Site, bus: Bus): string | undefined {
  const { landings } = segmentOf(site, bus);
  const types = new Set(landings.map(({ resolved }) => resolved?.port.busType));
  const [type] = types;
  return landings.length > 1 && types.size === 1 && type !== bus.busType ? type : undefined;
}

/** The bus of its own type on which the port is landed already: landed on another one, too, it would join the two. */
function homeOf(site: Site, { device, port }: ResolvedPort): Bus | undefined {
  return site.busLandings
    .get(memberKey(device.name, port.name))
    ?.find(({ run }) => run.busType === port.busType)?.run;
}

/** Ports of the same device that fit the bus and are landed nowhere yet. */
function fittingPorts(site: Site, bus: Bus, { device, equipment }: ResolvedPort) {
  return equipment.ports.filter(
    (port) =>
      port.busType === bus.busType && !site.busLandings.has(memberKey(device.name, port.name)),
  );
}

function otherPortFixes(
  site: Site,
  bus: Bus,
  landing: Landing,
  resolved: ResolvedPort,
): readonly Fix[] {
  return fittingPorts(site, bus, resolved).map((port) => ({
    title: `Land ${memberKey(landing.device, port.name)} on ${bus.name} instead`,
    kind: 'wiring',
    edits: [
      {
        kind: 'replace-value',
        at: landingPlace({ bus, landing }, 'member'),
        text: port.name,
      },
    ],
  }));
}

function removals(
  site: Site,
  { bus, landing }: { readonly bus: Bus; readonly landing: Landing },
): Fix[] {
  const edits = takeAway(site, bus, landing);
  const name = memberKey(landing.device, landing.member);
  return edits.length === 0
    ? []
    : [{ title: `Remove ${name} from ${bus.name}`, kind: 'wiring', edits }];
}

function moves(
  site: Site,
  from: { readonly bus: Bus; readonly landing: Landing },
  resolved: ResolvedPort,
): readonly Fix[] {
  return busesWithRoom(site, resolved)
    .slice(0, OFFERED_BUSES)
    .flatMap((to): readonly Fix[] => {
      const edits = moveTo(site, from, to, resolved);
      const name = memberKey(from.landing.device, from.landing.member);
      return edits.length === 0
        ? []
        : [{ title: `Move ${name} to ${to.name}`, kind: 'wiring', edits }];
    });
}
