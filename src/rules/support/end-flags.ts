/** Terminators that a bus needs elsewhere once a landing came or went, found by trying the change. */
import { terminationOf } from '../../analysis/bus/termination.js';
import type { BusLanding } from '../../analysis/bus/segment.js';
import { withBus } from '../../analysis/power/trial.js';
import type { ModelEdit } from '../../model/edit.js';
import type { Site } from '../../model/site.js';
import type { Bus, Landing } from '../../model/wiring.js';
import { isSettledElsewhere } from './bus-wording.js';

/** A bus as it is to be. */
export interface ChangedBus {
  readonly bus: Bus;
  /** For each landing its index before; undefined for one that is new. */
  readonly indexBefore: readonly (number | undefined)[];
}

/** What has to be terminated, and what no longer. */
export interface EndFlags {
  readonly edits: readonly ModelEdit[];
  /** Whether the new landing gets a terminator. */
  readonly terminatesNew: boolean;
}

/** More rounds than terminators that one landing can concern. */
const MOST_ROUNDS = 4;

/**
 * The flags after which the segment has no more ends that are wrong in one way than before; undefined
 * where flags alone cannot do that.
 */
export function endFlags(site: Site, before: Bus, changed: ChangedBus): EndFlags | undefined {
  const faultsBefore = faultsOf(site, before);
  const wanted = new Map([[before.name, changed.bus]]);
  for (let round = 0; round <= MOST_ROUNDS; round += 1) {
    const trial = [...wanted.values()].reduce(withBus, site);
    const faults = faultsOf(trial, wanted.get(before.name)!);
    const more = KINDS.flatMap((kind) => faults[kind].slice(faultsBefore[kind].length));
    if (more.length === 0) {
      return {
        edits: flagEdits(site, changed, wanted),
        terminatesNew: isNewTerminated(changed, wanted),
      };
    }
    const fault = more.find(({ clear }) => clear === undefined || clear.landing.terminated);
    if (fault === undefined) {
      return undefined;
    }
    flag(wanted, fault.clear, false);
    flag(wanted, fault.set, true);
  }
  return undefined;
}

/** What would mend an end, where its terminator can be moved. */
interface EndFault {
  readonly clear?: BusLanding;
  readonly set?: BusLanding;
}

const KINDS = ['misplaced', 'duplicate', 'missing'] as const;

/** What is said to be wrong with the terminators of a segment. */
function faultsOf(
  site: Site,
  bus: Bus,
): Readonly<Record<(typeof KINDS)[number], readonly EndFault[]>> {
  const { missing, misplaced, duplicate } = terminationOf(site, bus);
  return {
    misplaced: misplaced
      .filter(({ terminator }) => !isSettledElsewhere(terminator.landing))
      .map(({ terminator, end }) => ({ clear: terminator.landing, set: end })),
    duplicate: duplicate.map(({ terminator }) => ({ clear: terminator.landing })),
    missing: missing.filter((end) => !isSettledElsewhere(end)).map((end) => ({ set: end })),
  };
}

function flag(wanted: Map<string, Bus>, at: BusLanding | undefined, terminated: boolean): void {
  if (at !== undefined) {
    const bus = wanted.get(at.bus.name) ?? at.bus;
    const landings = bus.landings.map((one) =>
      one.index === at.landing.index ? { ...one, terminated } : one,
    );
    wanted.set(bus.name, { ...bus, landings });
  }
}

function flagEdits(
  site: Site,
  changed: ChangedBus,
  wanted: ReadonlyMap<string, Bus>,
): readonly ModelEdit[] {
  return [...wanted.values()].flatMap((bus) =>
    bus.landings.flatMap((landing, position): readonly ModelEdit[] => {
      const isChanged = bus.name === changed.bus.name;
      const index = isChanged ? changed.indexBefore[position] : landing.index;
      const was: Landing | undefined =
        index === undefined ? undefined : site.buses.get(bus.name)?.landings[index];
      return was === undefined || was.terminated === landing.terminated
        ? []
        : [
            {
              kind: landing.terminated ? 'set-landing-flag' : 'clear-landing-flag',
              run: bus.name,
              landing: was.index,
              flag: 'terminated',
            },
          ];
    }),
  );
}

function isNewTerminated(changed: ChangedBus, wanted: ReadonlyMap<string, Bus>): boolean {
  const position = changed.indexBefore.indexOf(undefined);
  return wanted.get(changed.bus.name)!.landings[position]?.terminated ?? false;
}
