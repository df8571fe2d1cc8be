/** Pages of templates: everything that is stated stands on them, and a hover says the same. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { cp } from 'node:fs/promises';
import { describe, expect, it } from 'vitest';
import { inProject } from '../../scripts/lib/root.mjs';
import { descriptionOf } from '../../src/workbench/editing/hover.js';
import { templateDocs } from '../../src/workbench/template-docs.js';
import { CommandLine } from '../support/command-line.js';
import { siteOf, testDay } from '../support/site.js';

const command = CommandLine.forTests();
const library = Object.fromEntries(
  readdirSync(inProject('library'))
    .filter((name) => name.endsWith('.ferrule'))
    .map((name) => [name, readFileSync(inProject('library', name), 'utf8')]),
);

describe('pages of templates', () => {
  const { open, workbench, root } = siteOf(
    `//- test-site.ferrule\n${library['test-site.ferrule']!}`,
    library,
  );
  const own = open.files.filter(({ path }) => path !== 'test-site.ferrule');
  const pages = new Map(
    templateDocs(own, '@ferrule/starter 0.1.0').map((one) => [one.path, one.text]),
  );

  it('show each connection with its terminals in their order, and where it comes from', () => {
    const page = pages.get('zonecontroller.md')!;
    expect(page).toContain('Equipment `ZoneController` · @ferrule/starter 0.1.0');
    expect(page).toContain(
      '| supply | inlet | V1, V2 | 24 VAC 11 VA, ± 15 %, a supply of its own, bare live terminals: fit the cover |',
    );
    expect(page).toContain(
      '| units | port | U1, U2, US (screen) | UnitLink as controller, unit load 1 |',
    );
    expect(page).toContain('| supervises | indoor unit via units, up to 48 |');
    expect(page).toContain('⚠ The supply terminals are bare');
    expect(page).toContain('Invented figures');
  });

  it('show the limits of a bus type and the construction of a cable', () => {
    const bus = pages.get('unitlink.md')!;
    expect(bus).toContain('| longest total | 1000 m |');
    expect(bus).toContain('| addresses | 1 to 127 |');
    expect(bus).toContain('| terminators | 120 ohm, both ends |');
    expect(pages.get('mains-5x4.md')).toContain('| cores | 5 x 4 mm2, IEC 60228 class 2 |');
  });

  it('have a picture with every terminal', () => {
    for (const [path, text] of pages) {
      if (path.endsWith('.md') && path !== 'README.md') {
        expect(pages.has(path.replace(/md$/u, 'svg'))).toBe(true);
        expect(text).toContain(`](${path.replace(/md$/u, 'svg')})`);
      }
    }
    const picture = pages.get('zonecontroller.svg')!;
    for (const terminal of ['V1', 'V2', 'U1', 'U2', 'US', 'D1', 'D2', 'DS']) {
      expect(picture).toContain(`>${terminal}</text>`);
    }
  });

  it('say what a hover says', () => {
    const checked = workbench.check(root, testDay)!;
    const hover = descriptionOf(checked, 'ZoneController')!;
    const page = pages.get('zonecontroller.md')!;
    const rows = page.split('\n').filter((line) => line.startsWith('|'));
    expect(rows.length).toBeGreaterThan(6);
    rows.forEach((row) => {
      expect(hover).toContain(row);
    });
  });
});

describe('ferrule docs', () => {
  it('writes them into a folder', async () => {
    await cp(inProject('library'), command().path('starter'), { recursive: true });
    const { code, out, error } = await command().run('docs', 'starter', '--out', 'pages');
    expect({ code, error }).toEqual({ code: 0, error: '' });
    expect(out).toMatch(/^Wrote the pages of \d+ templates to pages\n$/u);
    expect(existsSync(command().path('pages/outdoor-28.svg'))).toBe(true);
    expect(readFileSync(command().path('pages/README.md'), 'utf8')).toContain(
      '# @ferrule/starter 0.1.0, language 1.0',
    );
    expect((await command().run('docs', 'starter', '--out', 'pages')).code).toBe(0);
    expect((await command().run('docs', 'starter', '--out', '.')).code).toBe(2);
  });

  it('says where there is nothing to document', async () => {
    await command().write('bare/site.ferrule', 'site S "S"\n');
    expect((await command().run('docs', 'bare')).error).toContain('declares no equipment');
  });
});
