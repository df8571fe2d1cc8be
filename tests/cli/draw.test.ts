import { mkdir, readFile, readdir } from 'node:fs/promises';
import { describe, expect, it } from 'vitest';
import { CommandLine, smallSite } from '../support/command-line.js';

const command = CommandLine.forTests();

describe('ferrule draw', () => {
  it('prints the topology as SVG', async () => {
    await command().write('site/site.ferrule', smallSite);
    const { code, out, error } = await command().run('draw', 'site');
    expect({ code, error }).toEqual({ code: 0, error: '' });
    expect(out).toMatch(/^<svg [^>]*viewBox=/u);
    expect(out.trimEnd()).toMatch(/<\/svg>$/u);
    for (const name of ['M-1', 'N-1', 'line-1', '40 m']) {
      expect(out).toContain(name);
    }
  });

  it('writes it to a file, in a folder that it makes', async () => {
    await command().write('site/site.ferrule', smallSite);
    const printed = await command().run('draw', 'site', '--view', 'topology');
    const { code, out } = await command().run('draw', 'site', '--out', 'new/deep/site.svg');
    expect({ code, out }).toEqual({ code: 0, out: 'Wrote new/deep/site.svg\n' });
    expect(await readFile(command().path('new/deep/site.svg'), 'utf8')).toBe(printed.out);
    expect(await readdir(command().path('new/deep'))).toEqual(['site.svg']);
  });

  it('draws the terminals of one bus, core by core', async () => {
    await command().write('site/site.ferrule', smallSite);
    const { code, out } = await command().run(
      ...['draw', 'site', '--view', 'terminals', '--of', 'line-1'],
    );
    expect(code).toBe(0);
    expect(out).toMatch(/^<svg [^>]*data-view="terminals"/u);
    for (const name of ['M-1', 'N-1', 'line-1.1 BK', 'line-1.2 WH']) {
      expect(out.includes(`>${name}<`), name).toBe(true);
    }
  });

  it('draws the power tree and the map of addresses', async () => {
    await command().write('site/site.ferrule', smallSite);
    for (const view of ['power', 'ip']) {
      const { code, out } = await command().run('draw', 'site', '--view', view);
      expect(code).toBe(0);
      expect(out).toContain(`data-view="${view}"`);
    }
  });

  it('draws a site with errors, and says that it has them', async () => {
    await command().write('wrong/site.ferrule', smallSite.replace('40 m', '140 m'));
    const { code, out, error } = await command().run('draw', 'wrong');
    expect(code).toBe(0);
    expect(error).toBe('The site has 1 error; `ferrule check` shows it.\n');
    expect(out).toContain('bus-too-long');
  });

  it('draws what there is of a half-typed site', async () => {
    await command().write('half/site.ferrule', `${smallSite}\nbus other : Line {\n  land M-1.\n`);
    const { code, out } = await command().run('draw', 'half');
    expect(code).toBe(0);
    expect(out).toContain('N-1');
  });

  it('draws nothing of an empty file, and that is no fault', async () => {
    await command().write('blank/site.ferrule', '');
    expect(await command().run('draw', 'blank/site.ferrule')).toMatchObject({
      code: 0,
      out: expect.stringMatching(/^<svg /u),
    });
  });

  it('lets no text of a site become markup', async () => {
    const evil = smallSite.replace('"Small site"', '"</title><script>alert(1)</script>&"');
    await command().write('evil/site.ferrule', evil);
    const { out } = await command().run('draw', 'evil');
    expect(out).toContain('&lt;script&gt;');
    expect(out).not.toContain('<script');
  });

  it('writes pixels with the letters of the drawing, the same for the same site', async () => {
    await command().write('site/site.ferrule', smallSite);
    const svg = (await command().run('draw', 'site')).out;
    const width = Number(/ width="([\d.]+)"/u.exec(svg)?.[1]);
    const { code, out } = await command().run('draw', 'site', '--out', 'site.png');
    expect({ code, out }).toEqual({ code: 0, out: 'Wrote site.png\n' });
    const png = await readFile(command().path('site.png'));
    // ISO/IEC 15948: signature, then IHDR with width and height.
    expect(png.subarray(0, 8)).toEqual(Buffer.from('89504e470d0a1a0a', 'hex'));
    expect(Math.abs(png.readUInt32BE(16) - 2 * width)).toBeLessThan(2);
    await command().run('draw', 'site', '--format', 'png', '--out', 'again.png');
    expect(Buffer.compare(await readFile(command().path('again.png')), png)).toBe(0);
    // Without letters and lines a picture of one colour would be left, which packs to almost nothing.
    await command().write('blank/site.ferrule', '');
    await command().run('draw', 'blank/site.ferrule', '--out', 'blank.png');
    expect(png.length).toBeGreaterThan(1.5 * (await readFile(command().path('blank.png'))).length);
  });

  it('says when form and file do not go together', async () => {
    await command().write('site/site.ferrule', smallSite);
    const error = async (...args: string[]) => {
      const ran = await command().run('draw', 'site', ...args);
      expect(ran).toMatchObject({ code: 2, out: '' });
      return ran.error;
    };
    expect(await error('--format', 'png')).toContain('--out FILE.png');
    expect(await error('--format', 'png', '--out', 'x.svg')).toContain('end the file in .png');
  });

  it('cannot write into a folder, below a file, or another form', async () => {
    await command().write('site/site.ferrule', smallSite);
    await mkdir(command().path('taken.svg'), { recursive: true });
    await command().write('file', 'x');
    const failing = async (out: string) => {
      const ran = await command().run('draw', 'site', '--out', out);
      expect(ran).toMatchObject({ code: 2, out: '' });
      return ran.error;
    };
    expect(await failing('taken.svg')).toContain('"taken.svg" is a folder');
    expect(await failing('file/x.svg')).toContain('a part of the path is a file');
    expect(await failing('site.gif')).toContain('it is .svg or .png');
  });

  it('knows its views', async () => {
    await command().write('site/site.ferrule', smallSite);
    const run = (...args: string[]) => command().run('draw', 'site', ...args);
    expect((await run('--view', 'front')).error).toContain('--view cannot be "front"');
    expect((await run('--view', 'terminals')).error).toContain('Name it: --of NAME');
    const unknown = await run('--view', 'terminals', '--of', 'line-2');
    expect(unknown).toMatchObject({ code: 2, out: '' });
    expect(unknown.error).toContain('no bus or feed "line-2". Did you mean line-1?');
    expect((await run('--of', 'line-1')).error).toContain('--view terminals --of NAME');
  });
});

it('draws what was seen of each device where that is asked for, in the topology alone', async () => {
  await command().write('seen/site.ferrule', smallSite);
  const usual = await command().run('draw', 'seen');
  const { code, out } = await command().run('draw', 'seen', '--status');
  expect(code).toBe(0);
  expect(out.startsWith('<svg ')).toBe(true);
  expect(usual.out).not.toContain('not looked at yet');
  const wrong = await command().run('draw', 'seen', '--view', 'power', '--status');
  expect(wrong.code).toBe(2);
  expect(wrong.error).toContain('--status belongs to the topology view');
});
