import { readFile } from 'node:fs/promises';
import { beforeAll, describe, expect, it } from 'vitest';
import { CommandLine, smallSite } from '../support/command-line.js';

const command = CommandLine.forTests();

beforeAll(async () => {
  await command().write('base.ferrule', smallSite);
  await command().write('same.ferrule', `// A remark.\n${smallSite}`);
  await command().write('head.ferrule', smallSite.replace('40 m', '140 m'));
  await command().write('broken.ferrule', smallSite.replace('shape chain', 'shape of things'));
});

describe('ferrule diff', () => {
  it('says in one line that nothing changed', async () => {
    const { code, out } = await command().run(
      'diff',
      'base.ferrule',
      'same.ferrule',
      '--exit-code',
    );
    expect({ code, lines: out.split('\n').length }).toEqual({ code: 0, lines: 2 });
    expect(out).toMatch(/^Nothing changed on site/u);
  });

  it('tells what changed and what follows, with 1 where it is asked for', async () => {
    const { code, out } = await command().run(
      'diff',
      'base.ferrule',
      'head.ferrule',
      '--exit-code',
    );
    expect(code).toBe(1);
    expect(out).toContain('bus line-1 landings N-1.line lengthM: 40 → 140');
    expect(out).toContain('error bus-too-long');
    expect(out).toContain(
      'line-1.total-length: 40 m → 140 m (limit 100 m: now broken) ⇐ bus line-1',
    );
  });

  it('writes JSON whole into a file', async () => {
    const { code } = await command().run(
      ...['diff', 'base.ferrule', 'head.ferrule', '--format', 'json', '--out', 'review.json'],
    );
    const json = JSON.parse(await readFile(command().path('review.json'), 'utf8')) as object;
    expect(code).toBe(0);
    expect(json).toMatchObject({ schemaVersion: 1, unchanged: false, counts: { material: 1 } });
  });

  it.each([
    ['one version', ['base.ferrule'], 'Two versions are needed'],
    ['a file that is not there', ['base.ferrule', 'none.ferrule'], 'none.ferrule'],
    ['a file that is not read whole', ['base.ferrule', 'broken.ferrule'], 'is not read whole'],
  ])('does not take %s for no change', async (_what, sides, why) => {
    const { code, out, error } = await command().run('diff', ...sides);
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(error).toContain(why);
  });
});
