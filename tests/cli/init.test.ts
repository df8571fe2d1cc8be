import { readdir, readFile } from 'node:fs/promises';
import { describe, expect, it } from 'vitest';
import { CommandLine } from '../support/command-line.js';

const command = CommandLine.forTests();

describe('ferrule init', () => {
  it('makes a site that is right, in a folder that it makes', async () => {
    const made = await command().run('init', 'Neue Schule 2');
    expect(made).toMatchObject({ code: 0, error: '' });
    expect(made.out).toContain('Neue Schule 2/site/neue-schule-2.ferrule');
    const checked = await command().run('check', 'Neue Schule 2', '--fail-on', 'warning');
    expect({ code: checked.code, out: checked.out }).toEqual({
      code: 0,
      out: expect.stringContaining('0 errors, 0 warnings, 0 hints') as string,
    });
    expect((await command().run('format', '--check', 'Neue Schule 2')).code).toBe(0);
    expect(await readFile(command().path('Neue Schule 2/package.json'), 'utf8')).toBe(
      '{\n  "name": "neue-schule-2",\n  "private": true\n}\n',
    );
  });

  it('replaces nothing that stands there', async () => {
    await command().write('kept/equipment/cables.ferrule', 'mine\n');
    await command().write('kept/notes.txt', 'mine\n');
    const { code, error } = await command().run('init', 'kept');
    expect(code).toBe(2);
    expect(error).toContain('"equipment/cables.ferrule" already');
    expect(await readFile(command().path('kept/equipment/cables.ferrule'), 'utf8')).toBe('mine\n');
    expect(await readdir(command().path('kept'))).toEqual(['equipment', 'notes.txt']);
  });

  it('starts in a folder that holds other things', async () => {
    await command().write('plant/notes.txt', 'mine\n');
    expect((await command().runIn('plant', 'init', '.')).code).toBe(0);
    expect((await command().run('check', 'plant')).code).toBe(0);
    expect((await command().runIn('plant', 'init', '.')).code).toBe(2);
  });

  it('needs a folder', async () => {
    expect((await command().run('init')).code).toBe(2);
    await command().write('a-file', '');
    expect((await command().run('init', 'a-file')).error).toContain('is a file');
  });
});
