/** Edits that land a port or take a landing away, and keep terminator and screen bond where they belong. */
import { busesWithRoom, lastLanding } from '../../analysis/bus/vacancy.js';
import type { LandingFlag, ModelEdit } from '../../model/edit.js';
import type { Fix } from '../../model/finding.js';
import { part, placeOf } from '../../model/origin.js';
import { memberKey, resolvePort } from '../../model/site.js';
import type { ResolvedPort, Site } from '../../model/site.js';
import type { Bus, Landing } from '../../model/wiring.js';

/** Lands a port at the end of a bus; a terminator that stood there moves on to the new end. */
export function landAtEnd(
  site: Site,
  bus: Bus,
  { device, port }: Pick<ResolvedPort, 'device' | 'port'>,
  keeping: readonly LandingFlag[] = [],
): readonly ModelEdit[] {
  const last = lastLanding(bus);
  const where =
    bus.ring === undefined ? site.busTypes.get(bus.busType)?.terminate?.where : undefined;
  const passesOn = where !== undefined && last !== undefined && last.index > 0 && last.terminated;
  const isSecondEnd = where === 'both-ends' && last?.index === 0;
  const terminates = (passesOn || isSecondEnd) && port.terminatorOhm === undefined;
  // A bus with one landing had no ends yet; now that one is the other.
  const firstIsOpen =
    isSecondEnd &&
    !last.terminated &&
    resolvePort(site, last.device, last.member)?.port.terminatorOhm === undefined;
  return [
    ...(passesOn ? [flagEdit('clear-landing-flag', bus, last, 'terminated')] : []),
    ...(firstIsOpen ? [flagEdit('set-landing-flag', bus, last, 'terminated')] : []),
    {
      kind: 'add-landing',
      run: bus.name,
      device: device.name,
      port: port.name,
      flags: terminates ? ['terminated', ...keeping] : keeping,
    },
  ];
}

/**
 * Takes a landing away; its terminator and its bond go to the neighbour that becomes the end, and
 * what becomes the first landing of its line loses its length. Nothing where spurs hang on it: a
 * person has to say where they go.
 */
export function takeAway(bus: Bus, landing: Landing): readonly ModelEdit[] {
  const leaving = bus.landings.filter(({ from }) => from === landing.index);
  if (leaving.some(({ opensSpur }) => opensSpur)) {
    return [];
  }
  const [next] = leaving;
  const opensLine = landing.from === undefined || landing.opensSpur;
  if (landing.opensSpur && next === undefined) {
    return [{ kind: 'remove-statement', at: placeOf(bus.name, part('spur', landing.spur!)) }];
  }
  const neighbour = opensLine ? next : bus.landings[landing.from];
  return [
    ...(neighbour === undefined ? [] : handedOn(bus, landing, neighbour, next === undefined)),
    ...(opensLine && next?.lengthM !== undefined ? [removeLength(bus, next)] : []),
    { kind: 'remove-landing', run: bus.name, landing: landing.index },
  ];
}

/** A terminator is handed on where the neighbour becomes the end, a bond in any case. */
function handedOn(
  bus: Bus,
  landing: Landing,
  neighbour: Landing,
  wasLast: boolean,
): readonly ModelEdit[] {
  const isEnd = wasLast || landing.from === undefined;
  const flags: readonly LandingFlag[] = isEnd ? ['terminated', 'bonded'] : ['bonded'];
  return flags
    .filter((flag) => landing[flag] && !neighbour[flag])
    .map((flag) => flagEdit('set-landing-flag', bus, neighbour, flag));
}

/** Moves the landing at which a bus became too full to the nearest bus with room for it. */
export function moveAwayFixes(
  site: Site,
  found: { readonly bus: Bus; readonly landing: Landing } | undefined,
  hasRoom: (bus: Bus) => boolean = () => true,
): readonly Fix[] {
  const resolved = found && resolvePort(site, found.landing.device, found.landing.member);
  if (found === undefined || resolved === undefined) {
    return [];
  }
  const to = busesWithRoom(site, resolved).find(hasRoom);
  const edits = to === undefined ? [] : moveTo(site, found, to, resolved);
  return edits.length === 0
    ? []
    : [
        {
          title: `Move ${memberKey(found.landing.device, found.landing.member)} to ${to!.name}`,
          kind: 'wiring',
          edits,
        },
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
  const taken = takeAway(bus, landing);
  const landed = landAtEnd(site, to, port, landing.existing ? ['existing'] : []);
  if (taken.length === 0) {
    return [];
  }
  return taken[0]!.kind === 'remove-landing' &&
    landed.length === 1 &&
    !hasFlag(landed[0]!, 'terminated')
    ? [{ kind: 'move-landing', run: bus.name, landing: landing.index, toRun: to.name }]
    : [...landed, ...taken];
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

function hasFlag(edit: ModelEdit, flag: LandingFlag): boolean {
  return edit.kind === 'add-landing' && edit.flags.includes(flag);
}

function removeLength(bus: Bus, landing: Landing): ModelEdit {
  return {
    kind: 'replace-value',
    at: placeOf(bus.name, part('land', landing.index, 'length')),
    text: '',
  };
}
