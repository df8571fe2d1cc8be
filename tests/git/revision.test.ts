/** Trees of real repositories, read without running anything that the repository asks to run. */
import { existsSync } from 'node:fs';
import { chmod, mkdtemp, realpath, rm, symlink } from 'node:fs/promises';
import os from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { GitRevision } from '../../src/git/revision.js';
import { Repository } from '../support/repository.js';

let folder: string;
let repository: Repository;

function opened(name: string, inside = ''): GitRevision {
  const revision = GitRevision.open(path.join(repository.folder, inside), name);
  if ('why' in revision) {
    throw new Error(revision.why);
  }
  return revision;
}

beforeAll(async () => {
  folder = await realpath(await mkdtemp(path.join(os.tmpdir(), 'ferrule-git-')));
  repository = await Repository.at(path.join(folder, 'repository'));
  await repository.write('sites/a.ferrule', 'first\n');
  await repository.write('sites/ümlaut "b"\n.ferrule', '\uFEFFsecond\n');
  await repository.write('sites/bytes.ferrule', new Uint8Array([0xff, 0xfe, 0x41]));
  await repository.write('sites/empty.ferrule', '');
  await symlink('../sites/a.ferrule', path.join(repository.folder, 'sites/link.ferrule'));
  await symlink('sites', path.join(repository.folder, 'linked'));
  await symlink('circle', path.join(repository.folder, 'circle'));
  await symlink('../../outside', path.join(repository.folder, 'sites/out'));
  await repository.commit('First');
  await repository.git('tag', 'v1');
  await repository.write('sites/a.ferrule', 'changed\n');
  await repository.commit('Second');
  await repository.write('sites/a.ferrule', 'not committed\n');
});

afterAll(async () => {
  await rm(folder, { recursive: true, force: true });
});

describe('a revision', () => {
  it('gives the text of its own time', () => {
    expect(opened('v1').read('sites/a.ferrule')).toEqual({ kind: 'text', text: 'first\n' });
    expect(opened('HEAD').read('sites/a.ferrule')).toEqual({ kind: 'text', text: 'changed\n' });
    expect(opened('HEAD~1').commit).toBe(opened('v1').commit);
  });

  it.each([
    ['a name with signs and a mark of byte order', 'sites/ümlaut "b"\n.ferrule', 'text'],
    ['a link', 'sites/link.ferrule', 'text'],
    ['a path through a linked folder', 'linked/a.ferrule', 'text'],
    ['an empty file', 'sites/empty.ferrule', 'text'],
    ['bytes that are no text', 'sites/bytes.ferrule', 'unreadable'],
    ['a folder', 'sites', 'folder'],
    ['the top', '', 'folder'],
    ['a link in a circle', 'circle', 'missing'],
    ['a link out of the repository', 'sites/out', 'missing'],
    ['nothing', 'sites/none.ferrule', 'missing'],
  ])('reads %s', (_what, file, kind) => {
    expect(opened('HEAD').read(file).kind).toBe(kind);
  });

  it('drops the mark of byte order and lists files, not links', () => {
    const revision = opened('HEAD', 'sites');
    expect(revision.read('sites/ümlaut "b"\n.ferrule')).toEqual({ kind: 'text', text: 'second\n' });
    expect(revision.prefix).toBe('sites/');
    expect(revision.filesBelow('sites', () => true)).toEqual([
      'sites/a.ferrule',
      'sites/bytes.ferrule',
      'sites/empty.ferrule',
      'sites/ümlaut "b"\n.ferrule',
    ]);
  });

  it.each([
    ['an option', '--output=stolen', 'does not start with "-"'],
    ['nothing', '', 'is not empty'],
    ['a name with blanks', 'HEAD -p', 'no blanks'],
    ['a name that nobody gave', 'nobody', 'git knows no commit "nobody"'],
    ['a file, which is no commit', 'HEAD:sites/a.ferrule', 'git knows no commit'],
  ])('is not opened for %s', (_what, name, why) => {
    expect(GitRevision.open(repository.folder, name)).toEqual({
      why: expect.stringContaining(why) as string,
    });
    expect(existsSync(path.join(repository.folder, 'stolen'))).toBe(false);
  });

  it('is not opened outside of a repository', () => {
    expect(GitRevision.open(folder, 'HEAD')).toMatchObject({
      why: expect.stringContaining('not a git repository') as string,
    });
  });
});

it('runs nothing that the settings of the repository name', async () => {
  const hostile = await Repository.at(path.join(folder, 'hostile'));
  const mark = path.join(folder, 'ran');
  await hostile.write('.gitattributes', '*.ferrule diff=evil filter=evil\n');
  await hostile.write('site.ferrule', 'text\n');
  await hostile.commit('First');
  await hostile.write('evil.sh', `#!/bin/sh\necho "$0 $*" >> "${mark}"\n`);
  const script = path.join(hostile.folder, 'evil.sh');
  await chmod(script, 0o755);
  for (const setting of [
    'core.fsmonitor',
    'core.pager',
    'core.sshCommand',
    'core.askPass',
    'diff.external',
    'diff.evil.command',
    'diff.evil.textconv',
    'filter.evil.smudge',
    'filter.evil.clean',
    'credential.helper',
  ]) {
    await hostile.git('config', setting, script);
  }
  await hostile.git('config', 'core.hooksPath', hostile.folder);
  const revision = GitRevision.open(hostile.folder, 'HEAD');
  expect('why' in revision ? revision.why : revision.read('site.ferrule')).toEqual({
    kind: 'text',
    text: 'text\n',
  });
  expect(existsSync(mark)).toBe(false);
  // The same settings do run for whoever asks git for its ordinary work, so the trap is a real one.
  await hostile.write('site.ferrule', 'other\n');
  await hostile.tryGit('diff');
  expect(existsSync(mark)).toBe(true);
});
