/** Stretches of continuous cable screen and where each is bonded to earth. */
import type { Site } from '../../model/site.js';
import type { Bus } from '../../model/wiring.js';
import { memoised } from '../memo.js';
import { graphOf } from './graph.js';
import type { BusCable, BusGraph } from './graph.js';
import type { BusLanding } from './segment.js';

/** Screened cables that are joined to each other. */
export interface ScreenStretch {
  /** In order; never empty. */
  readonly cables: readonly BusCable[];
  /** Every landing at which a cable of it ends, in order. */
  readonly landings: readonly BusLanding[];
  /** Those that say `bonded`. */
  readonly bonded: readonly BusLanding[];
  /** Those from which only one cable of it leads. */
  readonly ends: readonly BusLanding[];
}

/** The screens of a bus's segment; the same object for all its buses. */
export const screensOf: (site: Site, bus: Bus) => readonly ScreenStretch[] = memoised(
  (site, bus) => {
    const graph = graphOf(site, bus);
    return graph.segment.lead === bus ? stretches(graph) : screensOf(site, graph.segment.lead);
  },
);

function stretches(graph: BusGraph): readonly ScreenStretch[] {
  const seen = new Set<number>();
  const found: ScreenStretch[] = [];
  for (const cable of graph.cables) {
    if (isScreened(cable) && !seen.has(cable.position)) {
      found.push(stretchFrom(graph, cable, seen));
    }
  }
  return found;
}

/** Follows the screen from one cable on; marks what it meets. */
function stretchFrom(graph: BusGraph, start: BusCable, seen: Set<number>): ScreenStretch {
  const queue = [start];
  seen.add(start.position);
  const ends = new Map<number, number>();
  for (const cable of queue) {
    for (const node of [cable.from, cable.to]) {
      ends.set(node, (ends.get(node) ?? 0) + 1);
      for (const position of graph.cablesAt[node]!) {
        const next = graph.cables[position]!;
        if (isScreened(next) && !seen.has(position)) {
          seen.add(position);
          queue.push(next);
        }
      }
    }
  }
  const landings = [...ends.keys()]
    .flatMap((node) => graph.nodes[node]!)
    .sort((one, other) => one.position - other.position);
  return {
    cables: queue.sort((one, other) => one.position - other.position),
    landings,
    bonded: landings.filter(({ landing }) => landing.bonded),
    ends: landings.filter(({ position }) => ends.get(graph.nodeOf[position]!) === 1),
  };
}

function isScreened({ segment }: BusCable): boolean {
  return segment.cable?.screened === true;
}
