/** The drawings of the example sites hold to the same order as those of invented ones. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { inProject } from '../../scripts/lib/root.mjs';
import {
  planTerminals,
  planTopology,
  terminalsSceneOf,
  topologySceneOf,
} from '../../src/drawing/index.js';
import { NO_FAULTS, topologyFaults } from '../support/drawing-metrics.js';
import { checkedExample, examples } from '../support/examples.js';
import { filesBelow } from '../support/project-files.js';
import { terminalsFaults } from '../support/terminals-metrics.js';

describe.each(examples())('the drawings of $name', (example) => {
  const { open, findings } = checkedExample(example);
  const all = findings.map(({ finding }) => finding);

  it('keep lines, boxes and labels apart in the topology', () => {
    expect(topologyFaults(planTopology(topologySceneOf(open.site, all)))).toEqual(NO_FAULTS);
  });

  it('keep strips, cores and texts apart in the terminals of every run', () => {
    for (const run of [...open.site.buses.keys(), ...open.site.feeds.keys()]) {
      const scene = terminalsSceneOf(open.site, run, all);
      expect(scene, run).toBeDefined();
      expect({ run, faults: scene && terminalsFaults(planTerminals(scene)) }).toEqual({
        run,
        faults: [],
      });
    }
  });
});

it('a class of a group has no look of its own, which all texts in it would take over', () => {
  const drawings = filesBelow('examples').filter((file) => file.endsWith('.svg'));
  const views = new Set(drawings.map((file) => file.split('/').pop()));
  expect([...views]).toEqual(expect.arrayContaining(['ip.svg', 'power.svg', 'topology.svg']));
  const wrong = drawings.flatMap((file) => {
    const svg = readFileSync(inProject(file), 'utf8');
    const painted = new Set(
      [...svg.matchAll(/\.ferrule-drawing \.([\w-]+)\{[^}]*(?:fill|stroke):/gu)].map(
        (rule) => rule[1],
      ),
    );
    const groups = [...svg.matchAll(/<g class="([^"]*)"/gu)].flatMap((tag) => tag[1]!.split(' '));
    expect(painted.size * groups.length, file).toBeGreaterThan(0);
    return [...new Set(groups.filter((name) => painted.has(name)))].map(
      (name) => `${file} ${name}`,
    );
  });
  expect(wrong).toEqual([]);
});
