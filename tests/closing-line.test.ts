import { describe, expect, it } from 'vitest';
import { closingLine, count, isGreen, sumOf } from '../scripts/lib/test-results.mjs';

const file = (status: string, ...tests: string[]) => ({
  status,
  assertionResults: tests.map((each) => ({ status: each })),
});

describe('the closing line', () => {
  it('counts passed, failed and skipped tests', () => {
    const sum = count({
      testResults: [
        file('passed', 'passed', 'pending'),
        file('failed', 'failed', 'passed', 'todo'),
      ],
    });
    expect(closingLine(sum)).toBe('2 passed, 1 failed, 2 skipped');
  });

  it('counts a test file that could not be loaded as a failure', () => {
    expect(count({ testResults: [file('passed', 'passed'), file('failed')] }).failed).toBe(1);
    expect(count({ testResults: [file('failed', 'skipped')] }).failed).toBe(1);
  });

  it('counts a run without tests or without a result as a failure', async () => {
    expect(count({ testResults: [] }).failed).toBe(1);
    expect(await sumOf('no-such-file.json')).toEqual({ passed: 0, failed: 1, skipped: 0 });
  });

  it('is green only when something passed and nothing failed or was skipped', () => {
    expect(isGreen({ passed: 1, failed: 0, skipped: 0 })).toBe(true);
    expect(isGreen({ passed: 1, failed: 1, skipped: 0 })).toBe(false);
    expect(isGreen({ passed: 1, failed: 0, skipped: 1 })).toBe(false);
    expect(isGreen({ passed: 0, failed: 0, skipped: 0 })).toBe(false);
  });
});
