/** The power view and the map of addresses: complete, in order, and nothing on top of anything. */
import { describe, expect, it } from 'vitest';
import { factsOfSite } from '../../src/analysis/facts.js';
import {
  drawIp,
  drawPower,
  ipSceneOf,
  planIp,
  planPower,
  plotPicture,
  powerSceneOf,
} from '../../src/drawing/index.js';
import { rectsOverlap } from '../../src/drawing/layout/geometry.js';
import { ticksOf } from '../../src/drawing/layout/plot.js';
import { nodesOf } from '../../src/drawing/scene/power-from-site.js';
import { hatch } from '../../src/drawing/svg/hatch.js';
import { compareNames } from '../../src/model/site.js';
import { drawListFaults, textsOf } from '../support/draw-list-faults.js';
import { checkedExample, examples } from '../support/examples.js';

const all = examples().map((example) => ({ name: example.name, checked: checkedExample(example) }));

describe.each(all)('the power view of $name', ({ checked }) => {
  const { site } = checked.open;
  const findings = checked.findings.map(({ finding }) => finding);
  const scene = powerSceneOf(site, findings);
  const nodes = nodesOf(scene.roots);

  it('shows every way, outlet, feed and fed inlet once', () => {
    const ways = [...site.boards.values()].flatMap(({ name, ways }) =>
      ways.map((way) => `${name}.${way.name}`),
    );
    const ids = nodes.map(({ id }) => id);
    expect(ids.filter((id) => ways.includes(id)).sort(compareNames)).toEqual(
      ways.sort(compareNames),
    );
    expect(new Set(ids).size).toBe(ids.length);
    const inlets = nodes.flatMap(({ taps, supplied }) => [
      ...taps,
      ...(supplied ? [supplied] : []),
    ]);
    const landed = [...site.feeds.values()]
      .filter(({ name }) => ids.includes(`feed ${name}`))
      .flatMap((feed) => feed.landings.map(({ device, member }) => `${device}.${member}`));
    for (const name of landed) expect(inlets.map((one) => one.name)).toContain(name);
  });

  it('shows the voltages, loads and limits that the facts state', () => {
    const facts = factsOfSite(site);
    for (const node of nodes) {
      if (node.kind !== 'way' && node.kind !== 'supply') continue;
      const load = facts.find(({ subject, fact }) => subject === node.id && fact === 'load');
      expect({ id: node.id, value: node.load?.value, rating: node.load?.rating }).toEqual({
        id: node.id,
        value: load?.value,
        rating: load?.limit,
      });
    }
    for (const tap of nodes.flatMap(({ taps }) => taps)) {
      const values = facts
        .filter(({ subject, fact }) => subject === tap.name && fact === 'voltage')
        .map(({ value }) => value);
      if (tap.voltage.value !== null) expect(values).toContain(tap.voltage.value);
    }
  });

  it('keeps boxes and texts apart', () => {
    const plan = planPower(scene);
    const boxes = [...plan.nodes, ...plan.lists, ...plan.plots].map(({ rect }) => rect);
    boxes.forEach((one, index) =>
      boxes.slice(index + 1).forEach((other) => {
        expect(rectsOverlap(one, other)).toBe(false);
      }),
    );
    expect(drawListFaults(drawPower(site, findings).list)).toEqual([]);
  });

  it('is the same picture each time', () => {
    expect(drawPower(site, findings).svg).toBe(drawPower(site, findings).svg);
  });
});

describe.each(all)('the map of addresses of $name', ({ checked }) => {
  const { site } = checked.open;
  const findings = checked.findings.map(({ finding }) => finding);
  const scene = ipSceneOf(site, findings);

  it('counts every host address as used, pool or free', () => {
    for (const { subnet, counts } of scene.networks) {
      if (subnet === undefined) continue;
      expect(counts.used + counts.pool + counts.free).toBe(
        subnet.hosts.last - subnet.hosts.first + 1,
      );
    }
  });

  it('has a field for each address or block and keeps texts apart', () => {
    planIp(scene).networks.forEach(({ fields }, index) => {
      const { subnet, counts } = scene.networks[index]!;
      const addresses = subnet === undefined ? 0 : subnet.last - subnet.first + 1;
      expect(fields.length).toBe(Math.min(256, addresses));
      // Where a field is one address, the fields say what the numbers say.
      if (addresses > 256) return;
      const of = (use: string) => fields.filter((field) => field.use === use).length;
      expect(of('free')).toBe(counts.free);
      expect(of('pool')).toBe(counts.pool);
    });
    expect(drawListFaults(drawIp(site, findings).list)).toEqual([]);
  });
});

it('numbers the findings of a view in its list and at their places', () => {
  const { checked } = all.find(({ name }) => name === 'broken/voltage-and-conductors')!;
  const findings = checked.findings.map(({ finding }) => finding);
  const drawing = drawPower(checked.open.site, findings);
  const rules = drawing.findings.map(({ index }) => findings[index]!.rule);
  expect(rules).toEqual(
    expect.arrayContaining(['inlet-undervoltage', 'bus-power-overloaded', 'voltage-collapse']),
  );
  expect(drawing.findings.map(({ number }) => number)).toEqual(rules.map((_, index) => index + 1));
});

describe('a plot', () => {
  it('has round ticks that hold all values', () => {
    expect(ticksOf([20.4, 24])).toEqual([20, 21, 22, 23, 24]);
    expect(ticksOf([0, 19])).toEqual([0, 5, 10, 15, 20]);
    expect(ticksOf([12, 12]).length).toBeGreaterThan(1);
  });

  it('crosses the places below the limit and names the lowest', () => {
    const list = plotPicture({
      title: 'Voltage along feed F-1',
      across: { title: 'distance', unit: 'm' },
      up: { title: 'voltage', unit: 'V' },
      lines: [
        [
          { across: 0, up: 24, name: 'PS-1.out' },
          { across: 50, up: 21, name: 'FC-1.supply' },
        ],
        [
          { across: 50, up: 21, name: 'FC-1.supply' },
          { across: 90, up: 19.5, name: 'FC-2.supply' },
        ],
      ],
      least: 20.4,
      leastTitle: 'least',
    });
    const words = textsOf(list.children).map(({ text }) => text);
    expect(words).toEqual(expect.arrayContaining(['FC-2.supply', '19.5 V', 'least 20.4 V']));
    expect(drawListFaults(list)).toEqual([]);
  });
});

it('keeps the lines of a hatching inside their rectangle', () => {
  const rect = { x: 10, y: 20, width: 33, height: 9 };
  const points = hatch('x', rect, 5).flatMap((node) => (node.kind === 'line' ? node.points : []));
  expect(points.length).toBeGreaterThan(8);
  for (const { x, y } of points) {
    expect(x >= 10 && x <= 43 && y >= 20 && y <= 29).toBe(true);
  }
});
