/**
 * Every offer, inserted, raises nothing new.
 *
 * At places of the examples the word there is taken out, completion is asked, and each offer is put in
 * its stead. What is found then must have been found before: in the whole text, or in the text with
 * the gap. Keywords begin something, so that of them only reading is judged: nothing is wrong before
 * their end. Which size a number means is for its writer to say, so that units are judged by reading too. Addresses that are shown as taken are no offers to take.
 *
 * Continuous integration judges the first offers of each kind at every place; with FERRULE_RUNS set,
 * all of them.
 */
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { expectedAfter, statementKeywords } from '../../src/language/expect.js';
import { lowerPiece } from '../../src/language/lower.js';
import { scan } from '../../src/language/parse.js';
import { splitText } from '../../src/language/split.js';
import { applyChanges } from '../../src/language/write.js';
import type { LocatedFinding } from '../../src/model/located.js';
import { completionAt, plainText, type Offer } from '../../src/workbench/editing/completion.js';
import { nodeFiles } from '../../src/disk/node-files.js';
import { Workbench } from '../../src/workbench/workbench.js';
import { testDay } from '../support/site.js';

interface Gap {
  readonly start: number;
  readonly end: number;
}

/** Words, numbers and units of a text, evenly spread. */
function gapsIn(text: string, count: number): Gap[] {
  const gaps = scan(text).tokens.flatMap((token): Gap[] => {
    const { image, startOffset: start } = token;
    const unit = /^([+-]?\d[\d.,/]*[ \t]+)\S+$/u.exec(image);
    if (unit !== null) {
      return [{ start: start + unit[1]!.length, end: start + image.length }];
    }
    return /^[\p{L}\d]/u.test(image) ? [{ start, end: start + image.length }] : [];
  });
  const step = Math.max(1, gaps.length / count);
  return Array.from(
    { length: Math.min(count, gaps.length) },
    (_, index) => gaps[Math.floor(index * step)]!,
  );
}

const key = ({ finding }: LocatedFinding) => `${finding.rule} ${finding.subject}`;
/** What is only still to be done once something new stands there. */
const readingRules = new Set(['syntax-error', 'quantity-unit-mismatch', 'name-unknown']);
const stillToDo = new Set(['port-unlanded', 'unit-unsupervised', 'supply-missing']);

function newFindings(
  known: ReadonlySet<string>,
  after: readonly LocatedFinding[],
  offer: Offer,
): string[] {
  return after
    .filter(({ finding }) => finding.severity !== 'hint' && finding.waived === null)
    .filter(({ finding }) => offer.kind !== 'statement' || !stillToDo.has(finding.rule))
    .filter(({ finding }) => offer.kind !== 'unit' || readingRules.has(finding.rule))
    .filter((one) => !known.has(key(one)))
    .map(key);
}

/** In continuous integration the first of each kind, since each is judged with the whole site. */
function judgedOf(offers: readonly Offer[]): readonly Offer[] {
  const open = offers.filter((one) => one.taken !== true);
  const most = process.env['FERRULE_RUNS'] === undefined ? 3 : Number.POSITIVE_INFINITY;
  return open.filter(
    (offer, index) =>
      open.slice(0, index).filter((other) => other.kind === offer.kind).length < most,
  );
}

function offersAt(workbench: Workbench, root: string, file: string, offset: number) {
  const open = workbench.open(root);
  if ('failed' in open) {
    throw new Error('the example does not open');
  }
  return completionAt({
    open,
    path: file,
    offset,
    expectedAfter,
    statementKeywords,
    stops: true,
    others: {
      paths: () => workbench.paths(),
      open: (one) => {
        const other = workbench.open(one);
        return 'failed' in other ? undefined : other;
      },
    },
  });
}

describe.each([
  ['library/library.ferrule', 'library/library.ferrule', 130],
  ['clinic/clinic.ferrule', 'clinic/main-first.ferrule', 40],
  ['clinic/clinic.ferrule', 'clinic/power.ferrule', 40],
])('offers in %s', (root, file, count) => {
  it(`raise nothing new at ${count} places of ${file}`, { timeout: 300_000 }, () => {
    const folder = path.resolve('examples');
    const workbench = new Workbench(nodeFiles({ base: folder, places: ['.'] }));
    const text = readFileSync(path.join(folder, file), 'utf8');
    const whole = new Set(workbench.check(root, testDay)!.findings.map(key));
    const wrong: string[] = [];
    let judged = 0;
    for (const gap of gapsIn(text, count)) {
      const holed = text.slice(0, gap.start) + text.slice(gap.end);
      workbench.setText(file, holed);
      const known = new Set([...whole, ...workbench.check(root, testDay)!.findings.map(key)]);
      const { offers, start, end } = offersAt(workbench, root, file, gap.start);
      for (const offer of judgedOf(offers)) {
        const changed = applyChanges(holed, [
          { start, end, text: plainText(offer) },
          ...(offer.also ?? []),
        ]);
        const line = `${holed.slice(0, start).split('\n').length}: ${plainText(offer)}`;
        judged++;
        if (offer.kind === 'keyword') {
          const piece = splitText(holed.slice(0, start) + offer.text).at(-1)!.text;
          const early = lowerPiece(piece).problems.filter(
            (one) => one.rule === 'syntax-error' && one.end <= piece.length - offer.text.length,
          );
          if (early.some((one) => one.understood !== true)) {
            wrong.push(`${line} is no word there: ${early[0]!.what}`);
          }
          continue;
        }
        workbench.setText(file, changed);
        const found = newFindings(known, workbench.check(root, testDay)!.findings, offer);
        if (found.length > 0) {
          wrong.push(`${line} raises ${found.join(', ')}`);
        }
      }
    }
    expect(wrong).toEqual([]);
    expect(judged).toBeGreaterThan(count);
  });
});
