/** Texts that change piece by piece are cut and measured like texts that are read at once. */
import { describe, expect, it } from 'vitest';
import {
  offsetAt,
  positionAt,
  SourceFiles,
  type SourceFile,
} from '../../src/workbench/source-file.js';
import { changedWindow } from '../../src/workbench/text-difference.js';
import { randomFrom, seedOfThisRun } from '../support/random.js';

const seed = seedOfThisRun();

const parts = [
  'device A : B\n',
  'device Cé : D {\n  address 1\n}\n',
  '/// what it is\n',
  '///\n',
  '// a remark\n',
  '  land A.x\n',
  '\n',
  'x',
  '/',
  '}\r\n',
  ' ',
  'accept a on b because "c"\n',
];

describe(`a text that changes (seed ${seed})`, () => {
  it('is cut as a new text is', () => {
    const random = randomFrom(seed);
    for (let run = 0; run < 150; run++) {
      const sources = new SourceFiles();
      let text = Array.from({ length: random.integer(0, 12) }, () => random.pick(parts)).join('');
      for (let step = 0; step < 20; step++) {
        const from = random.integer(0, text.length);
        const to = Math.min(text.length, from + random.pick([0, 0, 1, 2, 9, 40]));
        const inserted = Array.from({ length: random.integer(0, 2) }, () => random.pick(parts));
        text = text.slice(0, from) + inserted.join('') + text.slice(to);
        const changed = sources.read('a', text);
        const fresh = new SourceFiles().read('a', text);
        expect(shapeOf(changed), JSON.stringify(text)).toEqual(shapeOf(fresh));
      }
    }
  });

  it('has the positions that counting line breaks gives', () => {
    const random = randomFrom(seed);
    for (let run = 0; run < 200; run++) {
      const text = Array.from({ length: 9 }, () => random.pick(parts)).join('');
      const file = new SourceFiles().read('a', text);
      const offset = random.integer(0, text.length);
      const before = text.slice(0, offset).split('\n');
      const position = { line: before.length - 1, character: before.at(-1)!.length };
      expect(positionAt(file, offset)).toEqual(position);
      expect(offsetAt(file, position)).toBe(offset);
    }
  });

  it('differs in a window outside of which both texts are alike', () => {
    const random = randomFrom(seed);
    const filler = 'abcdefgh'.repeat(20_000);
    for (let run = 0; run < 300; run++) {
      const before = filler.slice(0, random.pick([0, 1, 17, 300, 70_000, 150_000]));
      const at = random.integer(0, before.length);
      const to = Math.min(before.length, at + random.integer(0, 3));
      const after = before.slice(0, at) + random.pick(['', 'x', 'ab', 'aa']) + before.slice(to);
      const { start, endBefore } = changedWindow(before, after);
      const endAfter = endBefore + after.length - before.length;
      expect(endBefore).toBeGreaterThanOrEqual(start);
      expect(endAfter).toBeGreaterThanOrEqual(start);
      expect(before.slice(0, start)).toBe(after.slice(0, start));
      expect(before.slice(endBefore)).toBe(after.slice(endAfter));
      // And no smaller window would do.
      if (start < endBefore && start < endAfter) {
        expect(before[start]).not.toBe(after[start]);
        expect(before[endBefore - 1]).not.toBe(after[endAfter - 1]);
      }
    }
  });
});

function shapeOf(file: SourceFile): unknown {
  return file.pieces.map(({ index, start, line, text, lowered }) => ({
    index,
    start,
    line,
    text,
    records: lowered.declarations.map(({ record }) => record),
    spans: lowered.declarations.map(({ origins }) => [...origins]),
  }));
}
