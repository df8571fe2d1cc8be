/**
 * The broken examples show mistakes to people, so each place where something is wrong says so in a
 * comment, and together they show every rule that Ferrule has.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { inProject } from '../scripts/lib/root.mjs';
import { messageOf } from '../src/model/finding.js';
import { RULES } from '../src/rules/index.js';
import { RAISED_RULES } from '../src/rules/raised.js';
import { checkedExample, examples, isBroken } from './support/examples.js';

/** Rules that no broken example raises, each with the reason. */
const installed =
  'needs an installed or copied package, and the repository holds none; its page shows it';
const notShown: Readonly<Record<string, string>> = {
  'assembly-too-large': 'asks for twenty thousand parts, which its page shows',
  'package-altered': installed,
  'package-language-unsupported': installed,
  'package-unreadable': installed,
  'package-versions-mixed': installed,
};

const broken = examples()
  .filter(isBroken)
  .map((example) => ({ ...example, checked: checkedExample(example) }));

describe('the broken examples', () => {
  it('show every rule but those that cannot be shown', () => {
    const shown = new Set(
      broken.flatMap(({ checked }) => checked.findings.map(({ finding }) => finding.rule)),
    );
    const silent = [...RAISED_RULES, ...RULES]
      .map((rule) => rule.name)
      .filter((name) => !shown.has(name));
    expect(silent.sort()).toEqual(Object.keys(notShown).sort());
  });

  it('use the shared equipment without finding fault with it', () => {
    const elsewhere = broken.flatMap(({ checked }) =>
      checked.findings
        .filter(({ at }) => !at.file.startsWith('examples/broken/'))
        .map(({ at, finding }) => `${at.file}: ${messageOf(finding)}`),
    );
    expect(elsewhere).toEqual([]);
  });
});

describe.each(broken)('$name', ({ checked }) => {
  it('says at each place that is marked wrong what is wrong there', () => {
    for (const { path, text } of checked.open.files.filter((file) => isBrokenFile(file.path))) {
      const found = new Set(
        checked.findings.filter(({ at }) => at.file === path).map(({ at }) => at.range.start.line),
      );
      const unanswered = markedPlaces(text).filter(
        ({ from, to }) => ![...found].some((line) => line >= from && line <= to),
      );
      expect(unanswered, path).toEqual([]);
    }
  });

  it('has no finding at a place that is not marked', () => {
    const unmarked = checked.findings
      .filter(({ finding }) => finding.severity !== 'hint')
      .filter(({ at }) => {
        const places = markedPlaces(readFileSync(inProject(at.file), 'utf8'));
        const { line } = at.range.start;
        return !places.some(({ from, to }) => line >= from && line <= to);
      })
      .map(({ at, finding }) => `${at.range.start.line + 1}: ${messageOf(finding)}`);
    expect(unmarked).toEqual([]);
  });
});

interface MarkedPlace {
  readonly comment: string;
  readonly from: number;
  readonly to: number;
}

/**
 * The lines that a comment with "wrong" speaks about: its own where it stands behind a statement,
 * else the next that is no comment, and the block that opens there as far as the next comment.
 */
function markedPlaces(text: string): readonly MarkedPlace[] {
  const lines = text.split('\n');
  return lines.flatMap((line, index): readonly MarkedPlace[] => {
    const comment = /\/\/+ wrong\b.*$/u.exec(line)?.[0];
    if (comment === undefined) {
      return [];
    }
    if (!isComment(line)) {
      return [{ comment, from: index, to: index }];
    }
    const from = lines.findIndex((next, at) => at > index && !isComment(next));
    const last = lines.findIndex((next, at) => at > from && (next === '' || /\/\//u.test(next)));
    return [{ comment, from, to: last < 0 ? lines.length - 1 : last - 1 }];
  });
}

function isComment(line: string): boolean {
  return /^\s*\/\//u.test(line);
}

function isBrokenFile(path: string): boolean {
  return path.startsWith('examples/broken/');
}
