import { describe, expect, it } from 'vitest';
import {
  deadPollTimeS,
  pollCycleS,
  pollTimeS,
  searchTimeS,
  tokenLoop,
  tokenRegenerationS,
} from '../../src/analysis/electrical/timing.js';

const TEN_REGISTERS = { requestBytes: 8, replyBytes: 25, processS: 0.02 };
const PATIENCE = { timeoutS: 1, retries: 2 };

describe('poll cycle (Modbus over Serial Line V1.02)', () => {
  it('takes 2.1067 s for 32 devices at 9600 baud (C7)', () => {
    const polls = Array.from({ length: 32 }, () => TEN_REGISTERS);
    expect(pollCycleS(9600, polls, [], PATIENCE)).toBeCloseTo(2.1067, 4);
  });

  it('takes 329.375 ms for one reply of 125 registers at 9600 baud (C7)', () => {
    const poll = { requestBytes: 8, replyBytes: 255, processS: 0.02 };
    expect(pollTimeS(9600, poll)).toBeCloseTo(0.329375, 9);
  });

  it('quadruples by two dead devices of thirty (C7: 1.975 s to 7.9224 s)', () => {
    const polls = Array.from({ length: 30 }, () => TEN_REGISTERS);
    const healthy = pollCycleS(9600, polls, [], PATIENCE);
    const sick = pollCycleS(9600, polls.slice(2), polls.slice(0, 2), PATIENCE);
    expect(healthy).toBeCloseTo(1.975, 4);
    expect(sick / healthy).toBeGreaterThan(4);
  });

  it('waits once more for every retry', () => {
    const once = deadPollTimeS(9600, TEN_REGISTERS, { timeoutS: 1, retries: 0 });
    expect(once).toBeCloseTo(1 + 8 * (11 / 9600) + 3.5 * (11 / 9600), 12);
    expect(deadPollTimeS(9600, TEN_REGISTERS, PATIENCE)).toBeCloseTo(3 * once, 12);
  });
});

describe('token loop (ASHRAE 135 clause 9)', () => {
  it('takes 62.5 to 341.7 ms for 20 managers at 38400 baud (C8)', () => {
    const loop = tokenLoop(38_400, 20);
    expect(loop.fastestS).toBeCloseTo(0.0625, 9);
    expect(loop.slowestS).toBeCloseTo(0.3417, 4);
  });

  it('finds a new manager after 480 s when 96 unused addresses are searched (C8)', () => {
    expect(searchTimeS(0.1, 96)).toBeCloseTo(480, 9);
    expect(searchTimeS(0.1, 32)).toBeCloseTo(160, 9);
    expect(searchTimeS(0.1, 0)).toBe(0);
  });

  it('makes a lost token anew after 500 ms and 10 ms an address (C8)', () => {
    expect([0, 5, 127].map(tokenRegenerationS)).toEqual([0.5, 0.55, 1.77]);
  });
});
