/** Newer versions of a site's packages, asked from a registry on loopback by the real npm. */
import { readFile } from 'node:fs/promises';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { memoryFiles } from '../../src/workbench/files.js';
import { newerVersions, withStandIns } from '../../src/workbench/other-version.js';
import { CommandLine } from '../support/command-line.js';
import { npm, panelLibrary, panelSite } from '../support/npm.js';
import { startRegistry, type PackedVersion } from '../support/registry.js';

const command = CommandLine.forTests();
let stop: () => Promise<void> = () => Promise.resolve();

beforeAll(async () => {
  const packed: PackedVersion[] = [];
  const plain = (version: string) => panelLibrary(version);
  const fewer = (version: string): Readonly<Record<string, string>> => {
    const files = panelLibrary(version, 'C');
    return {
      ...files,
      'buses.ferrule': files['buses.ferrule']!.replace('controllers 2', 'controllers 1'),
    };
  };
  const made = [plain('1.2.0'), plain('1.2.1'), fewer('2.0.0'), plain('3.0.0-rc.1')];
  for (const files of made) {
    const { version } = JSON.parse(files['package.json']!) as { readonly version: string };
    for (const [file, text] of Object.entries(files)) {
      await command().write(`libraries/${version}/${file}`, text);
    }
    await npm(command().path('libraries', version), 'pack', '--pack-destination', '..');
    const tarball = await readFile(command().path('libraries', `team-panels-${version}.tgz`));
    packed.push({ name: '@team/panels', version, tarball });
  }
  const registry = await startRegistry(packed);
  stop = registry.stop;
  await command().write('project/package.json', '{ "name": "project", "private": true }\n');
  await command().write(
    'project/.npmrc',
    `registry=${registry.url}\ncache=${command().path('cache')}\nnoproxy=127.0.0.1\n`,
  );
  await command().write('project/site.ferrule', panelSite);
  for (const [file, text] of Object.entries(plain('1.2.0'))) {
    await command().write(`project/node_modules/@team/panels/${file}`, text);
  }
}, 120_000);

afterAll(() => stop());

describe('ferrule outdated', () => {
  it('lists what is newer', async () => {
    const { code, out, error } = await command().run('outdated', 'project');
    expect({ code, error }).toEqual({ code: 0, error: '' });
    expect(out).toBe(
      '@team/panels 1.2.0: 2 newer versions\n  @team/panels 1.2.1\n  @team/panels 2.0.0\n',
    );
  }, 120_000);

  it('says for each version what would change on this site, and touches nothing', async () => {
    const { code, out, error } = await command().run('outdated', 'project', '--impact');
    expect({ code, error }).toEqual({ code: 0, error: '' });
    const [, first, second] = out.split(/^ {2}@team\/panels /mu);
    expect(first).toBe('1.2.1\n    changes nothing on this site\n');
    expect(second).toContain('2.0.0\n    new finding: error bus-controller-duplicate on ');
    expect(second).toMatch(/connection-schedule: \d+ rows? out, \d+ in\n/u);
    expect(second).toMatch(/^ {6}- .*P-1.*A/mu);
    expect(second).toMatch(/^ {6}\+ .*P-1.*C/mu);
    const installed = command().path('project/node_modules/@team/panels/package.json');
    expect(JSON.parse(await readFile(installed, 'utf8'))).toMatchObject({ version: '1.2.0' });
    expect((await command().run('check', 'project')).code).toBe(0);
  }, 120_000);

  it('gives the same as JSON', async () => {
    const { out } = await command().run('outdated', 'project', '--impact', '--format', 'json');
    expect(JSON.parse(out)).toMatchObject({
      schemaVersion: 1,
      packages: [
        {
          name: '@team/panels',
          current: '1.2.0',
          newer: [{ version: '1.2.1' }, { version: '2.0.0', impact: { counts: [] } }],
        },
      ],
    });
  }, 120_000);

  it('says why the registry could not be asked', async () => {
    const npmrc = await readFile(command().path('project/.npmrc'), 'utf8');
    await command().write('absent/package.json', '{ "name": "absent", "private": true }\n');
    await command().write('absent/.npmrc', npmrc);
    await command().write('absent/site.ferrule', panelSite.replace('@team/panels', '@team/absent'));
    for (const [file, text] of Object.entries(panelLibrary('1.2.0'))) {
      await command().write(`absent/node_modules/@team/absent/${file}`, text);
    }
    const { code, error } = await command().run('outdated', 'absent');
    expect(code).toBe(2);
    expect(error).toMatch(/"npm view" failed: .*@team/u);
    expect(error.split('\n')).toHaveLength(2);
  }, 120_000);
});

describe('newer versions', () => {
  it('are in order, without those on trial and what is none', () => {
    expect(
      newerVersions('1.2.0', ['1.10.0', '1.2.0', '1.9.0', '2.0.0-rc.1', 'x', '1.1.9']),
    ).toEqual(['1.9.0', '1.10.0']);
    expect(newerVersions('old', ['1.0.0'])).toBeUndefined();
  });

  it('stand in for what is installed, copied or linked', () => {
    const files = withStandIns(
      memoryFiles({
        'node_modules/a/x.ferrule': '1',
        'ferrule-vendor/a/x.ferrule': '1',
        'b.ferrule': 'b',
      }),
      (name, file) => (name === '@t/p' ? { kind: 'text', text: file } : undefined),
    );
    expect(files.read('s/node_modules/@t/p/in/x.ferrule')).toEqual({
      kind: 'text',
      text: 'in/x.ferrule',
    });
    expect(files.read('node_modules/.pnpm/p@1/node_modules/@t/p/x.ferrule')).toMatchObject({
      text: 'x.ferrule',
    });
    expect(files.read('node_modules/a/x.ferrule')).toMatchObject({ text: '1' });
    expect(files.read('ferrule-vendor/a/x.ferrule')).toEqual({ kind: 'missing' });
    expect(files.read('b.ferrule')).toMatchObject({ text: 'b' });
  });
});
