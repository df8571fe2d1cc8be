import { isProtectiveTerminal } from '../analysis/cabling/cores.js';
import type { Cable } from '../model/equipment.js';
import { part, placeOf } from '../model/origin.js';
import type { Place } from '../model/origin.js';
import type { Device } from '../model/records.js';
import { cableOfLanding, memberKey, resolveInlet, resolvePort } from '../model/site.js';
import type { Site } from '../model/site.js';
import type { Bus, Feed, Landing } from '../model/wiring.js';
import { defineRule } from './rule.js';
import { runPlace, targetOf } from './support/power-wording.js';

/** The colour that stands for the protective conductor alone. */
const PROTECTIVE = 'GNYE';

/** A green-yellow core that does something else than protect. */
export const coreColourMisused = defineRule({
  name: 'core-colour-misused',
  severity: 'error',
  of: 'device',
  acceptable: true,
  *check(site, device) {
    for (const end of endsOf(site, device)) {
      const misused = misuseAt(end);
      if (misused === undefined) {
        continue;
      }
      const { run, cable } = end;
      yield {
        subject: end.subject,
        at: targetOf(end.at),
        what: misused,
        why: 'Whoever opens it later takes green-yellow for the protective conductor, and connects it to earth or trusts it.',
        remedy: 'Land another core there, and use a cable with enough cores of other colours.',
        related: [
          { at: placeOf(cable.name, 'colours'), message: 'The cores are listed here.' },
          ...(run === undefined ? [] : [runPlace(run.name)]),
        ],
      };
    }
  },
});

/** An end of cable on a strip of terminals. */
interface LandedEnd {
  readonly subject: string;
  readonly at: Place;
  readonly terminals: readonly string[];
  readonly cable: Cable;
  /** Cores as landed, in the order of the terminals, where the text states them. */
  readonly cores: readonly string[] | undefined;
  readonly run: Bus | Feed | undefined;
  readonly landing: Landing | undefined;
}

function endsOf(site: Site, device: Device): readonly LandedEnd[] {
  const landed = (run: Bus | Feed, landing: Landing, terminals: readonly string[] | undefined) => {
    // The cable that leaves a bus's first landing is the run's.
    const cable = cableOfLanding(site, run, landing);
    return cable === undefined || terminals === undefined
      ? []
      : [
          {
            subject: memberKey(device.name, landing.member),
            at: placeOf(run.name, part('land', landing.index)),
            terminals,
            cable,
            cores: landing.cores,
            run,
            landing,
          },
        ];
  };
  return [
    ...(site.busLandingsOfDevice.get(device.name) ?? []).flatMap(({ run, landing }) =>
      landed(run, landing, resolvePort(site, device.name, landing.member)?.port.terminals),
    ),
    ...(site.feedLandingsOfDevice.get(device.name) ?? []).flatMap(({ run, landing }) =>
      landed(run, landing, resolveInlet(site, device.name, landing.member)?.inlet.terminals),
    ),
    ...device.inletLines.flatMap((line): LandedEnd[] => {
      const cable = line.cable === undefined ? undefined : site.cables.get(line.cable);
      const inlet = resolveInlet(site, device.name, line.inlet)?.inlet;
      return cable === undefined || inlet === undefined
        ? []
        : [
            {
              subject: memberKey(device.name, line.inlet),
              at: placeOf(device.name, part('inlet', line.index)),
              terminals: inlet.terminals,
              cable,
              cores: undefined,
              run: undefined,
              landing: undefined,
            },
          ];
    }),
  ];
}

function misuseAt(end: LandedEnd): string | undefined {
  const { subject, terminals, cable, cores } = end;
  if (cores !== undefined) {
    const index = cores.findIndex(
      (core, position) =>
        core === PROTECTIVE &&
        terminals[position] !== undefined &&
        !isProtectiveTerminal(terminals[position]),
    );
    return index < 0
      ? undefined
      : `The green-yellow core is landed on terminal ${terminals[index]} of ${subject}, which is no PE.`;
  }
  // Without stated cores green-yellow goes to PE alone, so the others have to suffice.
  const needed = terminals.filter((terminal) => !isProtectiveTerminal(terminal)).length;
  const others = cable.colours.filter((colour) => colour !== PROTECTIVE).length;
  if (others === cable.colours.length || needed <= others || isToldEarlier(end)) {
    return undefined;
  }
  return `${subject} needs ${needed} cores beside the protective conductor; the ${cable.name} has ${others} (${cable.colours.join(', ')}), so green-yellow would have to serve.`;
}

/** One cable is too poor in cores once for a whole run. */
function isToldEarlier({ run, landing, cable }: LandedEnd): boolean {
  return (
    run !== undefined &&
    landing !== undefined &&
    run.landings.some(
      (earlier) =>
        earlier.index < landing.index &&
        earlier.cores === undefined &&
        (earlier.cable ?? run.cable) === cable.name,
    )
  );
}
