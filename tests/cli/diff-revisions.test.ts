/** `ferrule diff` between revisions of real repositories. */
import { beforeAll, describe, expect, it } from 'vitest';
import { CommandLine, smallSite } from '../support/command-line.js';
import { panelLibrary, panelSite } from '../support/npm.js';
import { Repository } from '../support/repository.js';

const command = CommandLine.forTests();

const library = smallSite.slice(0, smallSite.indexOf('site Small'));
const site = (length: string) =>
  `use "../equipment/all.ferrule"\n\n${smallSite.slice(library.length).replace('40 m', length)}`;

let repository: Repository;

beforeAll(async () => {
  repository = await Repository.at(command().path('project'));
  await repository.write('equipment/all.ferrule', library);
  await repository.write('house/site.ferrule', site('40 m'));
  await repository.commit('First');
  await repository.git('tag', 'v1');
  await repository.write('house/site.ferrule', site('60 m'));
  await repository.commit('Second');
  await repository.write('house/site.ferrule', site('140 m'));
});

const diff = (folder: string, ...args: string[]) => command().runIn(folder, 'diff', ...args);
const lengthChange = (before: string, after: string) =>
  `landings N-1.line lengthM: ${before} → ${after}`;

describe('ferrule diff of revisions', () => {
  it.each([
    ['two revisions of this folder', 'project/house', ['v1', 'HEAD'], ['40', '60']],
    ['two revisions of one file', 'project', ['v1:house/site.ferrule', 'HEAD'], ['40', '60']],
    ['whole repositories with one site', 'project/house', ['v1:', 'HEAD:'], ['40', '60']],
    ['a folder in a revision', 'project', ['v1:house', 'HEAD:house'], ['40', '60']],
    [
      'a file from here',
      'project/house',
      ['v1:./site.ferrule', 'HEAD:./site.ferrule'],
      ['40', '60'],
    ],
    ['a file from the top', 'project/equipment', ['v1:house/site.ferrule', 'main~0'], ['40', '60']],
    ['what is not committed yet', 'project', ['HEAD', 'house/site.ferrule'], ['60', '140']],
    ['backwards', 'project', ['house', 'v1'], ['140', '40']],
  ])('compares %s', async (_what, folder, sides, [before, after]) => {
    const { code, out, error } = await diff(folder, ...sides, '--exit-code');
    expect({ code, error }).toEqual({ code: 1, error: '' });
    expect(out).toContain(lengthChange(before!, after!));
  });

  it('says that nothing changed between a revision and itself', async () => {
    const { code, out } = await diff('project/house', 'v1', 'v1', '--exit-code');
    expect(code).toBe(0);
    expect(out).toMatch(/^Nothing changed on site/u);
  });

  it.each([
    ['an unknown revision', ['nobody', 'HEAD'], 'git knows no commit "nobody"'],
    ['an unknown revision of a file', ['v9:house/site.ferrule', 'HEAD'], 'git knows no commit'],
    ['a file that was not there', ['v1:house/none.ferrule', 'HEAD'], 'at "v1"'],
    ['a revision that looks like an option', ['--', '-x', 'HEAD'], 'does not start with "-"'],
    ['a path out of the repository', ['v1:../../etc', 'HEAD'], 'at "v1"'],
  ])('ends with 2 for %s', async (_what, sides, why) => {
    const { code, out, error } = await diff('project', ...sides);
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(error).toContain(why);
  });

  it('ends with 2 where a file that the site uses was not committed', async () => {
    const lacking = await Repository.at(command().path('lacking'));
    await lacking.write(
      'site.ferrule',
      `use "./all.ferrule"\n${site('40 m').split('\n').slice(1).join('\n')}`,
    );
    await lacking.commit('First');
    await lacking.write('all.ferrule', library);
    const { code, error } = await diff('lacking', 'HEAD', 'site.ferrule');
    expect(code).toBe(2);
    expect(error).toContain('"HEAD" cannot be compared, because it is not read whole');
  });

  it('ends with 2 outside of a repository', async () => {
    await command().write('plain/site.ferrule', smallSite);
    const { code, error } = await diff('plain', 'HEAD', 'site.ferrule');
    expect(code).toBe(2);
    expect(error).toContain('not a git repository');
  });

  it('says that packages are those that are installed now, and prefers copies in the revision', async () => {
    const packaged = await Repository.at(command().path('packaged'));
    await packaged.write('.gitignore', 'node_modules\n');
    await packaged.write('site.ferrule', panelSite);
    for (const [name, text] of Object.entries(panelLibrary('1.0.0'))) {
      await packaged.write(`node_modules/@team/panels/${name}`, text);
    }
    await packaged.commit('First');
    const plain = await diff('packaged', 'HEAD', 'site.ferrule', '--exit-code');
    expect(plain).toMatchObject({
      code: 0,
      error: expect.stringContaining('installed now') as string,
    });
    const vendored = await command().runIn('packaged', 'vendor', 'site.ferrule');
    expect(vendored.code).toBe(0);
    await packaged.commit('Copies');
    const copied = await diff('packaged', 'HEAD', 'HEAD', '--exit-code');
    expect(copied).toMatchObject({ code: 0, error: '' });
  });
});
