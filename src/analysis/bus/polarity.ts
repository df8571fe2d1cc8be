/** Which core lands on which terminal, and which landings differ from the rest. */
import type { Site } from '../../model/site.js';
import { cableOfLanding } from '../../model/site.js';
import type { BusLanding, BusSegment } from './segment.js';

/** Cores of a landing: for each terminal in order, the core's position in its cable from 0. */
interface CoreOrder {
  readonly landing: BusLanding;
  readonly order: readonly number[];
  readonly colours: readonly string[];
}

/** A landing whose cores are not in the order of the rest. */
export interface SwappedLanding {
  readonly landing: BusLanding;
  readonly landed: readonly string[];
  /** The same cores as the rest of the segment has them. */
  readonly wanted: readonly string[];
}

/**
 * The landings of a polarised segment whose core positions differ from those of most of them; where
 * as many differ as do not, the cable's own order counts.
 */
export function swappedLandings(site: Site, segment: BusSegment): readonly SwappedLanding[] {
  if (segment.busType?.polarised !== true) {
    return [];
  }
  const orders = segment.landings
    .filter(({ fits }) => fits)
    .flatMap((landing) => orderOf(site, segment, landing));
  const usual = mostFrequent(orders);
  if (usual === undefined) {
    return [];
  }
  return orders
    .filter(({ order }) => !isSame(order, usual))
    .map(({ landing, order, colours }) => ({
      landing,
      landed: order.map((core) => colours[core]!),
      wanted: usual.map((core) => colours[core] ?? ''),
    }));
}

/** None where the landing's cable has no colours or lists cores that it does not have. */
function orderOf(site: Site, segment: BusSegment, landing: BusLanding): readonly CoreOrder[] {
  const colours = cableOfLanding(site, landing.bus, landing.landing)?.colours ?? [];
  const conductors = segment.busType?.conductors ?? landing.resolved?.port.terminals.length ?? 0;
  const cores = landing.landing.cores ?? colours;
  const order = cores.slice(0, conductors).map((colour) => colours.indexOf(colour));
  return order.length < 2 || order.includes(-1) ? [] : [{ landing, order, colours }];
}

function mostFrequent(orders: readonly CoreOrder[]): readonly number[] | undefined {
  const counts = new Map<string, { order: readonly number[]; count: number }>();
  for (const { order } of orders) {
    const key = order.join(' ');
    const known = counts.get(key) ?? { order, count: 0 };
    counts.set(key, { order, count: known.count + 1 });
  }
  return [...counts.values()].sort(
    (one, other) =>
      other.count - one.count || Number(isOwnOrder(other.order)) - Number(isOwnOrder(one.order)),
  )[0]?.order;
}

function isOwnOrder(order: readonly number[]): boolean {
  return order.every((core, index) => core === index);
}

function isSame(one: readonly number[], other: readonly number[]): boolean {
  return one.length === other.length && one.every((core, index) => core === other[index]);
}
