/** Edits that land a port or take a landing away, and keep terminator and screen bond where they belong. */
import { busesWithRoom } from '../../analysis/bus/vacancy.js';
import { withLandingAtEnd } from '../../analysis/power/trial.js';
import type { LandingFlag, ModelEdit } from '../../model/edit.js';
import type { Fix } from '../../model/finding.js';
import { part, placeOf } from '../../model/origin.js';
import { memberKey, resolvePort } from '../../model/site.js';
import type { ResolvedPort, Site } from '../../model/site.js';
import type { Bus, Landing } from '../../model/wiring.js';
import { endFlags } from './end-flags.js';
import type { ChangedBus } from './end-flags.js';

/**
 * Lands a port at the end of a bus; a terminator that stood there moves on to the new end. Nothing
 * where the ends of the bus would be wrong by it.
 */
export function landAtEnd(
  site: Site,
  bus: Bus,
  { device, port }: Pick<ResolvedPort, 'device' | 'port'>,
  keeping: readonly LandingFlag[] = [],
): readonly ModelEdit[] {
  const flags = endFlags(site, bus, {
    bus: withLandingAtEnd(bus, device.name, port.name),
    indexBefore: [...bus.landings.map(({ index }) => index), undefined],
  });
  return flags === undefined
    ? []
    : [
        ...flags.edits,
        {
          kind: 'add-landing',
          run: bus.name,
          device: device.name,
          port: port.name,
          flags: flags.terminatesNew ? ['terminated', ...keeping] : keeping,
        },
      ];
}

/**
 * Takes a landing away; its terminator goes to what becomes the end and its bond to the neighbour, and
 * what becomes the first landing of its line loses its length. Nothing where spurs hang on it: a
 * person has to say where they go.
 */
export function takeAway(site: Site, bus: Bus, landing: Landing): readonly ModelEdit[] {
  const leaving = bus.landings.filter(({ from }) => from === landing.index);
  if (leaving.some(({ opensSpur }) => opensSpur)) {
    return [];
  }
  const [next] = leaving;
  const opensLine = landing.from === undefined || landing.opensSpur;
  const flags = endFlags(site, bus, without(bus, landing, opensLine));
  if (flags === undefined) {
    return [];
  }
  const removed: ModelEdit =
    landing.opensSpur && next === undefined
      ? { kind: 'remove-statement', at: placeOf(bus.name, part('spur', landing.spur!)) }
      : { kind: 'remove-landing', run: bus.name, landing: landing.index };
  const neighbour = opensLine ? (next ?? bus.landings[landing.from!]) : bus.landings[landing.from!];
  return [
    ...flags.edits,
    ...(landing.bonded && neighbour?.bonded === false
      ? [flagEdit('set-landing-flag', bus, neighbour, 'bonded')]
      : []),
    ...(opensLine && next?.lengthM !== undefined ? [removeLength(bus, next)] : []),
    removed,
  ];
}

/** The bus after a landing is taken away: what came behind it is joined to what came before. */
function without(bus: Bus, landing: Landing, opensLine: boolean): ChangedBus {
  const kept = bus.landings.filter(({ index }) => index !== landing.index);
  const renumbered = new Map(kept.map(({ index }, position) => [index, position]));
  const landings = kept.map(({ from, lengthM, ...one }): Landing => {
    const follows = from === landing.index;
    const before = follows ? landing.from : from;
    return {
      ...one,
      index: renumbered.get(one.index)!,
      opensSpur: one.opensSpur || (follows && landing.opensSpur),
      ...(before === undefined ? {} : { from: renumbered.get(before)! }),
      ...(lengthM === undefined || (follows && opensLine) ? {} : { lengthM }),
    };
  });
  return { bus: { ...bus, landings }, indexBefore: kept.map(({ index }) => index) };
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
  const taken = takeAway(site, bus, landing);
  const landed = landAtEnd(site, to, port, landing.existing ? ['existing'] : []);
  if (taken.length === 0 || landed.length === 0) {
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
