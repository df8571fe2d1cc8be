/**
 * Cables core by core: which core joins which terminals, under which wire number.
 *
 * A wire number names a potential: all conductors that are joined carry the same one along the
 * whole circuit (`field-1.1`), so that a device added in between renumbers nothing.
 */
import type { Cable } from '../../model/equipment.js';
import type { ConductorSize } from '../../model/quantity.js';
import type { Site } from '../../model/site.js';
import type { Bus, Feed } from '../../model/wiring.js';
import { memoised } from '../memo.js';
import { cablesOfRun, endName } from './cables.js';
import type { CableEnd, SiteCable } from './cables.js';

/** What a row of the schedule is about. */
export type CoreKind =
  | 'conductor'
  | 'protective-earth'
  | 'screen'
  /** A core that lands on no terminal at either end. */
  | 'spare'
  /** A terminal pair for which the cable has no core, or of which no cable is stated. */
  | 'core-missing';

/** How the screen of a cable is dealt with at one end. */
export type ScreenTreatment =
  /** The run's one connection to earth. */
  | 'bonded'
  /** On the screen's own terminal of the port. */
  | 'landed'
  /** Joined to the screen of the next cable, insulated from everything else. */
  | 'carried-through'
  /** The cable's last end: cut back, insulated. */
  | 'insulated';

/** One core from end to end. */
export interface CoreConnection {
  readonly kind: CoreKind;
  /** Colour code of IEC 60757, or the core's number where no colour is stated; empty for a screen and a missing core. */
  readonly core: string;
  readonly size: ConductorSize | undefined;
  /** Empty for a spare core. */
  readonly wireNumber: string;
  /** What the conductor is called along its circuit: its position at the start, or L, N, PE. */
  readonly conductor: string;
  /** Undefined where the core lands on none at this end. */
  readonly fromTerminal: string | undefined;
  readonly toTerminal: string | undefined;
  readonly fromScreen?: ScreenTreatment;
  readonly toScreen?: ScreenTreatment;
  /** True where the core joins terminals of different positions. */
  readonly crossed: boolean;
}

/** Names of terminals whose meaning goes by the name and not by the position. */
const NAMED_CONDUCTORS: ReadonlySet<string> = new Set(['L', 'L1', 'L2', 'L3', 'N', 'PE']);

/** Whether a terminal is the protective conductor's. */
export function isProtectiveTerminal(terminal: string): boolean {
  return terminal === 'PE';
}

/**
 * The cores of a cable in the order of the terminals, then spare cores, then the screen.
 *
 * The cable's cores go to the terminals in order, but green-yellow only ever to a protective
 * terminal, and a blue core to a neutral terminal first (IEC 60445, from memory); `cores` of a
 * landing overrides this.
 */
export const coresOf: (site: Site, cable: SiteCable) => readonly CoreConnection[] = memoised(
  (site, cable) => {
    const cores = coresByPosition(site, cable);
    const run = site.buses.get(cable.circuit) ?? site.feeds.get(cable.circuit);
    if (run === undefined || !isCrossedAnywhere(site, run)) {
      return cores;
    }
    const potentials = potentialsOf(site, run);
    return cores.map((core) => {
      const conductor = potentialAt(potentials, cable, core);
      return conductor === undefined
        ? core
        : { ...core, conductor, wireNumber: `${cable.circuit}.${conductor}` };
    });
  },
);

/** The cores of a cable with conductors called after the position of their terminals. */
const coresByPosition: (site: Site, cable: SiteCable) => readonly CoreConnection[] = memoised(
  (site, cable) => (cable.duty === 'network' ? [] : computeCores(site, cable)),
);

const isCrossedAnywhere = memoised((site, run: Bus | Feed): boolean =>
  cablesOfRun(site, run).some((cable) => coresByPosition(site, cable).some((core) => core.crossed)),
);

/**
 * The conductor that each terminal of a run carries, followed from its first terminals: where cores
 * change places, position alone would give one wire two numbers.
 */
const potentialsOf = memoised((site, run: Bus | Feed): ReadonlyMap<string, string> => {
  const potentials = new Map<string, string>();
  for (const cable of cablesOfRun(site, run)) {
    for (const core of coresByPosition(site, cable)) {
      if (core.fromTerminal === undefined || core.toTerminal === undefined) {
        continue;
      }
      const from = terminalKey(cable.from, core.fromTerminal);
      const to = terminalKey(cable.to, core.toTerminal);
      const conductor = potentials.get(from) ?? potentials.get(to) ?? core.conductor;
      potentials.set(from, conductor);
      if (!potentials.has(to)) {
        potentials.set(to, conductor);
      }
    }
  }
  return potentials;
});

function potentialAt(
  potentials: ReadonlyMap<string, string>,
  { from, to }: SiteCable,
  core: CoreConnection,
): string | undefined {
  const { fromTerminal, toTerminal } = core;
  return (
    (fromTerminal === undefined ? undefined : potentials.get(terminalKey(from, fromTerminal))) ??
    (toTerminal === undefined ? undefined : potentials.get(terminalKey(to, toTerminal)))
  );
}

function terminalKey(end: CableEnd, terminal: string): string {
  return `${endName(end)}:${terminal}`;
}

function computeCores(site: Site, cable: SiteCable): readonly CoreConnection[] {
  const cores = coreNames(cable.cable);
  const size = cable.cable?.cores?.size;
  const slots = slotsOf(site, cable);
  const fromCores = coresAtEnd(cable, cable.from, slots, cores);
  const toCores = coresAtEnd(cable, cable.to, slots, cores);
  const joined = cores.flatMap((core, index): { at: number; connection: CoreConnection }[] => {
    const fromSlot = fromCores.indexOf(index);
    const toSlot = toCores.indexOf(index);
    const slot = fromSlot >= 0 ? fromSlot : toSlot;
    if (slot < 0) {
      return [];
    }
    const { conductor } = slots[slot]!;
    const fromTerminal = slots[fromSlot]?.fromTerminal;
    const toTerminal = slots[toSlot]?.toTerminal;
    const protective = isProtectiveTerminal(fromTerminal ?? toTerminal ?? '');
    return [
      {
        at: slot,
        connection: {
          kind: protective ? 'protective-earth' : 'conductor',
          core,
          size,
          wireNumber: `${cable.circuit}.${conductor}`,
          conductor,
          fromTerminal,
          toTerminal,
          crossed: fromSlot >= 0 && toSlot >= 0 && fromSlot !== toSlot,
        },
      },
    ];
  });
  const missing = slots.flatMap((slot, at): { at: number; connection: CoreConnection }[] => {
    const fromTerminal = fromCores[at] === undefined ? slot.fromTerminal : undefined;
    const toTerminal = toCores[at] === undefined ? slot.toTerminal : undefined;
    return fromTerminal === undefined && toTerminal === undefined
      ? []
      : [{ at, connection: missingCore(cable, slot.conductor, fromTerminal, toTerminal) }];
  });
  const landed = [...joined, ...missing]
    .sort((one, other) => one.at - other.at)
    .map((row) => row.connection);
  const spare = cores.flatMap((core, index): CoreConnection[] =>
    fromCores.includes(index) || toCores.includes(index)
      ? []
      : [
          {
            kind: 'spare',
            core,
            size,
            wireNumber: '',
            conductor: '',
            fromTerminal: undefined,
            toTerminal: undefined,
            crossed: false,
          },
        ],
  );
  const rows = [
    ...landed,
    ...spare,
    ...(cable.cable?.screened === true ? [screenOf(site, cable)] : []),
  ];
  // A line between two ends without terminals still is a line to be pulled.
  return rows.length > 0 ? rows : [missingCore(cable, '', undefined, undefined)];
}

function missingCore(
  cable: SiteCable,
  conductor: string,
  fromTerminal: string | undefined,
  toTerminal: string | undefined,
): CoreConnection {
  return {
    kind: 'core-missing',
    core: '',
    size: cable.cable?.cores?.size,
    wireNumber: conductor === '' ? '' : `${cable.circuit}.${conductor}`,
    conductor,
    fromTerminal,
    toTerminal,
    crossed: false,
  };
}

/** A pair of terminals that a conductor of the cable joins. */
interface Slot {
  readonly conductor: string;
  readonly fromTerminal: string | undefined;
  readonly toTerminal: string | undefined;
}

/**
 * The pairs of terminals that a cable joins: those whose names mean something by name, the rest
 * by position. An end without terminals of its own (a way, a board) takes the names of the other.
 */
function slotsOf(site: Site, cable: SiteCable): readonly Slot[] {
  const from = terminalsOr(cable.from, cable.to);
  const to = terminalsOr(cable.to, cable.from);
  const named = from.filter((name) => NAMED_CONDUCTORS.has(name) && to.includes(name));
  const fromRest = from.filter((name) => !named.includes(name));
  const toRest = to.filter((name) => !named.includes(name));
  const stated =
    cable.duty === 'bus' ? (site.busTypes.get(busTypeOf(site, cable))?.conductors ?? 0) : 0;
  const count = Math.max(fromRest.length, toRest.length, stated - named.length);
  const byPosition = Array.from({ length: count }, (_, index): Slot => {
    const name = fromRest[index] ?? toRest[index];
    return {
      conductor: name !== undefined && NAMED_CONDUCTORS.has(name) ? name : String(index + 1),
      fromTerminal: fromRest[index],
      toTerminal: toRest[index],
    };
  });
  const byName = named.map((name): Slot => ({
    conductor: name,
    fromTerminal: name,
    toTerminal: name,
  }));
  return [...byName, ...byPosition];
}

function terminalsOr(end: CableEnd, other: CableEnd): readonly string[] {
  const own = end.kind === 'way' || end.kind === 'board' ? other.terminals : end.terminals;
  return own.filter((name, index) => own.indexOf(name) === index);
}

function busTypeOf(site: Site, cable: SiteCable): string {
  return site.buses.get(cable.circuit)?.busType ?? '';
}

/** For each slot the index of the core that lands there at this end. */
function coresAtEnd(
  cable: SiteCable,
  end: CableEnd,
  slots: readonly Slot[],
  cores: readonly string[],
): readonly (number | undefined)[] {
  const stated = end.landing?.cores;
  if (stated !== undefined && stated.every((core) => cores.includes(core))) {
    // `cores` lists them in the order of the terminals as the equipment lists those.
    const byTerminal = new Map(
      end.terminals.map((name, index) => [name, cores.indexOf(stated[index] ?? '')]),
    );
    return slots.map((slot) => {
      const terminal = end === cable.from ? slot.fromTerminal : slot.toTerminal;
      const core = terminal === undefined ? -1 : (byTerminal.get(terminal) ?? -1);
      return core < 0 ? undefined : core;
    });
  }
  return defaultCores(slots, cores);
}

function defaultCores(
  slots: readonly Slot[],
  cores: readonly string[],
): readonly (number | undefined)[] {
  const chosen: (number | undefined)[] = slots.map(() => undefined);
  const free = new Set(cores.keys());
  const take = (slot: number, core: number): void => {
    if (slot >= 0 && core >= 0 && free.has(core) && chosen[slot] === undefined) {
      chosen[slot] = core;
      free.delete(core);
    }
  };
  const slotNamed = (name: string) => slots.findIndex((slot) => slot.conductor === name);
  take(slotNamed('PE'), cores.indexOf('GNYE'));
  take(slotNamed('N'), cores.indexOf('BU'));
  // What is left goes in order; a green-yellow core is never anything but protective.
  const rest = [...free].filter((core) => cores[core] !== 'GNYE');
  slots.forEach((slot, index) => {
    if (chosen[index] === undefined && !isProtectiveTerminal(slot.conductor)) {
      const next = rest.shift();
      if (next !== undefined) {
        take(index, next);
      }
    }
  });
  return chosen;
}

/** The cores' names in order: colours, numbered where a colour comes again, else numbers. */
function coreNames(cable: Cable | undefined): readonly string[] {
  const count = cable?.cores?.count ?? cable?.colours.length ?? 0;
  const whole = Number.isInteger(count) && count > 0 ? Math.min(count, 1000) : 0;
  const seen = new Map<string, number>();
  return Array.from({ length: whole }, (_, index) => {
    const colour = cable?.colours[index] ?? String(index + 1);
    const times = (seen.get(colour) ?? 0) + 1;
    seen.set(colour, times);
    return times === 1 ? colour : `${colour}(${times})`;
  });
}

function screenOf(site: Site, cable: SiteCable): CoreConnection {
  return {
    kind: 'screen',
    core: '',
    size: undefined,
    wireNumber: `${cable.circuit}.S`,
    conductor: 'S',
    fromTerminal: cable.from.screenTerminal,
    toTerminal: cable.to.screenTerminal,
    fromScreen: screenAt(site, cable, cable.from),
    toScreen: screenAt(site, cable, cable.to),
    crossed: false,
  };
}

function screenAt(site: Site, cable: SiteCable, end: CableEnd): ScreenTreatment {
  if (end.landing?.bonded === true) {
    return 'bonded';
  }
  if (end.screenTerminal !== undefined) {
    return 'landed';
  }
  return screenedCablesAt(site, cable, end) > 1 ? 'carried-through' : 'insulated';
}

function screenedCablesAt(site: Site, cable: SiteCable, end: CableEnd): number {
  const run = site.buses.get(cable.circuit) ?? site.feeds.get(cable.circuit);
  return run === undefined ? 1 : (screenedEndsOfRun(site, run).get(endName(end)) ?? 1);
}

/** How many screened cables of a run meet at each of its strips. */
const screenedEndsOfRun = memoised((site, run: Bus | Feed): ReadonlyMap<string, number> => {
  const counts = new Map<string, number>();
  for (const cable of cablesOfRun(site, run)) {
    if (cable.cable?.screened === true) {
      for (const end of [cable.from, cable.to]) {
        counts.set(endName(end), (counts.get(endName(end)) ?? 0) + 1);
      }
    }
  }
  return counts;
});
