/** The drawings of the example sites hold to the same order as those of invented ones. */
import { describe, expect, it } from 'vitest';
import {
  planTerminals,
  planTopology,
  terminalsSceneOf,
  topologySceneOf,
} from '../../src/drawing/index.js';
import { NO_FAULTS, topologyFaults } from '../support/drawing-metrics.js';
import { checkedExample, examples } from '../support/examples.js';
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
