import { readFile, readdir } from 'node:fs/promises';
import Papa from 'papaparse';
import { beforeAll, describe, expect, it } from 'vitest';
import { CommandLine } from '../support/command-line.js';

const command = CommandLine.forTests();
const site = 'library/library.ferrule';
const read = (name: string) => readFile(command().path(name), 'utf8');

beforeAll(async () => {
  await command().copyExamples('library', 'equipment');
  await command().run('pack', site, '--out', 'pack', '--on', '2026-11-20');
});

/** A fresh site, and the sheet of counts with what was seen for the first controllers. */
async function filledIn(...seen: readonly string[]): Promise<void> {
  await command().copyExamples('library');
  const { data, meta } = Papa.parse<Record<string, string>>(
    await read('pack/data/commissioning-finds.csv'),
    { header: true, skipEmptyLines: true },
  );
  const rows = data.map((row, index) =>
    seen[index] === undefined
      ? row
      : { ...row, seen: seen[index], ok: 'x', initials: 'AB', date: '21.11.2026' },
  );
  await command().write('seen.csv', Papa.unparse(rows, { columns: meta.fields!, delimiter: ';' }));
}

describe('ferrule record', () => {
  it('puts what was seen behind what stands there, once, and changes nothing else', async () => {
    await filledIn('8', '2');
    const before = await read(site);
    const words = ['record', site, 'seen.csv', '--on', '2026-11-25'];
    const { code, out, error } = await command().run(...words);
    expect({ code, out }).toEqual({ code: 0, out: `${site}: 2 observations added\n` });
    expect(error).toContain('seen.csv: 2 observations, ');
    expect(error).toContain('what stands under initials is not taken over');
    const after = await read(site);
    const added = ['GW-1 finds 8', 'WP-F1 finds 2'].map(
      (text) => `observed ${text} on 2026-11-21\n`,
    );
    expect(added.reduce((text, line) => text.replace(line, ''), after).trimEnd()).toBe(
      before.trimEnd(),
    );
    expect((await command().run('check', site)).error).toBe('');
    const again = await command().run(...words);
    expect(again.out).toBe(`${site}: 0 observations added, 2 there already\n`);
    expect(await read(site)).toBe(after);
  });

  it('writes nothing while a row is wrong, and the rest with --partly', async () => {
    await filledIn('8', 'two');
    const before = await read(site);
    const words = ['record', site, 'seen.csv', '--on', '2026-11-25'];
    const refused = await command().run(...words);
    expect(refused.code).toBe(1);
    expect(refused.error).toContain('seen.csv, row 3: "two" is no count');
    expect(refused.error).toContain('Nothing was written');
    expect(await read(site)).toBe(before);
    const partly = await command().run(...words, '--partly', '--out', 'library/seen.ferrule');
    expect(partly.code).toBe(1);
    expect(partly.out).toContain('library/library.ferrule does not use "library/seen.ferrule"');
    expect(await read('library/seen.ferrule')).toBe('observed GW-1 finds 8 on 2026-11-21\n');
    expect(await read(site)).toBe(before);
    expect(
      (await readdir(command().path('library'))).filter((name) => name.startsWith('.')),
    ).toEqual([]);
  });

  it('reads the workbook of the pack, too', async () => {
    await filledIn();
    const { code, out, error } = await command().run('record', site, 'pack/job-pack.xlsx');
    expect({ code, out }).toEqual({ code: 0, out: `${site}: 0 observations added\n` });
    expect(error).toContain('sheet "Commissioning finds": 0 observations');
  });

  it.each([
    [['record', site, 'none.csv'], '"none.csv" cannot be read'],
    [['record', site, site], 'no commissioning table'],
    [['record', site, 'seen.csv', '--out', 'x.txt'], 'does not end in .ferrule'],
  ])('%j is refused with a sentence', async (words, sentence) => {
    await filledIn('8');
    const { code, error } = await command().run(...words);
    expect(code).toBe(2);
    expect(error).toContain(sentence);
  });
});
