/** Which files `use "@team/equipment"` brings, over files in memory as over any others. */
import { createHash } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { messageOf } from '../../src/model/finding.js';
import { readsLanguage } from '../../src/packages/language-version.js';
import { packageUse } from '../../src/packages/resolve.js';
import {
  alteration,
  integrityOf,
  vendoredPath,
  writeIntegrity,
} from '../../src/packages/vendored.js';
import { writtenFixes } from '../../src/workbench/fixes.js';
import { renameProblem } from '../../src/workbench/editing/names.js';
import { memoryFiles, type Files } from '../../src/workbench/files.js';
import { Workbench } from '../../src/workbench/workbench.js';
import { siteOf, testDay } from '../support/site.js';

const manifest = (version: string, ferrule: unknown) =>
  JSON.stringify({ name: '@team/panels', version, ferrule });
const panels = {
  'node_modules/@team/panels/package.json': manifest('1.2.0', { entry: 'index.ferrule' }),
  'node_modules/@team/panels/index.ferrule': 'equipment Panel { role sensor }\n',
};
const site = 'use "@team/panels"\n\nsite S "S"\n\ndevice P-1 : Panel\n';

describe('a use line with a package', () => {
  it('brings its entry files, each of several', () => {
    const { open, findings } = siteOf(`${site}device F-1 : Frame\n`, {
      'node_modules/@team/panels/package.json': manifest('1.2.0', {
        entry: ['./index.ferrule', 'frames/all.ferrule'],
        language: '1.0',
      }),
      'node_modules/@team/panels/index.ferrule': 'equipment Panel { role sensor }\n',
      'node_modules/@team/panels/frames/all.ferrule': 'use "./one.ferrule"\n',
      'node_modules/@team/panels/frames/one.ferrule': 'equipment Frame { role other }\n',
    });
    expect(findings.map(({ finding }) => finding.rule)).toEqual([]);
    expect(open.files.map(({ path }) => path.split('/').slice(-2).join('/'))).toEqual([
      'site.ferrule',
      'panels/index.ferrule',
      'frames/all.ferrule',
      'frames/one.ferrule',
    ]);
  });

  it('brings one file of it where the line says which', () => {
    const { findings, open } = siteOf(
      'use "@team/panels/more/frames.ferrule"\n\nsite S "S"\n\ndevice F-1 : Frame\n',
      {
        ...panels,
        'node_modules/@team/panels/more/frames.ferrule': 'equipment Frame { role other }\n',
      },
    );
    expect(findings).toEqual([]);
    expect(open.files).toHaveLength(2);
  });

  it('looks upwards from the folder of the using file', () => {
    const { findings } = siteOf(`//- sites/north/site.ferrule\n${site}`, panels);
    expect(findings).toEqual([]);
  });

  it('never leaves the package, whatever its package.json says', () => {
    for (const entry of [
      '../../secret.ferrule',
      '/secret.ferrule',
      'a/../../x.ferrule',
      'run.js',
      7,
    ]) {
      const { findings, open } = siteOf('use "@team/panels"\n\nsite S "S"\n', {
        'node_modules/@team/panels/package.json': manifest('1.2.0', { entry }),
        'secret.ferrule': 'equipment Secret { role sensor }\n',
      });
      expect(findings.map(({ finding }) => finding.rule)).toEqual(['package-unreadable']);
      expect(open.files).toHaveLength(1);
    }
  });

  it('says the command that installs what is missing, once, and nothing that follows from it', () => {
    const { findings } = siteOf(site);
    expect(findings.map(({ finding }) => finding.rule)).toEqual(['package-missing']);
    expect(messageOf(findings[0]!.finding)).toContain('"npm install @team/panels"');
  });

  it('is asked back where a file was meant', () => {
    const { findings } = siteOf('use "panels.ferrule"\n\nsite S "S"\n', {
      'panels.ferrule': 'equipment Panel { role sensor }\n',
    });
    expect(messageOf(findings[0]!.finding)).toContain('"./panels.ferrule"');
  });

  it('says both versions of the language in one sentence', () => {
    const { findings } = siteOf(site, {
      ...panels,
      'node_modules/@team/panels/package.json': manifest('2.0.0', {
        entry: 'index.ferrule',
        language: '1.7',
      }),
    });
    expect(findings.map(({ finding }) => finding.what)).toEqual([
      'The package "@team/panels" 2.0.0 needs version 1.7 of the language, and this Ferrule reads 1.0.',
    ]);
  });

  it('reads one copy of a version that is installed twice', () => {
    const { findings, open } = siteOf(`use "./floor/floor.ferrule"\n${site}device F-1 : Frame\n`, {
      ...panels,
      'floor/floor.ferrule': 'use "@team/panels"\nequipment Frame { role other }\n',
      'floor/node_modules/@team/panels/package.json': manifest('1.2.0', { entry: 'index.ferrule' }),
      'floor/node_modules/@team/panels/index.ferrule': 'equipment Panel { role meter }\n',
    });
    expect(findings).toEqual([]);
    expect(open.files).toHaveLength(3);
  });

  it('finds the packages of a linked package where it really stands', () => {
    const texts = {
      'site.ferrule': site,
      'node_modules/.store/panels@1.2.0/node_modules/@team/panels/package.json': manifest('1.2.0', {
        entry: 'index.ferrule',
      }),
      'node_modules/.store/panels@1.2.0/node_modules/@team/panels/index.ferrule':
        'use "@team/cables"\nequipment Panel { role sensor }\n',
      'node_modules/.store/panels@1.2.0/node_modules/@team/cables/package.json': JSON.stringify({
        name: '@team/cables',
        version: '3.0.0',
        ferrule: { entry: 'index.ferrule' },
      }),
      'node_modules/.store/panels@1.2.0/node_modules/@team/cables/index.ferrule':
        'cable Pair { cores 2 x 0.75 mm2 class 5 }\n',
    };
    const workbench = new Workbench(linked(texts));
    const checked = workbench.check('site.ferrule', testDay)!;
    expect(checked.findings.map(({ finding }) => finding.rule)).toEqual([]);
    expect(checked.open.site.byName.has('Pair')).toBe(true);
  });

  it('is judged anew when the package came', () => {
    const texts: Record<string, string> = { 'site.ferrule': site };
    const workbench = new Workbench({
      ...memoryFiles({}),
      read: (path) => memoryFiles(texts).read(path),
    });
    expect(workbench.check('site.ferrule', testDay)!.findings).toHaveLength(1);
    Object.assign(texts, panels);
    workbench.fileChanged('node_modules/.package-lock.json');
    expect(workbench.check('site.ferrule', testDay)!.findings).toEqual([]);
  });

  it('cannot have its templates renamed from a site', () => {
    const { open } = siteOf(site, panels);
    expect(renameProblem(open, { declaration: 'Panel', part: 'name' }, 'Panel', 'Plate')).toContain(
      'comes with a package',
    );
  });
});

describe('names of packages', () => {
  it('are those of npm, with or without a file in the package', () => {
    expect(packageUse('@team/equipment')).toEqual({ name: '@team/equipment', file: undefined });
    expect(packageUse('equipment/a/b.ferrule')).toEqual({ name: 'equipment', file: 'a/b.ferrule' });
    for (const path of ['', '@team', '@Team/x', 'C:/x.ferrule', '@team/', 'a b']) {
      expect(packageUse(path)).toBeUndefined();
    }
  });
});

describe('versions of the language', () => {
  it('read what needs no more than they have', () => {
    expect(readsLanguage('1.0', '1.2')).toBe(true);
    expect(readsLanguage('1.2', '1.2')).toBe(true);
    expect(readsLanguage('1.10', '1.2')).toBe(false);
    expect(readsLanguage('2.0', '1.2')).toBe(false);
    expect(readsLanguage('0.9', '1.2')).toBe(false);
    expect(readsLanguage('^1.0')).toBeUndefined();
  });
});

describe('copies', () => {
  it('have the hash that another implementation computes', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme', maxLength: 300 }), (text) => {
        const expected = createHash('sha512').update(text, 'utf8').digest('base64');
        expect(integrityOf(text)).toBe(`sha512-${expected}`);
      }),
      { numRuns: 1000 },
    );
  });

  it('are told from what was not copied', () => {
    const list = writeIntegrity({
      packages: { p: '1.0.0' },
      files: { 'p/a.ferrule': integrityOf('x') },
    });
    expect(alteration(list, 'p/a.ferrule', 'x')).toBeUndefined();
    expect(alteration(list, 'p/a.ferrule', 'y')).toContain('changed');
    expect(alteration(list, 'p/b.ferrule', 'x')).toContain('not there');
    expect(alteration(list, 'constructor', 'x')).toContain('not there');
    expect(alteration(undefined, 'p/a.ferrule', 'x')).toContain('no list');
    expect(alteration('{}', 'p/a.ferrule', 'x')).toContain('no list');
  });

  it('are known by their folder', () => {
    expect(vendoredPath('a/ferrule-vendor/@t/p/x.ferrule')).toEqual({
      list: 'a/ferrule-vendor/integrity.json',
      inside: '@t/p/x.ferrule',
    });
    expect(vendoredPath('ferrule-vendor/p/x.ferrule')).toEqual({
      list: 'ferrule-vendor/integrity.json',
      inside: 'p/x.ferrule',
    });
    expect(vendoredPath('file:///s/ferrule-vendor/p/x.ferrule')?.list).toBe(
      'file:///s/ferrule-vendor/integrity.json',
    );
    expect(vendoredPath('a/ferrule-vendors/x.ferrule')).toBeUndefined();
  });
});

/** Files with one link, as an isolated installation lays it. */
function linked(texts: Readonly<Record<string, string>>): Files {
  const files = memoryFiles(texts);
  const real = (path: string) =>
    path.replace(/^node_modules\/@team\//u, 'node_modules/.store/panels@1.2.0/node_modules/@team/');
  const reachable = (path: string) => !path.startsWith('node_modules/@team/cables');
  return {
    ...files,
    read: (path) => (reachable(path) ? files.read(real(path)) : { kind: 'missing' }),
    real,
  };
}

describe('a template that its library no longer recommends', () => {
  it('is marked where a site uses it, with the replacement as a fix in the site alone', () => {
    const { open, findings } = siteOf(site, {
      ...panels,
      'node_modules/@team/panels/index.ferrule':
        'equipment Panel { role sensor  deprecated "no longer made" replaced-by Panel-2 }\n' +
        'equipment Panel-2 { role sensor }\n',
    });
    const marked = findings.map(({ finding }) => finding);
    expect(marked.map(({ rule, subject }) => `${rule} ${subject}`)).toEqual([
      'template-deprecated P-1',
    ]);
    const [fix] = writtenFixes(open, marked[0]!);
    expect(fix?.changes).toEqual([expect.objectContaining({ file: 'site.ferrule', text: '-2' })]);
  });
});
