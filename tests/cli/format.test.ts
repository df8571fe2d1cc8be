import { chmod, readFile, readdir, stat, symlink } from 'node:fs/promises';
import { describe, expect, it } from 'vitest';
import { CommandLine, smallSite } from '../support/command-line.js';

const command = CommandLine.forTests();
const untidy = smallSite.replace('  shape chain', ' shape    chain // kept');
const tidy = smallSite.replace('  shape chain', '  shape chain  // kept');

describe('ferrule format', () => {
  it('writes the canonical form, and nothing where it stands already', async () => {
    await command().write('one/site.ferrule', untidy);
    expect(await command().run('format', 'one')).toEqual({
      code: 0,
      out: 'Formatted one/site.ferrule\n',
      error: '',
    });
    expect(await read('one/site.ferrule')).toBe(tidy);
    const before = await stat(command().path('one/site.ferrule'));
    expect((await command().run('format', 'one')).out).toBe('1 file is in canonical form.\n');
    expect((await stat(command().path('one/site.ferrule'))).ino).toBe(before.ino);
  });

  it('with --check writes nothing and gives 1', async () => {
    await command().write('two/site.ferrule', untidy);
    expect(await command().run('format', 'two', '--check')).toEqual({
      code: 1,
      out: 'two/site.ferrule is not in its canonical form.\n',
      error: '',
    });
    expect(await read('two/site.ferrule')).toBe(untidy);
    await command().write('two/site.ferrule', tidy);
    expect((await command().run('format', 'two', '--check')).code).toBe(0);
  });

  it('leaves a file with a slip as it is, and says where', async () => {
    const slip = `${untidy}\nbus b : Line {\n  land ===\n}\n`;
    await command().write('three/bad.ferrule', slip);
    await command().write('three/good.ferrule', untidy);
    const { code, out, error } = await command().run('format', 'three');
    expect(code).toBe(2);
    expect(out).toBe('Formatted three/good.ferrule\n');
    expect(error).toMatch(/^ferrule: three\/bad\.ferrule:\d+:\d+ is not formatted: /u);
    expect(await read('three/bad.ferrule')).toBe(slip);
    expect(await read('three/good.ferrule')).toBe(tidy);
  });

  it('keeps access rights and links, and leaves nothing beside', async () => {
    await command().write('four/site.ferrule', untidy);
    await chmod(command().path('four/site.ferrule'), 0o640);
    await symlink('site.ferrule', command().path('four/link.ferrule'));
    expect((await command().run('format', 'four/link.ferrule')).code).toBe(0);
    expect(await read('four/site.ferrule')).toBe(tidy);
    expect((await stat(command().path('four/site.ferrule'))).mode & 0o777).toBe(0o640);
    expect((await readdir(command().path('four'))).sort()).toEqual([
      'link.ferrule',
      'site.ferrule',
    ]);
  });
});

function read(name: string): Promise<string> {
  return readFile(command().path(name), 'utf8');
}
