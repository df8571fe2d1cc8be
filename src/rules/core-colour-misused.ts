import { swappedLandings } from '../analysis/bus/polarity.js';
import { segmentOf } from '../analysis/bus/segment.js';
import { isProtectiveTerminal } from '../analysis/cabling/cores.js';
import { cablesWithOthers } from '../analysis/power/larger-cables.js';
import { withLandingCores } from '../analysis/power/trial.js';
import type { Cable } from '../model/equipment.js';
import type { Fix } from '../model/finding.js';
import { part, placeKey, placeOf } from '../model/origin.js';
import type { Place } from '../model/origin.js';
import type { Device } from '../model/records.js';
import { cableOfLanding, memberKey, resolveInlet, resolvePort } from '../model/site.js';
import type { Site } from '../model/site.js';
import type { Bus, Feed, Landing } from '../model/wiring.js';
import { defineRule } from './rule.js';
import { runPlace, targetOf } from './support/power-wording.js';
import { landingCableFixes, lineCableFixes } from './support/supply-fixes.js';
import type { CableRun, Replacements } from './support/supply-fixes.js';

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
  fixes(site, finding) {
    const device = site.devices.get(finding.subject.slice(0, finding.subject.lastIndexOf('.')));
    const end =
      device &&
      endsOf(site, device).find((one) => placeKey(targetOf(one.at)) === placeKey(finding.at));
    if (end === undefined || misuseAt(end) === undefined) {
      return [];
    }
    return end.cores === undefined ? richerCableFixes(site, end) : coreFixes(site, end, end.cores);
  },
});

/** Puts green-yellow on the protective terminal, or another core in its place. */
function coreFixes(site: Site, end: LandedEnd, cores: readonly string[]): readonly Fix[] {
  const { run, landing, terminals, cable } = end;
  const misused = misusedCore(terminals, cores);
  if (run === undefined || landing === undefined || misused < 0) {
    return [];
  }
  const protective = terminals.findIndex(isProtectiveTerminal);
  const spare = cable.colours.find((colour) => colour !== PROTECTIVE && !cores.includes(colour));
  const replacement = cores[protective] ?? spare;
  if (replacement === undefined) {
    return [];
  }
  const mended = cores.map((core, index) =>
    index === misused ? replacement : index === protective ? PROTECTIVE : core,
  );
  const trial = withLandingCores(site, run.name, landing.index, mended);
  if (swapsAnew(site, trial, run.name)) {
    return [];
  }
  return [
    {
      title: `Land ${replacement} on terminal ${terminals[misused]} of ${end.subject}`,
      kind: 'wiring',
      edits: [
        {
          kind: 'replace-value',
          at: placeOf(run.name, part('land', landing.index, 'cores')),
          text: mended.join(', '),
        },
      ],
    },
  ];
}

/** Whether a bus would have more landings with swapped conductors than before. */
function swapsAnew(site: Site, trial: Site, run: string): boolean {
  const [before, after] = [site.buses.get(run), trial.buses.get(run)];
  return (
    before !== undefined &&
    after !== undefined &&
    swappedLandings(trial, segmentOf(trial, after)).length >
      swappedLandings(site, segmentOf(site, before)).length
  );
}

/** A cable with enough cores beside the protective one. */
function richerCableFixes(site: Site, end: LandedEnd): readonly Fix[] {
  const { run, landing, at, cable, terminals } = end;
  const needed = Math.max(
    othersIn(terminals),
    ...(run?.landings ?? []).map((one) => othersIn(terminalsOf(site, one))),
  );
  const replacements: Replacements = (all, _present, busType) =>
    cablesWithOthers(all, cable, needed, busType);
  if (run === undefined || landing === undefined) {
    const line = Number(at.part.split('/')[1]);
    return lineCableFixes(site, at.declaration, line, () => true, replacements);
  }
  const busType = run.kind === 'bus' ? site.busTypes.get(run.busType) : undefined;
  const record: CableRun = busType === undefined ? { record: run } : { record: run, busType };
  return landingCableFixes(site, record, landing.index, () => true, replacements);
}

function terminalsOf(site: Site, { device, member }: Landing): readonly string[] {
  return (
    resolvePort(site, device, member)?.port.terminals ??
    resolveInlet(site, device, member)?.inlet.terminals ??
    []
  );
}

function othersIn(terminals: readonly string[]): number {
  return terminals.filter((terminal) => !isProtectiveTerminal(terminal)).length;
}

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
    const index = misusedCore(terminals, cores);
    return index < 0
      ? undefined
      : `The green-yellow core is landed on terminal ${terminals[index]} of ${subject}, which is no PE.`;
  }
  // Without stated cores green-yellow goes to PE alone, so the others have to suffice.
  const needed = othersIn(terminals);
  const others = cable.colours.filter((colour) => colour !== PROTECTIVE).length;
  if (others === cable.colours.length || needed <= others || isToldEarlier(end)) {
    return undefined;
  }
  return `${subject} needs ${needed} cores beside the protective conductor; the ${cable.name} has ${others} (${cable.colours.join(', ')}), so green-yellow would have to serve.`;
}

/** The terminal on which green-yellow does something else than protect, from 0; −1 where there is none. */
function misusedCore(terminals: readonly string[], cores: readonly string[]): number {
  return cores.findIndex(
    (core, position) =>
      core === PROTECTIVE &&
      terminals[position] !== undefined &&
      !isProtectiveTerminal(terminals[position]),
  );
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
