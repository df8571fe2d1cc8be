import {
  lstat,
  mkdir,
  readFile,
  readdir,
  readlink,
  rename,
  stat,
  symlink,
  writeFile,
} from 'node:fs/promises';
import { describe, expect, it } from 'vitest';
import { CommandLine, smallSite } from '../support/command-line.js';

const command = CommandLine.forTests();

describe('ferrule pack', () => {
  it('writes the whole pack, and the same bytes again', async () => {
    await command().write('a/site.ferrule', smallSite);
    const { code, out, error } = await pack('a', 'a-out/pack');
    expect({ code, error }).toEqual({ code: 0, error: '' });
    const files = await filesIn('a-out/pack');
    expect(out).toBe(`Wrote ${files.length - 1} files to a-out/pack\n`);
    expect(files).toContain('cover.md');
    expect(files).toEqual(expect.arrayContaining(['job-pack.pdf', 'job-pack.xlsx']));
    expect(files).toContain('drawings/topology.svg');
    expect(files.some((file) => file.startsWith('data/') && file.endsWith('.csv'))).toBe(true);
    expect(await readdir(command().path('a-out'))).toEqual(['pack']);

    const first = await textsIn('a-out/pack');
    expect((await pack('a', 'a-out/pack')).code).toBe(0);
    expect(await textsIn('a-out/pack')).toEqual(first);
    expect((await pack('a', 'a-out/other')).code).toBe(0);
    expect(await textsIn('a-out/other')).toEqual(first);
  });

  it('lists what is new alone where that is asked for', async () => {
    const partly = smallSite
      .replace('device N-1', 'device N-2 : Node { address 3 }\ndevice N-1')
      .replace('40 m terminated', '40 m existing\n  land N-2.line 9 m terminated');
    await command().write('phase/site.ferrule', partly);
    const scheduleOf = async (...phase: string[]) => {
      const out = `phase-out/${phase.join('') || 'none'}`;
      expect(await command().run('pack', 'phase', '--out', out, ...phase)).toMatchObject({
        code: 0,
        error: '',
      });
      return read(`${out}/data/cable-schedule.csv`);
    };
    const all = await scheduleOf();
    expect(all).toContain('line-1/N-1');
    expect(await scheduleOf('--phase', 'all')).toBe(all);
    const fresh = await scheduleOf('--phase', 'new');
    expect(fresh).not.toContain('line-1/N-1');
    expect(fresh).toContain('line-1/N-2');
  });

  it('forbids work in a pack of a site with errors, and says so', async () => {
    await command().write('b/site.ferrule', smallSite.replace('40 m', '140 m'));
    const { code, error } = await pack('b', 'b-out');
    expect(code).toBe(0);
    expect(error).toBe('The site has 1 error; `ferrule check` shows it.\n');
    expect(await read('b-out/cover.md')).toContain('NOT FOR CONSTRUCTION');
  });

  it('takes away what a former pack wrote and this one does not', async () => {
    await command().write('c/site.ferrule', smallSite);
    await pack('c', 'c-out');
    const before = await filesIn('c-out');
    await command().write('c/site.ferrule', 'site Small "Small site"\n');
    await pack('c', 'c-out');
    const after = await filesIn('c-out');
    await pack('c', 'c-fresh');
    expect(after).toEqual(await filesIn('c-fresh'));
    expect(after).not.toEqual(before);
  });

  it('leaves foreign files, links and folders as they are', async () => {
    await command().write('d/site.ferrule', smallSite);
    await command().write('d-out/photos/one.jpg', 'not ours');
    await mkdir(command().path('d-out/empty'));
    await symlink('photos/one.jpg', command().path('d-out/latest'));
    await symlink('nowhere', command().path('d-out/dangling'));
    const before = await stat(command().path('d-out/photos/one.jpg'));
    expect((await pack('d', 'd-out')).code).toBe(0);
    expect((await pack('d', 'd-out')).code).toBe(0);
    const after = await stat(command().path('d-out/photos/one.jpg'));
    expect(after.ino).toBe(before.ino);
    expect(after.mtimeMs).toBe(before.mtimeMs);
    expect(await read('d-out/photos/one.jpg')).toBe('not ours');
    expect(await readlink(command().path('d-out/latest'))).toBe('photos/one.jpg');
    expect(await readlink(command().path('d-out/dangling'))).toBe('nowhere');
    expect((await lstat(command().path('d-out/empty'))).isDirectory()).toBe(true);
    expect(await filesIn('d-out')).toContain('cover.md');
  });

  it('writes nothing where a sheet was filled in or a foreign file is in the way', async () => {
    await command().write('e/site.ferrule', smallSite);
    await pack('e', 'e-out');
    await writeFile(command().path('e-out/commissioning.md'), 'filled in by hand');
    const before = await textsIn('e-out');
    await command().write('e/site.ferrule', smallSite.replace('40 m', '41 m'));
    const refused = await pack('e', 'e-out');
    expect(refused).toMatchObject({ code: 2, out: '' });
    expect(refused.error).toContain('commissioning.md');
    expect(refused.error).toContain('Nothing was written');
    expect(await textsIn('e-out')).toEqual(before);

    await command().write('e-foreign/drawings', 'a file where the pack has a folder');
    expect(await pack('e', 'e-foreign')).toMatchObject({ code: 2 });
    expect(await filesIn('e-foreign')).toEqual(['drawings']);

    await mkdir(command().path('e-folder/cover.md/inside'), { recursive: true });
    expect(await pack('e', 'e-folder')).toMatchObject({ code: 2 });
    expect(await readdir(command().path('e-folder'))).toEqual(['cover.md']);
  });

  it('brings back a pack whose replacement was cut off', async () => {
    await command().write('f/site.ferrule', smallSite);
    await pack('f', 'f-out/pack');
    await command().write('f-out/pack/note.txt', 'kept');
    // What is left when the computer stops between the two renamings.
    await rename(command().path('f-out/pack'), command().path('f-out/.pack.ferrule-old'));
    expect((await pack('f', 'f-out/pack')).code).toBe(0);
    expect(await read('f-out/pack/note.txt')).toBe('kept');
    expect(await readdir(command().path('f-out'))).toEqual(['pack']);
  });

  it('refuses to swap the folder that holds the site or that it runs in', async () => {
    await command().write('g/site.ferrule', smallSite);
    await command().write('g/lib/parts.ferrule', 'cable Other {\n  cores 2 x 1 mm2\n}\n');
    const before = await textsIn('g');
    for (const [inside, site, out] of [
      ['.', 'g', 'g'],
      ['.', 'g', '.'],
      ['g', 'site.ferrule', '.'],
      ['g', 'site.ferrule', '..'],
    ] as const) {
      const ran = await command().runIn(inside, 'pack', site, '--out', out);
      expect(ran).toMatchObject({ code: 2, out: '' });
      expect(ran.error).toContain('Name a folder of its own');
    }
    expect(await textsIn('g')).toEqual(before);
    expect((await command().runIn('g', 'pack', 'site.ferrule', '--out', 'pack')).code).toBe(0);
  });

  it('follows a link to its folder', async () => {
    await command().write('h/site.ferrule', smallSite);
    await mkdir(command().path('h-real'));
    await symlink('h-real', command().path('h-link'));
    expect((await pack('h', 'h-link')).code).toBe(0);
    expect((await lstat(command().path('h-link'))).isSymbolicLink()).toBe(true);
    expect(await filesIn('h-real')).toContain('cover.md');
  });

  it('says what is in the way of running at all', async () => {
    await command().write('i/site.ferrule', smallSite);
    await command().write('i/file', 'x');
    expect((await command().run('pack', 'i')).error).toContain('The folder to write is missing');
    expect((await pack('i', 'i/file')).error).toContain('"i/file" is a file');
    expect((await pack('i', 'i/file/below')).error).toContain('a part of the path is a file');
    expect((await pack('nowhere', 'i/out')).error).toContain('no file or folder "nowhere"');
    await command().write('parts/parts.ferrule', 'cable A {\n}\n');
    expect((await pack('parts/parts.ferrule', 'i/out')).error).toContain('belong to nothing');
    expect((await pack('parts', 'i/out')).error).toContain('No file in "parts"');
    expect((await readdir(command().path('i'))).sort()).toEqual(['file', 'site.ferrule']);
  });
});

function pack(site: string, out: string) {
  return command().run('pack', site, '--out', out, '--on', '2026-11-25');
}

function read(name: string): Promise<string> {
  return readFile(command().path(name), 'utf8');
}

/** Every file below a folder, links included, by name. */
async function filesIn(folder: string): Promise<string[]> {
  const entries = await readdir(command().path(folder), { recursive: true, withFileTypes: true });
  const base = command().path(folder);
  return entries
    .filter((entry) => !entry.isDirectory())
    .map((entry) => `${entry.parentPath}/${entry.name}`.slice(base.length + 1))
    .sort();
}

async function textsIn(folder: string): Promise<ReadonlyMap<string, string>> {
  const texts = new Map<string, string>();
  for (const file of await filesIn(folder)) {
    texts.set(file, await read(`${folder}/${file}`));
  }
  return texts;
}
