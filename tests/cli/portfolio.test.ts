/** Many sites: on all cores, in shares on several computers, and put together again. */
import { describe, expect, it } from 'vitest';
import { CommandLine, smallSite } from '../support/command-line.js';

const command = CommandLine.forTests();
const on = ['--on', '2026-11-25'];
const broken = smallSite.replace('40 m terminated', '140 m terminated');

/** Every third site has a bus that is too long. */
async function writeSites(folder: string, count: number): Promise<void> {
  for (let number = 0; number < count; number += 1) {
    const name = `${folder}/s-${String(number).padStart(3, '0')}/site.ferrule`;
    await command().write(name, number % 3 === 0 ? broken : smallSite);
  }
}

interface Report {
  readonly shard?: { readonly index: number; readonly count: number };
  readonly findings: readonly { readonly rule: string; readonly file: string }[];
}

describe('a folder of many sites', () => {
  it('is checked by several threads as the sites are one by one, and says how far it is', async () => {
    await writeSites('many', 60);
    const { code, out, error } = await command().run('check', 'many', '--format', 'json', ...on);
    expect(code).toBe(1);
    const found = (JSON.parse(out) as Report).findings.map(({ rule, file }) => `${file} ${rule}`);
    const wanted = Array.from(
      { length: 20 },
      (_, third) => `many/s-${String(third * 3).padStart(3, '0')}/site.ferrule bus-too-long`,
    );
    expect(found).toEqual(wanted);
    expect(error.trim().split('\n')).toHaveLength(10);
    expect(error).toMatch(/60 of 60 sites checked\n$/u);
    const one = await command().run('check', 'many/s-003', '--format', 'json', ...on);
    const alone = (JSON.parse(one.out) as Report).findings;
    const among = (JSON.parse(out) as Report).findings;
    expect(among.filter(({ file }) => file.startsWith('many/s-003/'))).toEqual(alone);
    const text = await command().run('check', 'many', ...on);
    expect(text.out).toMatch(/20 errors, 0 warnings, 0 hints in 60 files/u);
    expect(text.out).toMatch(/^ +\| +\^+$/mu);
  }, 60_000);

  it('gives, share by share and merged, the bytes of one check of everything', async () => {
    await writeSites('shared', 7);
    const whole = await command().run('check', 'shared', '--format', 'json', ...on);
    const names: string[] = [];
    for (const index of [1, 2, 3]) {
      const share = ['--shard', `${index}/3`];
      const { out } = await command().run('check', 'shared', '--format', 'json', ...share, ...on);
      expect((JSON.parse(out) as Report).shard).toEqual({ index, count: 3 });
      names.push(`report-${index}.json`);
      await command().write(names.at(-1)!, out);
    }
    const merged = await command().run('merge-reports', ...names, '--format', 'json');
    expect(merged).toEqual(whole);
    const asText = await command().run('merge-reports', ...names);
    expect(asText.code).toBe(1);
    expect(asText.out).toMatch(/^3 errors, 0 warnings, 0 hints in 3 reports$/mu);

    const lacking = await command().run('merge-reports', names[0]!, names[2]!);
    expect(lacking.code).toBe(2);
    expect(lacking.error).toContain('2/3 missing');
    const twice = await command().run('merge-reports', ...names, names[0]!);
    expect(twice.code).toBe(2);
    expect(twice.error).toContain('Share 1/3 is there twice');
  }, 60_000);

  it('merges a share that has no site', async () => {
    await writeSites('few', 1);
    const { code, out } = await command().run('check', 'few', '--shard', '2/2', '--format', 'json');
    expect(code).toBe(0);
    expect((JSON.parse(out) as Report).findings).toEqual([]);
  });

  it.each(['0/3', '4/3', '1', 'x/2', '1/0'])('refuses the share %s', async (share) => {
    await writeSites('few', 1);
    const { code, error } = await command().run('check', 'few', '--shard', share);
    expect(code).toBe(2);
    expect(error).toContain(`--shard "${share}" is no share`);
  });

  it.each([
    ['no JSON', '{', 'it is no JSON'],
    ['another version', '{"schemaVersion":9,"findings":[]}', 'its schemaVersion is 9'],
    ['no findings', '{"schemaVersion":1}', 'it has no list of findings'],
    ['a finding without a rule', '{"schemaVersion":1,"findings":[{}]}', 'its finding 1 lacks'],
  ])('refuses a report with %s', async (_, text, why) => {
    await command().write('bad.json', text);
    const { code, error } = await command().run('merge-reports', 'bad.json');
    expect(code).toBe(2);
    expect(error).toContain(why);
  });
});
