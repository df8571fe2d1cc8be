/**
 * The example sites are goldens: what Ferrule makes of them is committed beside them, byte for byte.
 * `npm run goldens` writes them again; a change that cannot be explained is not committed.
 */
import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { inProject } from '../scripts/lib/root.mjs';
import { formatText } from '../src/language/format.js';
import { findingsJson } from '../src/report/findings-json.js';
import { inReportOrder } from '../src/report/order.js';
import type { CheckedSite } from '../src/workbench/workbench.js';
import {
  checkedExample,
  exampleFiles,
  examples,
  goldensOf,
  isBroken,
  outputsOf,
  type Example,
} from './support/examples.js';
import { counted, lines } from './support/site.js';

const isWriting = process.env['FERRULE_WRITE_GOLDENS'] === 'yes';
const sites = examples();

/** Files that have no canonical form, and why. */
const refusedByFormatter: ReadonlyMap<string, string> = new Map([
  ['examples/broken/text-slips.ferrule', 'it has slips of writing on purpose'],
]);

describe('the examples', () => {
  it('are there', () => {
    expect(sites.map((site) => site.name)).toContain('library/library');
    expect(exampleFiles().length).toBeGreaterThan(sites.length);
  });

  it.each(exampleFiles().filter((file) => !refusedByFormatter.has(file)))(
    '%s stands in canonical form',
    (file) => {
      const text = readFileSync(inProject(file), 'utf8');
      expect(formatText(text)).toEqual({ kind: 'formatted', text });
    },
  );

  it.each([...refusedByFormatter])('%s is left alone by the formatter: %s', (file) => {
    const text = readFileSync(inProject(file), 'utf8');
    expect(formatText(text)).toMatchObject({ kind: 'refused' });
  });
});

describe.each(sites)('the example $name', (site) => {
  let checked: CheckedSite;
  let outputs: ReadonlyMap<string, string>;

  beforeAll(() => {
    checked = checkedExample(site);
    outputs = outputsOf(site, checked);
  });

  if (isWriting) {
    it('is written', () => {
      write(site, outputs);
    });
  }

  it('is what was committed, byte for byte', () => {
    const goldens = goldensOf(site);
    expect([...goldens.keys()]).toEqual([...outputs.keys()].sort());
    for (const [name, text] of outputs) {
      expect(firstDifference(text, goldens.get(name)!), `${site.expected}/${name}`).toBeUndefined();
    }
  });

  it('gives the same bytes again', () => {
    expect(sameTexts(outputsOf(site, checkedExample(site)), outputs)).toBe(true);
  });

  if (isBroken(site)) {
    it('has something wrong', () => {
      expect(counted(checked.findings).length).toBeGreaterThan(0);
    });
  } else {
    it('has no error and no warning', () => {
      expect(lines(counted(checked.findings))).toEqual([]);
    });
  }

  it('has findings only where its text has the place', () => {
    const textOf = new Map(checked.open.files.map((file) => [file.path, file.text.split('\n')]));
    const { findings } = JSON.parse(findingsJson(inReportOrder(checked.findings)));
    for (const { file, line, column, endLine, endColumn } of findings) {
      const text = textOf.get(file)!;
      expect(text[line - 1]!.length).toBeGreaterThanOrEqual(column - 1);
      expect(text[endLine - 1]!.length).toBeGreaterThanOrEqual(endColumn - 1);
    }
  });
});

function write({ expected }: Example, outputs: ReadonlyMap<string, string>): void {
  rmSync(inProject(expected), { recursive: true, force: true });
  for (const [name, text] of outputs) {
    const file = inProject(expected, ...name.split('/'));
    mkdirSync(path.dirname(file), { recursive: true });
    writeFileSync(file, text);
  }
}

/** The first line that differs, because a runner would print two long texts for minutes. */
function firstDifference(now: string, committed: string): string | undefined {
  if (now === committed) {
    return undefined;
  }
  const before = committed.split('\n');
  const line = now.split('\n').findIndex((text, index) => text !== before[index]);
  return line < 0
    ? `${before.length} lines were committed`
    : `line ${line + 1}: ${shortened(now.split('\n')[line]!)} was ${shortened(before[line] ?? '')}`;
}

function shortened(line: string): string {
  return line.length > 200 ? `${line.slice(0, 200)}…` : line;
}

function sameTexts(one: ReadonlyMap<string, string>, other: ReadonlyMap<string, string>): boolean {
  return one.size === other.size && [...one].every(([name, text]) => text === other.get(name));
}
