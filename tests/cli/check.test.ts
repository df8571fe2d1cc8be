import { mkdir, symlink } from 'node:fs/promises';
import { execFileSync } from 'node:child_process';
import { describe, expect, it } from 'vitest';
import { CommandLine, smallSite } from '../support/command-line.js';

const command = CommandLine.forTests();

/** The site with one bus that is too long: 140 m of 100 m. */
const broken = smallSite.replace('40 m terminated', '140 m terminated');

describe('ferrule check', () => {
  it('gives 0 and says so for a right site', async () => {
    await command().write('right/site.ferrule', smallSite);
    expect(await command().run('check', 'right/site.ferrule', '--on', '2026-11-25')).toEqual({
      code: 0,
      out: '0 errors, 0 warnings, 0 hints in 1 file, judged for 2026-11-25\n',
      error: '',
    });
  });

  it('gives 1 for an error, and shows it', async () => {
    await command().write('wrong/site.ferrule', broken);
    const { code, out, error } = await command().run('check', 'wrong/site.ferrule');
    expect(code).toBe(1);
    expect(error).toBe('');
    expect(out).toMatch(/^wrong\/site\.ferrule:\d+:\d+ error bus-too-long on line-1$/mu);
    expect(out).toMatch(/^ +\| +\^+$/mu);
    expect(out).toMatch(/1 error, 0 warnings, 0 hints in 1 file/u);
    expect(out).not.toContain('\u001b');
  });

  it('has colours where they are asked for', async () => {
    await command().write('wrong/site.ferrule', broken);
    const { out } = await command().run('check', 'wrong/site.ferrule', '--color');
    expect(out).toContain('\u001b[31merror');
  });

  it('lets a warning pass unless --fail-on names it', async () => {
    const lenient = broken.replace(
      '  drawing "S-1"',
      '  drawing "S-1"\n  severity bus-too-long warning',
    );
    await command().write('warned/site.ferrule', lenient);
    const run = (...more: string[]) => command().run('check', 'warned', ...more);
    expect((await run()).code).toBe(0);
    expect((await run('--fail-on', 'error')).code).toBe(0);
    expect((await run('--fail-on', 'warning')).code).toBe(1);
  });

  it('lets an accepted finding pass until its day', async () => {
    const accepted = `${broken}\naccept bus-too-long on line-1 up to 150 m because "tested by us" until 2027-03-31\n`;
    await command().write('accepted/site.ferrule', accepted);
    const before = await command().run('check', 'accepted', '--on', '2027-03-31');
    expect(before.code).toBe(0);
    expect(before.out).toContain(
      'bus-too-long on line-1 accepted up to 150 m until 2027-03-31 because "tested by us"',
    );
    const after = await command().run('check', 'accepted', '--on', '2027-04-01');
    expect(after.code).toBe(1);
    expect(after.out).toContain('waiver-expired');
  });

  it('prints JSON as promised, with paths from the working folder', async () => {
    await command().write('wrong/site.ferrule', broken);
    const { code, out } = await command().runIn(
      'wrong',
      ...['check', '../wrong/site.ferrule', '--format', 'json', '--on', '2026-11-25'],
    );
    expect(code).toBe(1);
    const report = JSON.parse(out);
    expect(Object.keys(report)).toEqual(['schemaVersion', 'findings']);
    expect(report.schemaVersion).toBe(1);
    expect(report.findings).toHaveLength(1);
    const line = broken.split('\n').findIndex((text) => text.includes('140 m'));
    expect(report.findings[0]).toMatchObject({
      rule: 'bus-too-long',
      severity: 'error',
      file: 'site.ferrule',
      line: line + 1,
      subject: 'line-1',
      waived: null,
      facts: expect.arrayContaining([{ fact: 'total-length', value: 140, unit: 'm' }]),
    });
    const { column, endColumn, endLine } = report.findings[0];
    expect(endLine).toBe(line + 1);
    expect(broken.split('\n')[line]!.slice(column - 1, endColumn - 1)).not.toBe('');
  });

  it('prints the same bytes again, whatever the order of the paths', async () => {
    await command().copyExamples('library', 'equipment');
    await command().write('wrong/site.ferrule', broken);
    const options = ['--format', 'json', '--on', '2026-11-25'];
    const first = await command().run('check', 'wrong', 'library', ...options);
    const second = await command().run('check', 'library', 'wrong/site.ferrule', ...options);
    expect(second).toEqual(first);
    expect(JSON.parse(first.out).findings).toHaveLength(1);
  });

  it('takes a folder as every site in it and the library files that none of them uses', async () => {
    await command().write('many/lib/parts.ferrule', smallSite.split('site Small')[0]!);
    const rest = `use "./lib/parts.ferrule"\n\nsite Small${smallSite.split('site Small')[1]}`;
    await command().write('many/one.ferrule', rest);
    await command().write('many/two.ferrule', rest.replace('40 m', '140 m'));
    await command().write('many/lone.ferrule', 'cable Odd {\n  cores 2 x 0.75 V class 5\n}\n');
    await command().write('many/node_modules/x/no.ferrule', 'nonsense\n');
    const { code, out } = await command().run('check', 'many', '--format', 'json');
    expect(code).toBe(1);
    const places = JSON.parse(out).findings.map(
      (one: { file: string; rule: string }) => `${one.file} ${one.rule}`,
    );
    expect([...new Set(places)]).toEqual([
      'many/lone.ferrule quantity-unit-mismatch',
      'many/two.ferrule bus-too-long',
    ]);
  });

  it('judges a library file in the sites that use it, where both are named', async () => {
    await command().write(
      'parts/all.ferrule',
      smallSite.split('device M-1')[0]!.replace(/^site[^}]*\}\n/mu, ''),
    );
    await command().write(
      'parts/devices.ferrule',
      'device M-1 : Master { address 1 }\ndevice N-1 : Node { address 2 }\n',
    );
    const site =
      'use "./all.ferrule"\nuse "./devices.ferrule"\n\nsite S "S"\n\nbus' +
      smallSite.split('\nbus').at(-1)!;
    await command().write('parts/site.ferrule', site);
    const alone = await command().run('check', 'parts/devices.ferrule');
    expect(alone.code).toBe(1);
    expect(alone.out).toContain('name-unknown');
    const together = await command().run('check', 'parts/devices.ferrule', 'parts/site.ferrule');
    expect(together).toMatchObject({ code: 0, error: '' });
  });

  it('reports a fault in a shared file once', async () => {
    const parts = smallSite
      .split('site Small')[0]!
      .replace('40 m', '')
      .replace('shape chain', 'shape zigzag');
    await command().write('shared/parts.ferrule', parts);
    const site = `use "./parts.ferrule"\n\nsite Small${smallSite.split('site Small')[1]}`;
    await command().write('shared/one.ferrule', site);
    await command().write('shared/two.ferrule', site);
    const { out } = await command().run('check', 'shared', '--format', 'json');
    const found = JSON.parse(out).findings.filter(
      (one: { file: string }) => one.file === 'shared/parts.ferrule',
    );
    expect(found).toHaveLength(1);
  });
});

describe('what check cannot run on', () => {
  const failing = async (...args: string[]) => {
    const { code, out, error } = await command().run(...args);
    expect({ code, out }).toEqual({ code: 2, out: '' });
    expect(error).toMatch(/^ferrule: [^\n]+\n$/u);
    expect(error).not.toMatch(/\n {4}at |node:|\.js:/u);
    return error;
  };

  it('is a path that is not there', async () => {
    expect(await failing('check', 'nowhere.ferrule')).toBe(
      'ferrule: There is no file or folder "nowhere.ferrule".\n',
    );
  });

  it('is an empty path', async () => {
    expect(await failing('check', '')).toContain('There is no file or folder ""');
  });

  it('is a missing path', async () => {
    expect(await failing('check', '--on', '2026-11-25')).toContain('A path is missing');
  });

  it('is a folder without a file of the language', async () => {
    await mkdir(command().path('empty'), { recursive: true });
    expect(await failing('check', 'empty')).toContain('no .ferrule file in "empty"');
  });

  it('is a file that is no text', async () => {
    await command().write('bytes.ferrule', new Uint8Array([0xff, 0xfe, 0x00, 0xd8]));
    expect(await failing('check', 'bytes.ferrule')).toContain(
      '"bytes.ferrule" cannot be read: it is no text in UTF-8',
    );
  });

  it('is a pipe, which might never end', async () => {
    execFileSync('mkfifo', [command().path('pipe.ferrule')]);
    expect(await failing('check', 'pipe.ferrule')).toContain('no ordinary file');
  });

  it('is a link in a circle', async () => {
    await symlink('circle.ferrule', command().path('circle.ferrule'));
    expect(await failing('check', 'circle.ferrule')).toMatch(/circle\.ferrule/u);
  });

  it('is one bad file among good ones: nothing is passed over', async () => {
    await command().write('mixed/good.ferrule', smallSite);
    await command().write('mixed/bad.ferrule', new Uint8Array([0xc3, 0x28]));
    expect(await failing('check', 'mixed')).toContain('mixed/bad.ferrule');
  });

  it.each(['2026-13-01', '2026-02-30', '25.11.2026', 'today', '2026-11-25T00:00'])(
    'is the date %s',
    async (day) => {
      await command().write('right/site.ferrule', smallSite);
      expect(await failing('check', 'right', '--on', day)).toContain(`"${day}" is no date`);
    },
  );

  it('is a format or severity that does not exist', async () => {
    await command().write('right/site.ferrule', smallSite);
    expect(await failing('check', 'right', '--format', 'yaml')).toContain('text or json');
    expect(await failing('check', 'right', '--fail-on', 'hint')).toContain('error or warning');
  });

  it('is an unknown option, with the one that was meant', async () => {
    expect(await failing('check', 'right', '--fromat', 'json')).toContain('Did you mean --format?');
    expect(await failing('check', 'right', '-x')).toContain('no option -x');
    expect(await failing('check', 'right', '--constructor')).toContain('no option --constructor');
  });

  it('is an option without its value, or with one it does not take', async () => {
    expect(await failing('check', 'right', '--format')).toContain('--format needs a value');
    expect(await failing('check', 'right', '--format', '--color')).toContain('needs a value');
    expect(await failing('check', 'right', '--format=')).toContain('needs a value');
    expect(await failing('check', 'right', '--color=yes')).toContain('--color takes no value');
  });
});

describe('what check reports as a finding', () => {
  it('is a used file that is missing, a folder or no text', async () => {
    await command().write('uses/bytes.ferrule', new Uint8Array([0xff]));
    await mkdir(command().path('uses/folder.ferrule'), { recursive: true });
    await command().write(
      'uses/site.ferrule',
      'use "./gone.ferrule"\nuse "./folder.ferrule"\nuse "./bytes.ferrule"\n' + smallSite,
    );
    const { code, out } = await command().run('check', 'uses/site.ferrule', '--format', 'json');
    expect(code).toBe(1);
    const rules = JSON.parse(out).findings.map((one: { rule: string; line: number }) => [
      one.line,
      one.rule,
    ]);
    expect(rules).toEqual([
      [1, 'import-missing'],
      [2, 'import-unreadable'],
      [3, 'import-unreadable'],
    ]);
  });

  it('is a circle of files, a slip and a doubled name', async () => {
    await command().write('slips/other.ferrule', 'use "./site.ferrule"\n');
    await command().write(
      'slips/site.ferrule',
      `use "./other.ferrule"\n${smallSite.replace('land N-1', 'lnad N-1')}\ncable Pair {\n}\n`,
    );
    const { code, out, error } = await command().run('check', 'slips/site.ferrule');
    expect(code).toBe(1);
    expect(error).toBe('');
    expect(out).toContain('import-cycle');
    expect(out).toContain('syntax-error');
    expect(out).toContain('name-duplicate');
  });
});
