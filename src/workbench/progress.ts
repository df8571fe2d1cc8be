/** How far the commissioning of a site is: each thing to look at, what was seen of it, and what is next. */
import { comparedReading } from '../analysis/compared-reading.js';
import { controllersOf } from '../analysis/graph/supervision.js';
import { lastMeasured, observationsOf } from '../analysis/observations.js';
import { sightingsOf, unitStates, type SeenState } from '../analysis/sightings.js';
import { idleReadings, ohmReadings, voltageReadings } from '../documents/commissioning/readings.js';
import { placeOf, type Place } from '../model/origin.js';
import { compareNames, memberKey, roomOf } from '../model/site.js';
import type { Site } from '../model/site.js';
import type { OpenSite } from './open-site.js';

export type { SeenState } from '../analysis/sightings.js';

/** In the order of the commissioning sheet. */
export type TaskKind = 'ohms' | 'idle' | 'voltage' | 'count' | 'unit' | 'page';

/** One thing to look at. */
export interface Task {
  readonly kind: TaskKind;
  /** As an `observed` line names it; for a unit its device. */
  readonly subject: string;
  /** Where to go: a port, an inlet, a device. */
  readonly at: string;
  readonly device: string;
  readonly state: SeenState;
  /** Where it stands in the text. */
  readonly place: Place;
}

export interface AreaProgress {
  /** Title of the area; undefined for what has none. */
  readonly area: string | undefined;
  /** In the order of the commissioning sheet. */
  readonly tasks: readonly Task[];
}

/** All tasks by area, areas in text order, what has none at the end. */
export function progressOf({ site }: OpenSite): readonly AreaProgress[] {
  const byArea = new Map<string | undefined, Task[]>(
    [...site.areas.keys(), undefined].map((name) => [name, []]),
  );
  for (const task of tasksOf(site)) {
    byArea.get(areaOf(site, task.device))!.push(task);
  }
  return [...byArea]
    .filter(([, tasks]) => tasks.length > 0)
    .map(([name, tasks]) => ({
      area: name === undefined ? undefined : (site.areas.get(name)?.title ?? name),
      tasks,
    }));
}

/**
 * The state of each device for a picture. One thing that differs outweighs all that is right; of units
 * and controllers it is the finding that counts, of others everything that there is to look at.
 */
export function deviceStates({ site }: OpenSite): ReadonlyMap<string, SeenState> {
  const tasks = new Map<string, Task[]>();
  for (const task of tasksOf(site)) {
    const list = tasks.get(task.device);
    if (list === undefined) {
      tasks.set(task.device, [task]);
    } else {
      list.push(task);
    }
  }
  return new Map([...tasks].map(([device, all]) => [device, stateOf(all)]));
}

function stateOf(tasks: readonly Task[]): SeenState {
  if (tasks.some(({ state }) => state === 'missing')) {
    return 'missing';
  }
  const finding = tasks.filter(({ kind }) => kind === 'unit' || kind === 'count');
  const counting = finding.length > 0 ? finding : tasks;
  return counting.every(({ state }) => state === 'found') ? 'found' : 'open';
}

function tasksOf(site: Site): readonly Task[] {
  return [
    ...ohmReadings(site).map(({ bus, at }) => reading(site, 'ohms', bus.name, at)),
    ...idleReadings(site).map(({ bus, at }) => reading(site, 'idle', bus.name, at)),
    ...voltageReadings(site).map(({ at }) => reading(site, 'voltage', at, at)),
    ...countTasks(site),
    ...unitTasks(site),
    ...pageTasks(site),
  ];
}

const READING = {
  ohms: { unit: 'ohm', state: 'power-off' },
  idle: { unit: 'V', state: 'idle' },
  voltage: { unit: 'V', state: undefined },
} as const;

/** A reading that nothing is computed for counts as found: somebody looked, and nothing contradicts it. */
function reading(site: Site, kind: 'ohms' | 'idle' | 'voltage', subject: string, at: string): Task {
  const { unit, state } = READING[kind];
  const measured = lastMeasured(observationsOf(site, subject)).find(
    ({ seen }) => seen.unit === unit && seen.state === state,
  );
  const device = at.slice(0, at.lastIndexOf('.'));
  return {
    ...{ kind, subject, at, device },
    state:
      measured === undefined
        ? 'open'
        : comparedReading(site, subject, measured)?.isWithin === false
          ? 'missing'
          : 'found',
    place: placeOf(kind === 'voltage' ? device : subject),
  };
}

function countTasks(site: Site): readonly Task[] {
  return controllersOf(site).map((device): Task => {
    const { expected, count } = sightingsOf(site, device);
    return {
      ...{ kind: 'count', subject: device.name, at: device.name, device: device.name },
      state:
        count === undefined ? 'open' : count.seen.count === expected.length ? 'found' : 'missing',
      place: placeOf(device.name),
    };
  });
}

/** A unit that one controller misses is missing; else one that found it is enough. */
function unitTasks(site: Site): readonly Task[] {
  const states = new Map<string, SeenState>();
  for (const controller of controllersOf(site)) {
    for (const [unit, state] of unitStates(sightingsOf(site, controller))) {
      const known = states.get(unit);
      states.set(unit, known === 'open' || known === undefined ? state : worseOf(known, state));
    }
  }
  return [...states].map(([unit, state]) => ({
    ...{ kind: 'unit' as const, subject: unit, at: unit, device: unit, state },
    place: placeOf(unit),
  }));
}

function worseOf(known: SeenState, state: SeenState): SeenState {
  return state === 'missing' ? state : known;
}

function pageTasks(site: Site): readonly Task[] {
  return [...site.networks.values()]
    .sort((one, other) => compareNames(one.name, other.name))
    .flatMap((network) => network.hosts)
    .flatMap(({ page, device, lan }): readonly Task[] => {
      if (page === undefined) {
        return [];
      }
      const subject = memberKey(device, lan);
      return [
        {
          kind: 'page',
          subject,
          at: page,
          device,
          state: pageState(site, subject),
          place: placeOf(device),
        },
      ];
    });
}

function pageState(site: Site, subject: string): SeenState {
  let last: { readonly on: string; readonly state: SeenState } | undefined;
  for (const { seen, on = '' } of observationsOf(site, subject)) {
    const isPage = seen.how === 'page-opens' || seen.how === 'page-fails';
    if (isPage && on >= (last?.on ?? '')) {
      last = { on, state: seen.how === 'page-opens' ? 'found' : 'missing' };
    }
  }
  return last?.state ?? 'open';
}

/** A room says its area; `in Level1` names the area itself. */
function areaOf(site: Site, device: string): string | undefined {
  const record = site.devices.get(device);
  if (record?.room === undefined) {
    return undefined;
  }
  return roomOf(site, record)?.area.name ?? site.areas.get(record.room)?.name;
}
