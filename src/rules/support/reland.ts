/** Edits that land a port or take a landing away, and keep terminator and screen bond where they belong. */
import { lastLanding } from '../../analysis/bus/vacancy.js';
import type { ModelEdit } from '../../model/edit.js';
import type { LandingFlag } from '../../model/edit.js';
import type { ResolvedPort, Site } from '../../model/site.js';
import type { Bus, Landing } from '../../model/wiring.js';

/** Lands a port at the end of a bus; a terminator that stood there moves on to the new end. */
export function landAtEnd(
  site: Site,
  bus: Bus,
  { device, port }: Pick<ResolvedPort, 'device' | 'port'>,
): readonly ModelEdit[] {
  const last = lastLanding(bus);
  const where =
    bus.ring === undefined ? site.busTypes.get(bus.busType)?.terminate?.where : undefined;
  const passesOn = where !== undefined && last !== undefined && last.index > 0 && last.terminated;
  const isSecondEnd = where === 'both-ends' && last?.index === 0;
  const terminates = (passesOn || isSecondEnd) && port.terminatorOhm === undefined;
  return [
    ...(passesOn ? [flagEdit('clear-landing-flag', bus, last, 'terminated')] : []),
    {
      kind: 'add-landing',
      run: bus.name,
      device: device.name,
      port: port.name,
      flags: terminates ? ['terminated'] : [],
    },
  ];
}

/** Takes a landing away; its terminator and its bond go to the neighbour that becomes the end. */
export function takeAway(site: Site, bus: Bus, landing: Landing): readonly ModelEdit[] {
  const neighbour = neighbourOf(bus, landing);
  const handedOn: readonly LandingFlag[] = ['terminated', 'bonded'];
  return [
    ...(neighbour === undefined
      ? []
      : handedOn
          .filter((flag) => isSet(landing, flag) && !isSet(neighbour, flag))
          .map((flag) => flagEdit('set-landing-flag', bus, neighbour, flag))),
    { kind: 'remove-landing', run: bus.name, landing: landing.index },
  ];
}

/** Takes a landing from one bus and lands its port at the end of another one. */
export function moveTo(
  site: Site,
  from: { readonly bus: Bus; readonly landing: Landing },
  to: Bus,
  port: ResolvedPort,
): readonly ModelEdit[] {
  const { bus, landing } = from;
  const landed = landAtEnd(site, to, port);
  const isPlain = !landing.terminated && !landing.bonded && landed.length === 1;
  return isPlain
    ? [{ kind: 'move-landing', run: bus.name, landing: landing.index, toRun: to.name }]
    : [...landed, ...takeAway(site, bus, landing)];
}

/** Sets or clears a flag of a landing. */
export function flagEdit(
  kind: 'set-landing-flag' | 'clear-landing-flag',
  bus: Bus,
  landing: Landing,
  flag: LandingFlag,
): ModelEdit {
  return { kind, run: bus.name, landing: landing.index, flag };
}

/** What stands beside a landing on its line: the one before, or for the first one the next. */
function neighbourOf(bus: Bus, landing: Landing): Landing | undefined {
  return landing.from === undefined
    ? bus.landings.find(({ from, spur }) => from === landing.index && spur === undefined)
    : bus.landings[landing.from];
}

function isSet(landing: Landing, flag: LandingFlag): boolean {
  return landing[flag];
}
