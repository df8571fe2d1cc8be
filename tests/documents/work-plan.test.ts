/**
 * The order relations of a safe procedure. Sources: EN 50110-1 6.2 (five rules in this order),
 * 29 CFR 1910.333(b)(2) (all sources, lock and tag, tester), removal of locks by their owners and
 * measuring before plugging in: common practice.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isolationOf } from '../../src/analysis/graph/isolation.js';
import { supervisionOf } from '../../src/analysis/graph/supervision.js';
import { orderOfWork } from '../../src/documents/procedure/order-of-work.js';
import { workPlan } from '../../src/documents/procedure/work-plan.js';
import type { WorkAction, WorkPlan } from '../../src/documents/procedure/work-plan.js';
import { renderMarkdown } from '../../src/documents/render/markdown.js';
import type { Site } from '../../src/model/site.js';
import { checkedExample, examples } from '../support/examples.js';
import { poweredPlans, siteOfPlan } from '../support/powered-sites.js';
import { siteOf } from '../support/site.js';
import { libraryText } from './library.js';
import { plainFrame } from './frame.js';

const runs = 1000;

describe('the order of work of the library', () => {
  const { site } = siteOf(libraryText);
  const plan = workPlan(site);

  it('opens, locks and proves in the order of the rules', () => {
    expectSafe(site, plan);
    expect(kinds(plan)).toEqual([
      'permit',
      'inform',
      'list-sources',
      'shut-down',
      'open',
      'lock',
      'wait',
      'prove-tester',
      'prove-dead',
      'prove-tester-again',
      'earth',
      'cover',
      'pull',
      'land',
      'inspect',
      'test-unpowered',
      'clear',
      'unlock',
      'board-in-service',
      'energise',
      'measure',
      'energise',
      'measure',
      'connect',
      'measure',
      'connect',
      'measure',
      'connect',
      'try',
      'sign',
    ]);
  });

  it('lands area by area and room by room as the site lists them', () => {
    const landed = plan.actions.flatMap((action) =>
      action.kind === 'land' ? [action.enclosure.device.name] : [],
    );
    expect(landed).toEqual(['OU-1', 'PS-1', 'FC-1-01', 'RC-1-01', 'ZC-1']);
  });

  it('connects units before the controllers that find them', () => {
    expect(connected(plan)).toEqual(['PS-1', 'OU-1', 'FC-1-01', 'RC-1-01', 'ZC-1']);
  });

  it('reads 24 V at the panel, unloaded, before it is plugged in', () => {
    const reading = plan.actions.find(
      (action) => action.kind === 'measure' && action.reading.at === 'ZC-1.supply',
    );
    expect(reading).toMatchObject({
      for: 'connect',
      reading: {
        unloaded: { value: 24, unit: 'V', mark: 'stated' },
        least: { value: 21.6 },
        most: { value: 26.400000000000002 },
      },
    });
  });

  it('numbers its steps from 1 without a gap, in the order of the plan', () => {
    const numbers = orderOfWork(site)
      .sections.flatMap((section) => section.blocks)
      .flatMap((block) => (block.kind === 'steps' ? block.steps : []))
      .map((step) => step.number);
    expect(numbers).toEqual(numbers.map((_, index) => index + 1));
    const measures = plan.actions.filter((action) => action.kind === 'measure').length;
    expect(numbers.length).toBe(plan.actions.length - measures);
  });

  it('shows every reading in the step it belongs to', () => {
    const text = renderMarkdown(orderOfWork(site), plainFrame);
    for (const action of plan.actions) {
      if (action.kind === 'measure') {
        expect(text.split(`| ${action.reading.at} |`).length - 1, action.reading.at).toBe(1);
      }
    }
  });
});

describe('the order of work of the examples', () => {
  it.each(examples())('keeps the order relations in $name', (example) => {
    const { site } = checkedExample(example).open;
    const plan = workPlan(site);
    expect(plan.actions.length).toBeGreaterThan(0);
    expectSafe(site, plan);
  });
});

describe('the order of work of any site', () => {
  it('keeps the order relations', () => {
    fc.assert(
      fc.property(poweredPlans, (random) => {
        const site = siteOfPlan(random);
        expectSafe(site, workPlan(site));
      }),
      { numRuns: runs },
    );
  });

  it('leaves no way for energy into an opened enclosure but those it warns of', () => {
    fc.assert(
      fc.property(poweredPlans, (random) => {
        const site = siteOfPlan(random);
        const plan = workPlan(site);
        const open = new Set(
          plan.points.filter((one) => one.kind !== 'stored').map((one) => one.name),
        );
        const warned = new Set([
          ...plan.unlockable.map((source) => source.name),
          ...plan.points.filter((one) => one.kind === 'stored').map((one) => one.name),
        ]);
        for (const { device, isolation } of plan.enclosures) {
          if (isolation.points.length > 0) {
            expect(sourcesReaching(site, device.name, new Set()).size).toBeGreaterThan(0);
          }
          const left = [...sourcesReaching(site, device.name, open)];
          expect(left.filter((source) => !warned.has(source))).toEqual([]);
        }
      }),
      { numRuns: runs },
    );
  });

  it('tells what is existing to be live from the first step', () => {
    fc.assert(
      fc.property(poweredPlans, (random) => {
        const site = siteOfPlan(random);
        const plan = workPlan(site);
        for (const point of plan.points.filter((one) => one.kind === 'way')) {
          const [board = '', way = ''] = point.name.split('.');
          const record = site.boards.get(board)!;
          const existing =
            record.existing || record.ways.some((one) => one.name === way && one.existing);
          expect(point.existing).toBe(existing);
        }
        const text = renderMarkdown(orderOfWork(site), plainFrame);
        const live = plan.points.filter((one) => one.existing && one.kind !== 'stored').length;
        expect(text.split('Live now.').length - 1).toBe(live);
      }),
      { numRuns: 200 },
    );
  });

  it('relies on no isolator and no board that is only being installed', () => {
    fc.assert(
      fc.property(poweredPlans, (random) => {
        const site = siteOfPlan(random);
        const plan = workPlan(site);
        const names = new Set(plan.points.map((one) => one.name));
        for (const point of plan.points.filter((one) => one.kind !== 'stored')) {
          const isolator = site.isolators.get(point.name);
          if (isolator !== undefined) {
            expect(point.existing).toBe(isolator.existing);
            if (!isolator.existing) {
              expect(names).toContain(`${isolator.on.owner}.${isolator.on.member}`);
            }
            continue;
          }
          if (point.existing) {
            continue;
          }
          const board = site.boards.get(point.name.split('.')[0]!)!;
          if (board.from !== undefined && !board.existing) {
            expect(names).toContain(`${board.from.owner}.${board.from.member}`);
          }
        }
      }),
      { numRuns: runs },
    );
  });

  it('puts a new board into service after what feeds it and before its own ways', () => {
    fc.assert(
      fc.property(poweredPlans, (random) => {
        const site = siteOfPlan(random);
        const { actions } = workPlan(site);
        const boards = actions.flatMap((one) =>
          one.kind === 'board-in-service' ? [one.board.name] : [],
        );
        const fresh = [...site.boards.values()].filter((one) => !one.existing);
        expect([...boards].sort()).toEqual(
          actions.length === 0 ? [] : fresh.map((one) => one.name).sort(),
        );
        actions.forEach((action, index) => {
          if (action.kind !== 'energise') {
            return;
          }
          const ready = actions.findIndex(
            (one) =>
              one.kind === 'board-in-service' && one.board.name === action.point.cuts.split('.')[0],
          );
          expect(ready).toBeLessThan(index);
          const from =
            ready < 0 ? undefined : site.boards.get(action.point.cuts.split('.')[0]!)?.from;
          const feeding = actions.findIndex(
            (one) => one.kind === 'energise' && one.point.name === `${from?.owner}.${from?.member}`,
          );
          expect(feeding).toBeLessThan(ready < 0 ? index : ready);
        });
      }),
      { numRuns: runs },
    );
  });

  it('has no steps where nothing is new', () => {
    const { site } = siteOf(
      libraryText
        .replace(/^(board DB-1 in Plant)/mu, '$1 existing')
        .replace(/^(device [^{\n]+?)( \{|$)/gmu, '$1 existing$2')
        .replace(
          /^(bus field-1 : \S+ using \S+|bus room-1 : \S+ using \S+|feed F-1 from \S+ using \S+)/gmu,
          '$1 existing',
        ),
    );
    expect(site.devices.get('OU-1')?.existing).toBe(true);
    expect(site.buses.get('field-1')?.existing).toBe(true);
    expect(workPlan(site).actions).toEqual([]);
  });
});

/** The invariants; `first` and `last` are positions in the list of actions. */
function expectSafe(site: Site, plan: WorkPlan): void {
  const { actions } = plan;
  if (actions.length === 0) {
    expect(plan.enclosures).toEqual([]);
    return;
  }
  const positions = (kind: WorkAction['kind']) =>
    actions.flatMap((action, index) => (action.kind === kind ? [index] : []));
  const first = (kind: WorkAction['kind']) => positions(kind)[0] ?? Number.POSITIVE_INFINITY;
  const last = (kind: WorkAction['kind']) => positions(kind).at(-1) ?? Number.NEGATIVE_INFINITY;
  const order = (...sequence: readonly WorkAction['kind'][]) => {
    for (const [index, kind] of sequence.slice(1).entries()) {
      expect(last(sequence[index]!), `${sequence[index]} before ${kind}`).toBeLessThan(first(kind));
    }
  };
  // 1 to 4: permit, persons informed, all sources listed, plant at rest.
  order('permit', 'inform', 'list-sources', 'shut-down');
  expect(last('shut-down')).toBeLessThan(Math.min(first('open'), first('wait')));
  // 5 before 6 before 7 before 8 before 9 and 10 before 11.
  order('open', 'lock');
  expect(last('lock')).toBeLessThan(first('wait'));
  order(
    'wait',
    'prove-tester',
    'prove-dead',
    'prove-tester-again',
    'earth',
    'cover',
    'pull',
    'land',
  );
  // 11 before 12 before 13 before 14 before 15 before 16.
  order('land', 'inspect', 'test-unpowered', 'clear');
  expect(last('clear')).toBeLessThan(Math.min(first('unlock'), first('connect')));
  expect(last('unlock')).toBeLessThan(Math.min(first('energise'), first('board-in-service')));
  expect(last('energise')).toBeLessThan(first('connect'));
  order('connect', 'try', 'sign');

  // Each point is opened, locked, unlocked and closed exactly once.
  const pointsIn = (kind: 'open' | 'lock' | 'unlock' | 'energise') =>
    actions.flatMap((action) => (action.kind === kind ? [action.point.name] : [])).sort();
  const names = plan.points.map((point) => point.name).sort();
  expect(new Set(names).size).toBe(names.length);
  for (const kind of ['open', 'lock', 'unlock', 'energise'] as const) {
    expect(pointsIn(kind), kind).toEqual(names);
  }
  // Every source of the list appears where points are opened, locked, unlocked; or forbids the work.
  const forbidding = new Set(plan.unlockable.map((source) => source.name));
  const covered = new Set(plan.points.flatMap((point) => point.sources));
  for (const source of plan.sources) {
    expect(covered.has(source.name) || forbidding.has(source.name), source.name).toBe(true);
  }
  // Every enclosure is proved dead once and landed once, and its proof names all its sources.
  const proved = actions.flatMap((one) => (one.kind === 'prove-dead' ? [one.enclosure] : []));
  const landed = actions.flatMap((one) => (one.kind === 'land' ? [one.enclosure] : []));
  expect(proved).toEqual(plan.enclosures);
  expect(landed).toEqual(plan.enclosures);
  for (const { device, isolation, points } of proved) {
    expect(isolation).toBe(isolationOf(site, device));
    for (const point of isolation.points) {
      expect(points).toContain(point.name);
      expect(names).toContain(point.name);
    }
  }
  // A point further from the source is closed after the one nearer to it.
  const closed = actions.flatMap((action) => (action.kind === 'energise' ? [action.point] : []));
  for (const [index, point] of closed.entries()) {
    for (const later of closed.slice(index + 1)) {
      expect(above(site, point.name), `${later.name} after ${point.name}`).not.toContain(
        later.name,
      );
    }
  }
  // Voltage is read before a device is connected; what it finds or is fed by is connected before it.
  const at = new Map(
    actions.flatMap((action, index) =>
      action.kind === 'connect' ? [[action.device.name, index] as const] : [],
    ),
  );
  expect([...at.keys()].sort()).toEqual(plan.enclosures.map(({ device }) => device.name).sort());
  actions.forEach((action, index) => {
    if (action.kind === 'measure') {
      expect(index).toBeLessThan(at.get(action.reading.device.name)!);
      for (const source of action.reading.sources) {
        const supplier = at.get(source.slice(0, source.lastIndexOf('.')));
        expect(supplier ?? -1, `${source} before ${action.reading.at}`).toBeLessThan(index);
      }
    }
    if (action.kind === 'connect') {
      for (const unit of supervisionOf(site, action.device)?.units ?? []) {
        expect(at.get(unit.device.name) ?? -1).toBeLessThan(index);
      }
    }
  });
}

/** The ways above a way, up to the incomer. */
function above(site: Site, way: string): readonly string[] {
  const found: string[] = [];
  for (let board = site.boards.get(way.split('.')[0] ?? ''); board?.from !== undefined;) {
    found.push(`${board.from.owner}.${board.from.member}`);
    board = site.boards.get(board.from.owner);
  }
  return found;
}

/**
 * The sources from which energy still reaches a terminal of a device with these points open, by
 * walking everything: written apart from the analysis, for sites of the generator.
 */
function sourcesReaching(
  site: Site,
  device: string,
  open: ReadonlySet<string>,
): ReadonlySet<string> {
  const found = new Set<string>();
  const seen = new Set<string>();
  const isCut = (key: string): boolean =>
    open.has(key) ||
    [...site.isolators.values()].some(
      (one) => `${one.on.owner}.${one.on.member}` === key && open.has(one.name),
    );
  const point = ({ owner, member }: { owner: string; member: string }): void => {
    const key = `${owner}.${member}`;
    if (seen.has(key) || isCut(key)) {
      return;
    }
    seen.add(key);
    const board = site.boards.get(owner);
    if (board !== undefined) {
      if (board.from === undefined) {
        found.add(board.name);
      } else {
        point(board.from);
      }
      return;
    }
    const supply = site.devices.get(owner)!;
    if (supply.equipment === 'Battery') {
      found.add(key);
    }
    inlets(owner);
  };
  const inlets = (name: string): void => {
    site.devices.get(name)?.inletLines.forEach((one) => point(one.from));
    for (const feed of site.feeds.values()) {
      if (feed.landings.some((one) => one.device === name)) {
        point(feed.from);
        if (feed.and !== undefined) {
          point(feed.and);
        }
      }
    }
  };
  inlets(device);
  // What others give over the device's buses, and what a second outlet sends back.
  for (const bus of site.buses.values()) {
    if (bus.busType === 'Room' && bus.landings.some((one) => one.device === device)) {
      bus.landings.filter((one) => one.member === 'room').forEach((one) => inlets(one.device));
    }
  }
  for (const feed of site.feeds.values()) {
    const ends = feed.and === undefined ? [] : [feed.from, feed.and];
    if (ends.some((one) => one.owner === device)) {
      ends.filter((one) => one.owner !== device).forEach(point);
    }
  }
  if (site.devices.get(device)?.equipment === 'Battery') {
    found.add(`${device}.out`);
  }
  return found;
}

function kinds(plan: WorkPlan): readonly string[] {
  return plan.actions
    .map((action) => action.kind)
    .filter((kind, index, all) => kind !== all[index - 1]);
}

function connected(plan: WorkPlan): readonly string[] {
  return plan.actions.flatMap((action) => (action.kind === 'connect' ? [action.device.name] : []));
}
