import { mkdir, mkdtemp, rm, symlink, writeFile } from 'node:fs/promises';
import os from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { nameOf, nodeFiles, readText } from '../../src/disk/node-files.js';
import { reasonOf } from '../../src/disk/reason.js';

let folder: string;

beforeAll(async () => {
  folder = await mkdtemp(path.join(os.tmpdir(), 'ferrule-disk-'));
  for (const name of ['a/site.ferrule', 'a/lib/x.ferrule', 'b/other.ferrule']) {
    await mkdir(path.dirname(path.join(folder, name)), { recursive: true });
    await writeFile(path.join(folder, name), `// ${name}\n`);
  }
});

afterAll(() => rm(folder, { recursive: true, force: true }));

describe('files of this computer', () => {
  it('have one name each, whichever way leads to them', () => {
    const files = nodeFiles({ base: path.join(folder, 'a'), places: ['.'] });
    expect(files.resolve('site.ferrule', './lib/x.ferrule')).toBe('lib/x.ferrule');
    expect(files.resolve('lib/x.ferrule', '../site.ferrule')).toBe('site.ferrule');
    expect(files.resolve('site.ferrule', '../b/other.ferrule')).toBe('../b/other.ferrule');
    expect(files.resolve('../b/other.ferrule', '../a/site.ferrule')).toBe('site.ferrule');
    expect(files.resolve('../b/other.ferrule', './other.ferrule')).toBe('../b/other.ferrule');
    expect(nameOf(folder, path.join(folder, 'a', '..', 'b', 'other.ferrule'))).toBe(
      'b/other.ferrule',
    );
  });

  it('are listed once, in order, whichever places are named', async () => {
    await symlink(folder, path.join(folder, 'b', 'circle'));
    const files = nodeFiles({ base: folder, places: ['b', '.', 'a/site.ferrule'] });
    expect(files.list()).toEqual(['a/lib/x.ferrule', 'a/site.ferrule', 'b/other.ferrule']);
  });

  it('are read, or it is said why not', async () => {
    const files = nodeFiles({ base: folder, places: [] });
    expect(files.read('a/site.ferrule')).toEqual({ kind: 'text', text: '// a/site.ferrule\n' });
    expect(files.read('a')).toEqual({ kind: 'folder' });
    expect(files.read('a/none.ferrule')).toEqual({ kind: 'missing' });
    expect(files.read('a/site.ferrule/below')).toEqual({ kind: 'missing' });
    expect(readText('/dev/null')).toEqual({ kind: 'unreadable', why: 'it is no ordinary file' });
    await writeFile(path.join(folder, 'bytes'), new Uint8Array([0xff, 0xfe]));
    expect(files.read('bytes')).toEqual({ kind: 'unreadable', why: 'it is no text in UTF-8' });
  });

  it('lose a mark of byte order, which is no text', async () => {
    await writeFile(path.join(folder, 'marked'), '\ufeffbus');
    expect(readText(path.join(folder, 'marked'))).toEqual({ kind: 'text', text: 'bus' });
  });
});

describe('the reason why the disk refuses', () => {
  it('is in words', () => {
    expect(reasonOf(Object.assign(new Error('x'), { code: 'EACCES' }))).toBe('permission denied');
    expect(reasonOf(Object.assign(new Error('x'), { code: 'ENOSPC' }))).toBe('the disk is full');
    expect(reasonOf(Object.assign(new Error('x'), { code: 'EWEIRD' }))).toBe('EWEIRD');
    expect(reasonOf(new Error('x'))).toBe('an unknown reason');
  });
});
