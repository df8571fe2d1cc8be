/** What must hold in every topology picture, tried on invented sites of all sizes. */
import { describe, expect, it } from 'vitest';
import { drawTopologyScene, planTopology } from '../../src/drawing/index.js';
import type { PlannedBox, TopologyPlan } from '../../src/drawing/layout/topology/plan.js';
import { boardBoxId } from '../../src/drawing/layout/topology/wiring.js';
import type { Point, Rect } from '../../src/drawing/layout/geometry.js';
import type { TopologyScene } from '../../src/drawing/scene/scene.js';
import {
  NO_FAULTS,
  crossings,
  edgeCount,
  topologyFaults,
  withoutPower,
} from '../support/drawing-metrics.js';
import { randomScene, shuffled } from '../support/scenes.js';
import { wildScene } from '../support/wild-scenes.js';

/** 208 sites of 8 to 400 devices; every fifth is large enough for flags. */
const blocks = Array.from({ length: 26 }, (_, block) => block * 8 + 1);
const sizeOf = (seed: number) =>
  seed % 5 === 0 ? 150 + ((seed * 37) % 250) : 8 + ((seed * 29) % 130);
const seedsOf = (first: number) => Array.from({ length: 8 }, (_, index) => first + index);
const sceneOf = (seed: number) => randomScene(seed, sizeOf(seed));

describe('a topology picture', () => {
  it.each(blocks)('keeps lines, boxes and labels apart (sites from %i)', (first) => {
    for (const seed of seedsOf(first)) {
      const plan = planTopology(sceneOf(seed));
      expect({ seed, ...topologyFaults(plan) }).toEqual({ seed, ...NO_FAULTS });
    }
  });

  it.each(blocks.filter((_, index) => index % 2 === 0))(
    'shows everything exactly once and joins what is joined (sites from %i)',
    (first) => {
      for (const seed of seedsOf(first)) {
        const scene = sceneOf(seed);
        const plan = planTopology(scene);
        expectEverythingOnce(scene, plan);
        expectLinesJoinTheirEnds(scene, plan);
        expectFloorOrder(scene, plan);
      }
    },
  );

  it.each(blocks.filter((_, index) => index % 4 === 0))(
    'does not depend on the order of declarations (sites from %i)',
    (first) => {
      for (const seed of seedsOf(first)) {
        const scene = sceneOf(seed);
        const { svg } = drawTopologyScene(scene);
        expect(drawTopologyScene(scene).svg === svg, `seed ${seed}, drawn again`).toBe(true);
        const other = drawTopologyScene(shuffled(scene, seed + 1)).svg;
        expect(other === svg, `seed ${seed}, shuffled`).toBe(true);
      }
    },
  );

  it('keeps apart what is kept apart on a site of 1,000 devices too', () => {
    const scene = randomScene(1000, 1000);
    const plan = planTopology(scene);
    expect(topologyFaults(plan)).toEqual(NO_FAULTS);
    expectEverythingOnce(scene, plan);
    expectLinesJoinTheirEnds(scene, plan);
    expectFloorOrder(scene, plan);
  });

  it('keeps apart what is kept apart with all long lines drawn', () => {
    for (const seed of [5, 10, 15]) {
      const plan = planTopology(sceneOf(seed), { flags: 'never' });
      expect(plan.wires.filter((wire) => wire.flagged)).toEqual([]);
      expect(topologyFaults(plan)).toEqual(NO_FAULTS);
    }
  });

  it('crosses few lines: none at 10 devices, on the whole fewer than 15 for 100 lines', () => {
    const small = [1, 2, 3, 4, 5].map((seed) => planTopology(randomScene(seed, 10)));
    expect(small.map((plan) => crossings(plan, withoutPower))).toEqual([0, 0, 0, 0, 0]);
    let crossed = 0;
    let lines = 0;
    for (let seed = 1; seed <= 60; seed++) {
      const plan = planTopology(sceneOf(seed));
      crossed += crossings(plan, withoutPower);
      lines += edgeCount(plan, withoutPower);
    }
    expect(crossed / lines).toBeLessThan(0.15);
    expect(crossings(planTopology(randomScene(1000, 1000)), withoutPower)).toBeLessThanOrEqual(20);
  });
});

describe('a topology picture of anything joined to anything', () => {
  const wildBlocks = Array.from({ length: 12 }, (_, block) => block * 25 + 1);

  it.each(wildBlocks)('keeps lines, boxes and labels apart (scenes from %i)', (first) => {
    for (let seed = first; seed < first + 25; seed++) {
      const scene = wildScene(seed, 1 + ((seed * 13) % 60));
      const plan = planTopology(scene, { flags: seed % 4 === 0 ? 'always' : 'auto' });
      expect({ seed, ...topologyFaults(plan) }).toEqual({ seed, ...NO_FAULTS });
      expectEverythingOnce(scene, plan);
      expectLinesJoinTheirEnds(scene, plan);
      const other = drawTopologyScene(shuffled(scene, seed)).svg;
      expect(other === drawTopologyScene(scene).svg, `seed ${seed}, shuffled`).toBe(true);
    }
  });
});

describe('one more device', () => {
  it('moves nothing on other buses, with the grid of the picture before', () => {
    for (const seed of [2, 7, 11, 16, 23, 31]) {
      const scene = randomScene(seed, 100);
      const before = planTopology(scene);
      const { scene: longer, runId } = withOneMore(scene, seed);
      const after = planTopology(longer, { previous: before.memory });
      const members = membersOf(scene, runId);
      const others = before.boxes.filter((box) => box.style === 'field' && !members.has(box.id));
      const flips = orderFlips(others, after);
      expect({ seed, flips: flips.count / flips.pairs < 0.02 }).toEqual({ seed, flips: true });
      expect(after.memory.sliceOfRun).toEqual(before.memory.sliceOfRun);
      expect(topologyFaults(after)).toEqual(NO_FAULTS);
    }
  });
});

describe('a picture of little', () => {
  const empty: TopologyScene = {
    view: 'topology',
    sheet: { title: 'Empty', subtitle: '' },
    areas: [],
    rooms: [],
    devices: [],
    boards: [],
    runs: [],
    branches: [],
    networks: [],
    findings: [],
  };

  it('is a picture too: nothing at all, one device without a place, a run without devices', () => {
    expect(planTopology(empty).boxes).toEqual([]);
    const mark = { place: 'X', name: 'X' };
    const device = {
      id: 'X',
      tag: 'X',
      title: '',
      role: 'other' as const,
      existing: false,
      addresses: [],
      mark,
    };
    const plan = planTopology({
      ...empty,
      devices: [device],
      runs: [
        {
          id: 'bus b',
          kind: 'bus',
          shape: 'chain',
          existing: false,
          title: '',
          landings: [],
          segments: [],
          mark,
        },
      ],
      findings: [
        {
          key: '0',
          severity: 'error',
          rule: 'name-unknown',
          subject: 'b',
          message: 'No such name.',
          mark,
          at: { kind: 'run', id: 'bus b' },
        },
      ],
    });
    expect(plan.boxes.map((box) => box.id)).toEqual(['X']);
    expect(plan.badges.map((badge) => badge.number)).toEqual([1]);
    expect(topologyFaults(plan)).toEqual(NO_FAULTS);
  });
});

function expectEverythingOnce(scene: TopologyScene, plan: TopologyPlan): void {
  const byText = (one: string, other: string) => (one < other ? -1 : one > other ? 1 : 0);
  const deviceBoxes = plan.boxes.filter((box) => box.kind === 'device').map((box) => box.id);
  expect([...deviceBoxes].sort(byText)).toEqual(
    scene.devices.map((device) => device.id).sort(byText),
  );
  expect(plan.boxes.filter((box) => box.kind === 'board')).toHaveLength(scene.boards.length);
  const drawn = plan.wires
    .filter((wire) => wire.layer !== 'ip' && wire.layer !== 'branch')
    .map((wire) => wire.id);
  const segments = scene.runs.flatMap((run) =>
    run.segments.map((segment) => `${run.id}\u0001${segment.id}`),
  );
  expect([...drawn].sort(byText)).toEqual(segments.sort(byText));
  const landings = scene.runs.flatMap((run) => run.landings);
  for (const state of ['fitted', 'missing'] as const) {
    const symbols = plan.symbols.filter((symbol) => symbol.kind === `terminator-${state}`);
    const asked = landings.filter((landing) => landing.terminator === state);
    expect(symbols.map((one) => one.landingId).sort(byText)).toEqual(
      asked.map((one) => one.id).sort(byText),
    );
  }
  const bonds = plan.symbols.filter((symbol) => symbol.kind === 'bond');
  expect(bonds).toHaveLength(landings.filter((landing) => landing.bonded).length);
  const numbers = scene.findings.map((_, index) => index + 1);
  expect(plan.badges.map((badge) => badge.number)).toEqual(numbers);
  expect(plan.findings.map((finding) => finding.number)).toEqual(numbers);
  plan.findings.forEach(({ badge, number }) => {
    expect(plan.badges[number - 1]?.mark).toEqual(badge.mark);
  });
}

/** Each segment starts on the edge of its first device and ends on the edge of its last one. */
function expectLinesJoinTheirEnds(scene: TopologyScene, plan: TopologyPlan): void {
  const boxes = new Map(plan.boxes.map((box) => [box.id, box.rect]));
  const wires = new Map(plan.wires.map((wire) => [wire.id, wire]));
  for (const run of scene.runs) {
    const owners = new Map(run.landings.map((landing) => [landing.id, boxIdOf(landing.owner)]));
    for (const segment of run.segments) {
      const wire = wires.get(`${run.id}\u0001${segment.id}`);
      const from = boxes.get(owners.get(segment.from) ?? '');
      const to = boxes.get(owners.get(segment.to) ?? '');
      if (!wire || !from || !to) throw new Error(`${run.id} ${segment.id} is not drawn`);
      const first = wire.lines[0]?.[0];
      const last = wire.flagged ? wire.lines[1]?.[0] : wire.lines[0]?.at(-1);
      expect(first && isOnEdge(first, from), `${wire.id} starts at ${segment.from}`).toBe(true);
      expect(last && isOnEdge(last, to), `${wire.id} ends at ${segment.to}`).toBe(true);
    }
  }
}

function boxIdOf(owner: { readonly kind: 'device' | 'board'; readonly id: string }): string {
  return owner.kind === 'board' ? boardBoxId(owner.id) : owner.id;
}

function isOnEdge(point: Point, rect: Rect): boolean {
  const near = (one: number, other: number) => Math.abs(one - other) < 0.01;
  const isBeside = point.y >= rect.y && point.y <= rect.y + rect.height;
  const isAbove = point.x >= rect.x && point.x <= rect.x + rect.width;
  return (
    (isBeside && (near(point.x, rect.x) || near(point.x, rect.x + rect.width))) ||
    (isAbove && (near(point.y, rect.y) || near(point.y, rect.y + rect.height)))
  );
}

/** Every device stands on its own floor, and floors stand in the order of their height. */
function expectFloorOrder(scene: TopologyScene, plan: TopologyPlan): void {
  const areas = [...scene.areas].sort((one, other) => (other.levelM ?? 0) - (one.levelM ?? 0));
  const bandOf = new Map(areas.map((area, index) => [area.id, plan.bands[index]]));
  for (const device of scene.devices) {
    const band = bandOf.get(device.areaId ?? '')?.rect;
    const box = plan.boxes.find((one) => one.id === device.id)?.rect;
    if (!band || !box) throw new Error(`${device.id} has no floor`);
    expect(box.y > band.y && box.y + box.height < band.y + band.height, device.id).toBe(true);
  }
  for (let index = 1; index < plan.bands.length; index++) {
    const above = plan.bands[index - 1]?.rect;
    expect(plan.bands[index]?.rect.y).toBe((above?.y ?? 0) + (above?.height ?? 0));
  }
}

/** The scene with one more unit in the middle of one of its field buses. */
function withOneMore(scene: TopologyScene, seed: number): { scene: TopologyScene; runId: string } {
  const buses = scene.runs.filter((run) => run.id.startsWith('field'));
  const run = buses[seed % buses.length];
  const at = Math.floor((run?.segments.length ?? 0) / 2);
  const segment = run?.segments[at];
  const template = scene.devices.find((device) => device.id === run?.landings[2]?.owner.id);
  if (!run || !segment || !template) throw new Error('The site has no field bus.');
  const mark = { place: 'new', name: 'FC-new' };
  const device = { ...template, id: 'FC-new', tag: 'FC-new', mark };
  const landing = {
    id: 'new',
    owner: { kind: 'device' as const, id: 'FC-new' },
    member: 'field',
    terminator: 'none' as const,
    bonded: false,
    mark,
  };
  const position = run.landings.findIndex((one) => one.id === segment.to);
  const longer = {
    ...run,
    landings: [...run.landings.slice(0, position), landing, ...run.landings.slice(position)],
    segments: [
      ...run.segments.slice(0, at),
      { ...segment, id: 'to-new', to: 'new' },
      { ...segment, id: 'from-new', from: 'new' },
      ...run.segments.slice(at + 1),
    ],
  };
  return {
    scene: {
      ...scene,
      devices: [...scene.devices, device],
      runs: scene.runs.map((one) => (one.id === run.id ? longer : one)),
    },
    runId: run.id,
  };
}

function membersOf(scene: TopologyScene, runId: string): ReadonlySet<string> {
  const run = scene.runs.find((one) => one.id === runId);
  return new Set(run?.landings.map((landing) => landing.owner.id));
}

/** Pairs of devices that stand the other way round than before. */
function orderFlips(boxes: readonly PlannedBox[], after: TopologyPlan) {
  const now = new Map(after.boxes.map((box) => [box.id, box.rect]));
  let count = 0;
  let pairs = 0;
  for (let a = 0; a < boxes.length; a++) {
    for (let b = a + 1; b < boxes.length; b++) {
      const one = boxes[a];
      const other = boxes[b];
      const oneNow = one && now.get(one.id);
      const otherNow = other && now.get(other.id);
      if (!one || !other || !oneNow || !otherNow) continue;
      pairs++;
      const isFlipped = (before: number, then: number) => before * then < 0;
      if (
        isFlipped(one.rect.x - other.rect.x, oneNow.x - otherNow.x) ||
        isFlipped(one.rect.y - other.rect.y, oneNow.y - otherNow.y)
      ) {
        count++;
      }
    }
  }
  return { count, pairs };
}
