import type { ModelEdit } from '../model/edit.js';
import { part, placeOf } from '../model/origin.js';
import type { Place } from '../model/origin.js';
import type { Device } from '../model/records.js';
import { equipmentOf, memberKey, resolvePort } from '../model/site.js';
import type { Site } from '../model/site.js';
import type { Bus, Landing } from '../model/wiring.js';
import { defineRule } from './rule.js';
import { landingOfFinding, landingPlace } from './support/bus-wording.js';
import { takeAway } from './support/reland.js';

/** A port or inlet on two lines. */
export const portLandedTwice = defineRule({
  name: 'port-landed-twice',
  severity: 'error',
  of: 'device',
  acceptable: true,
  *check(site, device) {
    for (const { name, noun, lines } of linesByMember(site, device)) {
      const [first, ...again] = lines;
      for (const line of again) {
        yield {
          subject: name,
          at: line.at,
          what: `${name} stands on two lines: ${first!.where} and ${line.where}.`,
          why: `The ${noun} has one set of terminals, so the two lines would be joined there.`,
          remedy: 'Remove the line that is wrong, or name the member that was meant.',
          related: [{ at: first!.at, message: `${name} is landed here first.` }],
        };
      }
    }
  },
  fixes(site, finding) {
    const lines = [finding.at, ...finding.related.map(({ at }) => at)];
    return lines.flatMap((at) => {
      const found = landingOfFinding(site, { at });
      const edits =
        found === undefined
          ? removalElsewhere(site, at)
          : isNeededOn(site, found.bus, found.landing)
            ? []
            : takeAway(site, found.bus, found.landing);
      return edits.length === 0
        ? []
        : [
            {
              title: `Remove ${finding.subject} from ${lineName(at, lines)}`,
              kind: 'wiring' as const,
              edits,
            },
          ];
    });
  },
});

/** The run that a line stands in; with its number where another one of the two stands there, too. */
function lineName(at: Place, lines: readonly Place[]): string {
  const index = Number(at.part.split('/')[1]);
  return lines.filter(({ declaration }) => declaration === at.declaration).length > 1
    ? `${at.declaration}, ${at.part.startsWith('land/') ? 'landing' : 'line'} ${index + 1}`
    : at.declaration;
}

/** Whether a bus would be left without anybody who talks first, or who powers it. */
function isNeededOn(site: Site, bus: Bus, landing: Landing): boolean {
  const portAt = (one: Landing) => resolvePort(site, one.device, one.member)?.port;
  const own = portAt(landing);
  const others = bus.landings.filter((one) => one !== landing).flatMap((one) => portAt(one) ?? []);
  return (
    (own?.talksAs === 'controller' && !others.some(({ talksAs }) => talksAs === 'controller')) ||
    (own?.gives !== undefined && !others.some(({ gives }) => gives !== undefined))
  );
}

interface MemberLine {
  readonly at: Place;
  readonly where: string;
}

/** The lines of each port and inlet of a device, in text order; a landing of the wrong type is none. */
function linesByMember(
  site: Site,
  device: Device,
): readonly {
  readonly name: string;
  readonly noun: string;
  readonly lines: readonly MemberLine[];
}[] {
  const equipment = equipmentOf(site, device);
  const ports = (equipment?.ports ?? []).map((port) => {
    const name = memberKey(device.name, port.name);
    const lines = (site.busLandings.get(name) ?? [])
      .filter(({ run }) => run.busType === port.busType)
      .map(({ run, landing }) => ({
        at: landingPlace({ bus: run, landing }, 'target'),
        where: `${run.name}, landing ${landing.index + 1}`,
      }));
    return { name, noun: 'port', lines };
  });
  const inlets = (equipment?.inlets ?? []).map((inlet) => {
    const name = memberKey(device.name, inlet.name);
    const own = (site.inletLines.get(name) ?? []).map(({ line }) => ({
      at: placeOf(device.name, part('inlet', line.index, 'name')),
      where: `its line from ${memberKey(line.from.owner, line.from.member)}`,
    }));
    const feeds = (site.feedLandings.get(name) ?? []).map(({ run, landing }) => ({
      at: placeOf(run.name, part('land', landing.index, 'target')),
      where: `${run.name}, landing ${landing.index + 1}`,
    }));
    return { name, noun: 'inlet', lines: [...own, ...feeds] };
  });
  return [...ports, ...inlets];
}

function removalElsewhere(site: Site, at: Place): readonly ModelEdit[] {
  const [kind, index] = at.part.split('/');
  const feed = kind === 'land' ? site.feeds.get(at.declaration) : undefined;
  if (feed !== undefined) {
    const carriesSpur = feed.landings.some(
      ({ from, opensSpur }) => opensSpur && from === Number(index),
    );
    // What hangs on a spur goes with its landing; a person has to say where it goes.
    if (carriesSpur) {
      return [];
    }
    return [{ kind: 'remove-landing', run: at.declaration, landing: Number(index) }];
  }
  return kind === 'inlet'
    ? [{ kind: 'remove-statement', at: placeOf(at.declaration, part('inlet', index ?? '')) }]
    : [];
}
