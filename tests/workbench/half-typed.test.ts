/** Whatever a person has typed so far: everything that can be made of it is made, and nothing throws. */
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { inProject, root } from '../../scripts/lib/root.mjs';
import { nodeFiles } from '../../src/disk/node-files.js';
import { factsJson } from '../../src/report/facts-json.js';
import { findingsJson } from '../../src/report/findings-json.js';
import { inReportOrder } from '../../src/report/order.js';
import { drawingOf, factsOf, packOf, runNames } from '../../src/workbench/outputs.js';
import { Workbench } from '../../src/workbench/workbench.js';
import { testDay } from '../support/site.js';

/** More, where somebody looks for slips: each takes a tenth of a second. */
const runs = Number(process.env['FERRULE_RUNS'] ?? 100);

const site = 'examples/library/library.ferrule';
const text = readFileSync(inProject(site), 'utf8');
const lines = text.split('\n');
const words = [...new Set(text.match(/[^\s]+/gu))];

const anywhere = fc.nat(text.length);
const someLine = fc.nat(lines.length - 1);

/** A text that is right but for one slip or unfinished edit. */
const halfTyped = fc.oneof(
  anywhere.map((at) => text.slice(0, at)),
  fc
    .tuple(anywhere, fc.integer({ min: 1, max: 60 }))
    .map(([at, length]) => text.slice(0, at) + text.slice(at + length)),
  fc
    .tuple(
      anywhere,
      fc.constantFrom(
        ...words,
        '{',
        '}',
        '"',
        '//',
        '..',
        '\u0000',
        '🙂',
        '\r',
        '1e999 m',
        '-1 m',
        '0 m',
      ),
    )
    .map(([at, word]) => text.slice(0, at) + word + text.slice(at)),
  someLine.map((at) => lines.filter((_, index) => index !== at).join('\n')),
  fc.tuple(someLine, someLine).map(([from, to]) => {
    const moved = [...lines];
    moved.splice(to, 0, ...moved.splice(from, 1));
    return moved.join('\n');
  }),
  fc
    .tuple(someLine, fc.constantFrom(...words), fc.constantFrom(...words))
    .map(([at, one, other]) =>
      lines.map((line, index) => (index === at ? line.replaceAll(one, other) : line)).join('\n'),
    ),
  // A quantity becomes nothing or enormous.
  fc
    .tuple(someLine, fc.constantFrom('0', '-5', '1000000000', '0.000001'))
    .map(([at, number]) =>
      lines
        .map((line, index) => (index === at ? line.replaceAll(/\b\d+(\.\d+)?\b/gu, number) : line))
        .join('\n'),
    ),
);

describe('a half-typed site', () => {
  const workbench = new Workbench(nodeFiles({ base: root, places: [site] }));

  it('is judged, computed, drawn and packed as far as it goes', () => {
    fc.assert(
      fc.property(halfTyped, (typed) => {
        workbench.setText(site, typed);
        const checked = workbench.check(site, testDay)!;
        expect(findingsJson(inReportOrder(checked.findings))).toMatch(/^\{/u);
        expect(factsJson(factsOf(checked.open))).toMatch(/^\{/u);
        expect(drawingOf(checked, { view: 'topology' })?.svg).toMatch(/^<svg /u);
        expect(packOf(checked).length).toBeGreaterThan(5);
        for (const of of runNames(checked.open)) {
          expect(drawingOf(checked, { view: 'terminals', of })?.svg).toMatch(/^<svg /u);
        }
      }),
      { numRuns: runs },
    );
  }, 3_600_000);
});
