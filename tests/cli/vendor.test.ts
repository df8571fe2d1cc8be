import { readFile, rm, writeFile } from 'node:fs/promises';
import { describe, expect, it } from 'vitest';
import { CommandLine } from '../support/command-line.js';
import { panelLibrary, panelSite } from '../support/npm.js';

const command = CommandLine.forTests();

/** A project with a site in a folder of its own, and equipment beside it that uses the package. */
async function project(name: string): Promise<void> {
  for (const [file, text] of Object.entries(panelLibrary('1.2.0'))) {
    await command().write(`${name}/node_modules/@team/panels/${file}`, text);
  }
  await command().write(`${name}/node_modules/@team/panels/LICENSE`, 'MIT\n');
  await command().write(`${name}/site/site.ferrule`, panelSite);
  await command().write(
    `${name}/shared/own.ferrule`,
    'use "@team/panels"\nequipment Own { role other  port line : Line terminals A, B as responder }\n',
  );
}

describe('ferrule vendor', () => {
  it('copies packages so that the site opens without anything installed', async () => {
    await project('copied');
    const { code, out, error } = await command().run('vendor', 'copied/site');
    expect({ code, error }).toEqual({ code: 0, error: '' });
    expect(out).toBe('Copied 1 package (4 files) to copied/site/ferrule-vendor\n');
    await rm(command().path('copied/node_modules'), { recursive: true });
    expect((await command().run('check', 'copied/site')).code).toBe(0);
    expect((await command().run('vendor', '--check', 'copied/site')).code).toBe(0);
    // What is copied is no site and no library of its own.
    const all = await command().run('check', 'copied/site', '--format', 'json');
    expect(all.code).toBe(0);
  });

  it('gives the same bytes again', async () => {
    await project('again');
    await command().run('vendor', 'again/site');
    const list = () => readFile(command().path('again/site/ferrule-vendor/integrity.json'), 'utf8');
    const first = await list();
    expect((await command().run('vendor', 'again/site')).code).toBe(0);
    expect(await list()).toBe(first);
    expect(first).toContain('"@team/panels": "1.2.0"');
  });

  it('stands where every file of the site finds it', async () => {
    await project('beside');
    await command().write(
      'beside/site/site.ferrule',
      panelSite
        .replace('use "@team/panels"', 'use "@team/panels"\nuse "../shared/own.ferrule"')
        .replace('device P-2 : Panel', 'device P-2 : Own'),
    );
    const { out } = await command().run('vendor', 'beside/site');
    expect(out).toContain('to beside/ferrule-vendor');
    await rm(command().path('beside/node_modules'), { recursive: true });
    expect((await command().run('check', 'beside/site')).code).toBe(0);
  });

  it('finds every byte that was changed, a file that is gone and one that came', async () => {
    await project('altered');
    await command().run('vendor', 'altered/site');
    const copy = command().path('altered/site/ferrule-vendor/@team/panels');
    const text = await readFile(`${copy}/index.ferrule`, 'utf8');
    await writeFile(`${copy}/index.ferrule`, text.replace('terminals A, B', 'terminals B, A'));
    const checked = await command().run('check', 'altered/site');
    expect(checked.code).toBe(1);
    expect(checked.out).toContain('package-altered');
    const verified = await command().run('vendor', '--check', 'altered/site');
    expect(verified.code).toBe(1);
    expect(verified.out).toContain('"@team/panels/index.ferrule" was changed since');

    const again = await command().run('vendor', 'altered/site');
    expect(again.code).toBe(0);
    expect(again.error).toContain('it was replaced');
    expect((await command().run('check', 'altered/site')).code).toBe(0);

    await rm(`${copy}/LICENSE`);
    expect((await command().run('vendor', '--check', 'altered/site')).out).toContain(
      'LICENSE" is gone',
    );
    await writeFile(`${copy}/mine.ferrule`, '// mine\n');
    const refused = await command().run('vendor', 'altered/site');
    expect(refused.code).toBe(2);
    expect(refused.error).toContain('mine.ferrule');
    expect(await readFile(`${copy}/mine.ferrule`, 'utf8')).toBe('// mine\n');
  });

  it('says what is not installed, and writes nothing', async () => {
    await command().write('bare/site.ferrule', panelSite);
    const { code, error } = await command().run('vendor', 'bare');
    expect(code).toBe(2);
    expect(error).toContain('npm install @team/panels');
    await command().write('none/site.ferrule', 'site N "N"\n');
    expect((await command().run('vendor', 'none')).out).toBe('The site uses no package.\n');
  });
});
