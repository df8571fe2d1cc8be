import { readFile } from 'node:fs/promises';

/** @typedef {{ passed: number, failed: number, skipped: number }} Sum */

/**
 * Counts the tests in a result file of vitest's JSON reporter. A test file that could not be loaded
 * counts as one failure, and so does a missing or empty result file.
 * @param {string} file
 * @returns {Promise<Sum>}
 */
export async function sumOf(file) {
  const text = await readFile(file, 'utf8').catch(() => undefined);
  if (text === undefined) {
    return { passed: 0, failed: 1, skipped: 0 };
  }
  return count(JSON.parse(text));
}

/**
 * @param {{ testResults: { status: string, assertionResults: { status: string }[] }[] }} report
 * @returns {Sum}
 */
export function count(report) {
  const tests = report.testResults.flatMap((each) => each.assertionResults);
  const unloaded = report.testResults.filter(
    (each) =>
      each.status === 'failed' && each.assertionResults.every((one) => one.status !== 'failed'),
  );
  const passed = tests.filter((test) => test.status === 'passed').length;
  const failed = tests.filter((test) => test.status === 'failed').length + unloaded.length;
  const skipped = tests.filter((test) => !['passed', 'failed'].includes(test.status)).length;
  return { passed, failed: passed + failed + skipped === 0 ? 1 : failed, skipped };
}

/** @param {Sum} sum */
export const closingLine = (sum) =>
  `${sum.passed} passed, ${sum.failed} failed, ${sum.skipped} skipped`;

/** @param {Sum} sum */
export const isGreen = (sum) => sum.failed === 0 && sum.skipped === 0 && sum.passed > 0;
