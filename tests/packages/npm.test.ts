/** Libraries carried by the real npm, offline: packed, installed, linked in a workspace, laid out in links. */
import { mkdir, readdir, symlink } from 'node:fs/promises';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { CommandLine } from '../support/command-line.js';
import { npm, panelLibrary, panelSite } from '../support/npm.js';

const command = CommandLine.forTests();

async function writeAll(folder: string, files: Readonly<Record<string, string>>): Promise<void> {
  for (const [name, text] of Object.entries(files)) {
    await command().write(`${folder}/${name}`, text);
  }
}

describe('a library', () => {
  it('is packed by npm, installed from the tarball and used', async () => {
    await writeAll('tarball/library', panelLibrary('1.2.0'));
    await npm(command().path('tarball/library'), 'pack', '--pack-destination', '..');
    await writeAll('tarball/site', {
      'site.ferrule': panelSite,
      'package.json': '{ "name": "site", "private": true }',
    });
    const before = await command().run('check', 'tarball/site');
    expect(before.code).toBe(1);
    expect(before.out).toContain('npm install @team/panels');

    await npm(command().path('tarball/site'), 'install', '../team-panels-1.2.0.tgz');
    expect(await readdir(command().path('tarball/site/node_modules/@team/panels'))).toEqual([
      'buses.ferrule',
      'index.ferrule',
      'package.json',
    ]);
    const after = await command().run('check', 'tarball/site');
    expect(after.out).toContain('0 errors, 0 warnings, 0 hints in 3 files');
    expect(after.code).toBe(0);
  }, 120_000);

  it('is linked by npm in a workspace and used where it is written', async () => {
    await writeAll('workspace', {
      'package.json':
        '{ "name": "all", "private": true, "workspaces": ["libraries/*", "sites/*"] }',
      'sites/north/package.json':
        '{ "name": "north", "version": "1.0.0", "dependencies": { "@team/panels": "^1.0.0" } }',
      'sites/north/north.ferrule': panelSite,
    });
    await writeAll('workspace/libraries/panels', panelLibrary('1.0.0'));
    await npm(command().path('workspace'), 'install');
    const { code, out } = await command().run('check', 'workspace/sites/north');
    expect({ code, out }).toMatchObject({ code: 0 });
    // The file has one name, so the whole folder has one site and nothing is read twice.
    const all = await command().run('check', 'workspace', '--format', 'json');
    expect(all.code).toBe(0);
    const broken = panelLibrary('1.0.0');
    await writeAll('workspace/libraries/panels', {
      'index.ferrule': broken['index.ferrule']!.replace('Line terminals', 'Lime terminals'),
    });
    const wrong = await command().run('check', 'workspace/sites/north');
    expect(wrong.out).toContain('workspace/libraries/panels/index.ferrule');
  }, 120_000);

  it('finds what it uses itself in a layout of links, as pnpm makes it', async () => {
    const library = panelLibrary('1.0.0');
    const store = 'linked/node_modules/.pnpm';
    await writeAll('linked', { 'site.ferrule': panelSite });
    await writeAll(`${store}/@team+panels@1.0.0/node_modules/@team/panels`, {
      'package.json': library['package.json']!,
      'index.ferrule': library['index.ferrule']!.replace('./buses.ferrule', '@team/buses'),
    });
    await writeAll(`${store}/@team+buses@2.0.0/node_modules/@team/buses`, {
      'package.json':
        '{ "name": "@team/buses", "version": "2.0.0", "ferrule": { "entry": "buses.ferrule" } }',
      'buses.ferrule': library['buses.ferrule']!,
    });
    const link = async (at: string, to: string) => {
      const file = command().path('linked/node_modules', at);
      await mkdir(path.dirname(file), { recursive: true });
      await symlink(to, file, 'dir');
    };
    await link('@team/panels', '../.pnpm/@team+panels@1.0.0/node_modules/@team/panels');
    await link(
      '.pnpm/@team+panels@1.0.0/node_modules/@team/buses',
      '../../../@team+buses@2.0.0/node_modules/@team/buses',
    );
    const { code, out } = await command().run('check', 'linked');
    expect({ code, out }).toMatchObject({ code: 0 });
  });

  it('runs no code that a package brings', async () => {
    const files = panelLibrary('1.0.0');
    const manifest = JSON.parse(files['package.json']!) as Record<string, unknown>;
    await writeAll('armed/node_modules/@team/panels', {
      ...files,
      'package.json': JSON.stringify({
        ...manifest,
        main: './index.js',
        exports: { '.': './index.js' },
        scripts: { postinstall: 'node index.js' },
      }),
      'index.js': 'require("node:fs").writeFileSync(__dirname + "/ran", "");',
    });
    await writeAll('armed', { 'site.ferrule': panelSite });
    expect((await command().run('check', 'armed')).code).toBe(0);
    expect(await readdir(command().path('armed/node_modules/@team/panels'))).not.toContain('ran');
  });
});
